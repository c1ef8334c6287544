"""What one man of the defense is given in a list of rows: movement, a check, who takes what he leaves.

Rows are as forms hold them, each a dictionary of texts. The words are the engine's, chosen from pictures.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import fits
from fits.defense.checks import CHECKS
from fits.defense.movement import MOVES, WAYS
from fits.defense.pressure import DUTIES
from fits.defense.roles import label_list
from fits.words import words_of
from playbook.pictures import Picture, Point, way

Row = dict[str, Any]
LINE = ((20, 40), (34, 40), (48, 40))  # C, G and T of his side
SIDES = {
    "": "on his own side", "strength": "to the strength", "weak": "away from the strength", "field": "to the field",
    "boundary": "to the boundary",
}  # fmt: skip
WHENS = {
    "": "always",
    "tight end on my side": "with a tight end on his side",
    "not tight end on my side": "without a tight end on his side",
    "to the strength": "when he is to the strength",
    "not to the strength": "when he is away from the strength",
    "to the field": "when he is to the field",
    "to the boundary": "when he is to the boundary",
}
MOTIONS = {
    "": "at any motion",
    "motion across": "when a man goes across",
    "motion across to my side": "when he comes across to his side",
    "motion across away from me": "when he goes across, away from him",
    "motion into the backfield": "when he goes into the backfield",
}
LEFT_WORDS = {"pass": "His man or zone on a pass", "gap": "His gap", "force": "The force"}

# word: what a coach says, the men, him, his way
_GOES: dict[str, tuple[str, Sequence[Point], Point, Sequence[Point]]] = {
    "A gap": ("through A", LINE, (30, 12), [(30, 17), (27, 44)]),
    "B gap": ("through B", LINE, (41, 12), [(41, 17), (41, 44)]),
    "C gap": ("through C", (*LINE, (62, 40)), (58, 12), [(58, 17), (55, 44)]),
    "D gap": ("through D", (*LINE, (62, 40)), (66, 12), [(68, 17), (69, 44)]),
    "edge": ("off the edge", LINE, (58, 14), [(63, 18), (66, 34), (58, 44)]),
    "A gap away": ("across, through the other A", ((6, 40), (20, 40), (34, 40)), (34, 12), [(31, 17), (13, 44)]),
    "my gap": ("straight ahead", LINE, (27, 24), [(27, 28), (27, 44)]),
}
_CHECKS: dict[str, tuple[str, Sequence[Point], Point, Sequence[Point]]] = {
    "stay": ("stays where he was", ((10, 40), (60, 40)), (36, 20), []),
    "run with him": ("runs with the man", ((12, 40),), (14, 20), [(18, 20), (58, 20)]),
    "bump": ("bumps over", ((12, 40), (60, 40)), (26, 20), [(31, 20), (46, 20)]),
    "rotate": ("rotates to a place", ((12, 40), (60, 40)), (36, 10), [(39, 13), (56, 26)]),
    "rock": ("rocks back to a place", ((12, 40), (60, 40)), (50, 26), [(47, 23), (32, 10)]),
}
_TO = re.compile(rf"(?P<word>.+?)(?: to (?P<to>{WAYS}))?(?:, behind (?P<behind>\S.*))?")
_DOES = re.compile(r"(?P<word>stay|run with him|bump|rotate|rock)(?: to (?P<at>.+?))?(?: as (?P<plays>\S.*))?")


@lru_cache(maxsize=1)
def movements() -> tuple[Picture, ...]:
    """Returns a picture for each way a man can be sent."""
    meanings = {entry["example"]: entry["meaning"] for entry in MOVES.listing()}
    return tuple(
        Picture(word, str(meanings.get(word, said)), tuple(boxes), (him,), way(points, "open"), text=said)
        for word, (said, boxes, him, points) in _GOES.items()
    )


@lru_cache(maxsize=1)
def checks() -> tuple[Picture, ...]:
    """Returns a picture for each thing a man can do about a motion."""
    meanings = {entry["example"].split()[0]: entry["meaning"] for entry in CHECKS.listing()}
    return tuple(
        Picture(word, str(meanings.get(word.split()[0], said)), tuple(boxes), (him,), way(points, "open"), text=said)
        for word, (said, boxes, him, points) in _CHECKS.items()
    )


def movement_words(text: str) -> dict[str, str]:
    """Returns a movement in its parts: the word, the side it is called to, behind whom.

    >>> movement_words("A gap to weak, behind N")
    {'word': 'A gap', 'to': 'weak', 'behind': 'N'}
    """
    found = _TO.fullmatch(text.strip())
    return {name: value or "" for name, value in found.groupdict().items()} if found else {"word": "", "to": ""}


def movement_text(word: str, to: str = "", behind: str = "") -> str:
    """Returns the movement of those parts; nothing without a word."""
    return f"{word}{f' to {to}' if to else ''}{f', behind {behind}' if behind else ''}" if word else ""


def check_words(text: str) -> dict[str, str]:
    """Returns a check in its parts: the word, the place, whose rules he then plays.

    >>> check_words("rotate to middle, 10 deep as FS")
    {'word': 'rotate', 'at': 'middle, 10 deep', 'plays': 'FS'}
    """
    found = _DOES.fullmatch(text.strip())
    return {name: value or "" for name, value in found.groupdict().items()} if found else {"word": "", "at": ""}


def check_text(word: str, at: str = "", plays: str = "") -> str:
    """Returns the check of those parts; a place only where the word takes one."""
    if word in ("", "stay", "run with him"):
        return word
    return f"{word}{f' to {at}' if at else ''}{f' as {plays}' if plays else ''}"


@dataclass(frozen=True, slots=True)
class JobMan:
    """One of the eleven of a drawing: how rows may name him, what he is called, whether a row is his."""

    role: str
    position: str
    called: str
    told: bool

    @property
    def names(self) -> tuple[str, ...]:
        """The labels that mean him, his position's first, as that is what a pressure tells most."""
        return tuple(dict.fromkeys([self.position, self.role]))


