"""Technique schemes as data: what each number means, because books differ.

A scheme maps a label to the man it is played on, the shade, and the gap that goes with it. A linebacker's
label is a lineman's with a zero behind it (common practice): `30` is over a 3, `00` over the centre.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fits.errors import FileError
from fits.field import RIGHT, Side
from fits.offense.formation import SPLIT, Offense
from fits.terms import words_of_name
from fits.values import value

SHADE = 0.4  # yards from a man's middle to his shoulder
MEN = {"centre": -1, "guard": 0, "tackle": 1, "tight end": 2, "second tight end": 3}
SHADES = {"inside": -SHADE, "head up": 0.0, "outside": SHADE, "wide": 1.2}
GAPS = "ABCDEF"
LINE_DEPTH = 0.9
BACKER_DEPTH = 5.0


@value
class Technique:
    """One label: the man, the shade on him (yards, outside positive) and the gap (None for head up)."""

    label: str
    man: int
    shade: float
    gap: str | None


@value
class Scheme:
    """A named table of techniques; `look_up` also understands a linebacker's added zero."""

    name: str
    techniques: Mapping[str, Technique]
    source: str = ""
    label: str = ""  # what people call it

    def look_up(self, label: str) -> tuple[Technique, bool] | None:
        """(technique, True when it is a linebacker's label), or None for an unknown label."""
        if label in self.techniques:
            return self.techniques[label], False
        if len(label) > 1 and label.endswith("0") and label[:-1] in self.techniques:
            return self.techniques[label[:-1]], True
        return None

    def as_dict(self) -> dict[str, Any]:
        """The file shape."""
        men = {v: k for k, v in MEN.items()}
        shades = {v: k for k, v in SHADES.items()}
        rows = [
            {"label": t.label, "man": men[t.man], "shade": shades[t.shade]} | ({"gap": t.gap} if t.gap else {})
            for t in self.techniques.values()
        ]
        return {"name": self.name, "label": self.label, "source": self.source, "technique": rows}


def build_scheme(d: Mapping[str, Any], where: str) -> Scheme:
    """A technique scheme from its file shape. Raises FileError."""
    table: dict[str, Technique] = {}
    for i, row in enumerate(d.get("technique", ())):
        key = f"technique[{i}]"
        label, man, shade, gap = str(row.get("label", "")), row.get("man"), row.get("shade"), row.get("gap")
        if not label:
            raise FileError(where, key + ".label", "a label such as 4i")
        if man not in MEN:
            raise FileError(where, key + ".man", f"one of {', '.join(MEN)}", man)
        if shade not in SHADES:
            raise FileError(where, key + ".shade", f"one of {', '.join(SHADES)}", shade)
        if gap is not None and gap not in GAPS:
            raise FileError(where, key + ".gap", "a gap letter A to F", gap)
        if label in table:
            raise FileError(where, key + ".label", "each label once", label)
        table[label] = Technique(label, MEN[man], SHADES[shade], gap)
    if not table:
        raise FileError(where, "technique", "at least one technique")
    name = str(d.get("name", ""))
    return Scheme(name, table, str(d.get("source", "")), str(d.get("label", "")) or words_of_name(name))


def man_x(offense: Offense, side: Side, man: int) -> float:
    """x of that man of the surface; a man who is not there stands where he would (a ghost)."""
    if man < 0:
        return 0.0
    surface = offense.view(side).surface
    if man < len(surface):
        return surface[man].x
    return surface[-1].x + side * SPLIT * (man - len(surface) + 1)


def technique_x(technique: Technique, offense: Offense, side: Side | None) -> float:
    """x of a defender playing that technique on that side (None: the middle)."""
    way = RIGHT if side is None else side
    if technique.man < 0 and technique.shade == 0:
        return 0.0
    return man_x(offense, way, technique.man) + way * technique.shade