def job_men(look: fits.Look, rows: Sequence[Mapping[str, Any]]) -> list[JobMan]:
    """Returns the defenders from left to right, the secondary last; `rows` are those that tell somebody something."""
    said = words_of(look)
    told = {label for row in rows for label in label_list(row.get("who", ""))}
    ordered = sorted(look.defenders, key=lambda d: (d.group == "secondary", d.x))
    return [JobMan(d.role, d.position, said.man(d.role), bool(told & {d.role, d.position})) for d in ordered]


def his(rows: Sequence[Row], man: JobMan, key: str = "who") -> list[Row]:
    """Returns the rows that name a man, in order."""
    return [row for row in rows if set(label_list(row.get(key, ""))) & {man.role, man.position}]


def give(rows: Sequence[Row], who: str, new: Row | None, when: str = "") -> list[Row]:
    """Returns rows with another one for just that man; with no new one he has none of that condition any more.

    One that he has of that condition is changed where it stands. A new one without a condition is what he always does,
    so it stands behind those of his that have one; with one it stands before all of his.

    >>> give([{"who": "M", "when": "gun", "to": "edge"}], "M", {"who": "M", "when": "", "to": "A gap"})[1]["to"]
    'A gap'
    """
    kept = [dict(row) for row in rows]
    same = next((at for at, row in enumerate(kept) if (row.get("who"), row.get("when", "")) == (who, when)), None)
    if same is not None:
        kept[same : same + 1] = [] if new is None else [{**kept[same], **new}]
    if new is None or same is not None:
        return kept
    labels = set(label_list(who))
    mine = [place for place, row in enumerate(kept) if labels & set(label_list(row.get("who", "")))]
    conditional = [place for place in mine if kept[place].get("when")]
    if when:
        at = mine[0] if mine else len(kept)
    else:
        at = conditional[-1] + 1 if conditional else (mine[0] if mine else len(kept))
    return [*kept[:at], new, *kept[at:]]


def leave(rows: Sequence[Row], who: str, to: Mapping[str, str]) -> list[Row]:
    """Returns the rows of who takes what, with what that man leaves given to others; nobody where it is empty."""
    kept = [dict(row) for row in rows if row.get("of") != who or row.get("duty") not in to]
    was = {row["duty"]: row for row in rows if row.get("of") == who}
    for duty in DUTIES:
        if by := to.get(duty, ""):
            old = was.get(duty, {})
            same = old.get("by") == by
            kept.append(
                {"of": who, "duty": duty, "by": by, **({k: old.get(k, "") for k in ("takes", "say")} if same else {})}
            )
    return kept


def successors(rows: Sequence[Row], man: JobMan) -> dict[str, str]:
    """Returns by duty who takes it when that man is sent."""
    return {row["duty"]: row.get("by", "") for row in reversed(his(rows, man, "of")) if row.get("duty") in DUTIES}
