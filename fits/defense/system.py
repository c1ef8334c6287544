"""A staff's whole system as values: positions, fronts, coverages, calls and their rules."""

from __future__ import annotations

import re
from collections.abc import Container, Iterator, Mapping
from enum import StrEnum
from typing import Any, Literal, NamedTuple

from fits.defense.roles import Position, Role, expand
from fits.defense.techniques import Scheme
from fits.terms import Called, Frame, Leverage
from fits.values import field, value

LONGEST_ID = 60  # characters of a rule id
STRENGTHS = ("passing", "run", "field", "boundary", "back", "left", "right")
LEVERAGES = ("", *(leverage.value for leverage in Leverage))


@value
class AlignRule:
    """Where `who` lines up (`at`) when `when` holds; first match wins."""

    who: str
    when: str
    at: str


@value
class KeyRule:
    """Whom `who` reads when `when` holds; first match with somebody to read wins."""

    who: str
    when: str
    reads: str


@value
class FitRule:
    """Where `who` fits when `when` holds; `id` is permanent, `say` is the coach's own sentence for it."""

    id: str
    who: str
    when: str
    fit: str
    leverage: Leverage | Literal[""] = ""
    say: str = ""


class Part(StrEnum):
    """Which part of a call a rule belongs to."""

    PRESSURE = "pressure"
    FRONT = "front"
    COVERAGE = "coverage"


class FiredRule(NamedTuple):
    """The very rule that sent a man where he goes: whose it was, of which part of the call, and the rule itself."""

    role: str
    part: Part
    rule: FitRule

    @property
    def id(self) -> str:
        """The rule's permanent id."""
        return self.rule.id


def free_rule_id(wanted: str, part: str, taken: Container[str]) -> str:
    """An id that is not taken, as near to the wanted one as can be: with the name of the part it is for, a number.

    >>> free_rule_id("N1", "Over", {"N1", "N1-over"})
    'N1-over-2'
    """
    if wanted not in taken:
        return wanted
    end, number = "-" + re.sub(r"[^\w]+", "-", part.lower()).strip("-")[:40], 1
    while True:
        tail = end if number == 1 else f"{end}-{number}"
        found = wanted[: LONGEST_ID - len(tail)] + tail
        if found not in taken:
            return found
        number += 1


@value
class TakeRule:
    """The pass duty of `who`: a receiver by number (`#2`) or a zone."""

    who: str
    when: str
    takes: str


@value
class ForceRule:
    """`who` is the force player on his side when `when` holds."""

    who: str
    when: str


@value
class MoveRule:
    """Where called movement takes `who` when `when` holds (`to`); with `first`, only the first of them who is there."""

    who: str
    when: str
    to: str
    say: str = ""
    first: bool = False


@value
class CheckRule:
    """What `who` does about a motion when `when` holds; first match wins. `takes` is what he then has in coverage."""

    who: str
    when: str
    does: str
    say: str = ""
    takes: str = ""


@value
class Replacement:
    """`by` takes the duty (`pass`, `gap` or `force`) that `of` leaves; `takes` is what he then has in coverage.

    Without `takes` he has it beside his own.
    """

    of: str
    duty: str
    by: str
    takes: str = ""
    say: str = ""


@value(eq=False)
class Pressure:
    """A pressure laid over a call: who lines up elsewhere, who moves where, who takes what they leave.

    Compared by identity, as calls are.
    """

    name: str
    label: str
    note: str
    source: str
    align: tuple[AlignRule, ...]
    move: tuple[MoveRule, ...]
    replaces: tuple[Replacement, ...]
    fits: tuple[FitRule, ...]


@value
class Front(Called):
    """Alignment, key and fit rules of the men up front; `strength` is what it is called to, `move` what they do."""

    name: str
    label: str
    strength: str
    align: tuple[AlignRule, ...]
    keys: tuple[KeyRule, ...]
    fits: tuple[FitRule, ...]
    move: tuple[MoveRule, ...] = ()
    checks: tuple[CheckRule, ...] = ()


@value
class Coverage(Called):
    """Alignment, key and fit rules of the men behind, pass duties and force players."""

    name: str
    label: str
    align: tuple[AlignRule, ...]
    keys: tuple[KeyRule, ...]
    fits: tuple[FitRule, ...]
    takes: tuple[TakeRule, ...]
    force: tuple[ForceRule, ...]
    checks: tuple[CheckRule, ...] = ()


@value(eq=False)
class Call(Called):
    """A front and a coverage of one system, ready to derive. Compared by identity; `System` holds the data.

    A `short` call lines up wherever it is called as it does on the goal line.
    """

    name: str
    system: str
    front: Front
    coverage: Coverage
    scheme: Scheme
    roles: tuple[Role, ...]
    positions: Mapping[str, Position]
    note: str = ""
    frame: Frame = Frame.STRONG
    pressures: Mapping[str, Pressure] = field(default_factory=dict)
    pressure: Pressure | None = None
    short: bool = False
    label: str = ""  # what people call it

    @property
    def align(self) -> tuple[AlignRule, ...]:
        """Alignment rules, a pressure's first, then the front's."""
        own = self.pressure.align if self.pressure else ()
        return own + self.front.align + self.coverage.align

    @property
    def move(self) -> tuple[MoveRule, ...]:
        """Called movement, a pressure's first."""
        return (self.pressure.move if self.pressure else ()) + self.front.move

    @property
    def checks(self) -> tuple[CheckRule, ...]:
        """Motion checks, the coverage's first."""
        return self.coverage.checks + self.front.checks

    @property
    def keys(self) -> tuple[KeyRule, ...]:
        """Key rules, the front's first."""
        return self.front.keys + self.coverage.keys

    @property
    def fits(self) -> tuple[FitRule, ...]:
        """Fit rules, a pressure's first, then the front's."""
        own = self.pressure.fits if self.pressure else ()
        return own + self.front.fits + self.coverage.fits

    def parted_fits(self) -> Iterator[tuple[Part, FitRule]]:
        """Fit rules with the part they belong to, in the order they are asked."""
        for rule in self.pressure.fits if self.pressure else ():
            yield Part.PRESSURE, rule
        for rule in self.front.fits:
            yield Part.FRONT, rule
        for rule in self.coverage.fits:
            yield Part.COVERAGE, rule


class CallRow(NamedTuple):
    """One call of a system's file: the names of its front and coverage, and what people call it."""

    name: str
    front: str
    coverage: str
    note: str
    label: str


@value
class System:
    """Everything a staff calls by one name."""

    name: str
    label: str
    source: str
    scheme: Scheme
    scheme_inline: bool
    positions: tuple[Position, ...]
    fronts: Mapping[str, Front]
    coverages: Mapping[str, Coverage]
    call_rows: tuple[CallRow, ...]
    frame: Frame = Frame.STRONG  # how this staff says sides
    pressures: Mapping[str, Pressure] = field(default_factory=dict)
    short_calls: frozenset[str] = frozenset()

    def calls(self) -> dict[str, Call]:
        """The calls by name, in the file's order."""
        roles = tuple(r for p in self.positions for r in expand(p))
        by_name = {p.name: p for p in self.positions}
        return {
            row.name: Call(
                row.name,
                self.name,
                self.fronts[row.front],
                self.coverages[row.coverage],
                self.scheme,
                roles,
                by_name,
                row.note,
                self.frame,
                self.pressures,
                None,
                row.name in self.short_calls,
                row.label,
            )
            for row in self.call_rows
        }

    def as_dict(self) -> dict[str, Any]:
        """The file shape of the whole system."""

        def rows(items: tuple[Any, ...], names: tuple[str, ...]) -> list[dict[str, Any]]:
            return [{n: getattr(i, n) for n in names if n in ("who", "when") or getattr(i, n)} for i in items]

        align, keys, fits = (
            ("who", "when", "at"),
            ("who", "when", "reads"),
            ("id", "who", "when", "fit", "leverage", "say"),
        )
        move, checks = ("who", "when", "to", "say", "first"), ("who", "when", "does", "say", "takes")

        def some(key: str, items: tuple[Any, ...], names: tuple[str, ...]) -> dict[str, Any]:
            """Lists that older files do not have: only when there is something in them."""
            return {key: rows(items, names)} if items else {}

        head: dict[str, Any] = {"name": self.name, "label": self.label, "source": self.source}
        out: dict[str, Any] = {"system": head}
        if self.scheme_inline:
            out["techniques"] = self.scheme.as_dict()
        else:
            head["techniques"] = self.scheme.name
        head["frame"] = self.frame.value
        out["role"] = [
            {"name": p.name, "group": p.group.value, "side": p.side, "label": p.label}
            | ({"v_yd_s": p.v_yd_s} if p.v_yd_s else {})
            | ({"tau_s": p.tau_s} if p.tau_s else {})
            for p in self.positions
        ]
        out["front"] = [
            {
                "name": f.name,
                "label": f.label,
                "strength": f.strength,
                "align": rows(f.align, align),
                "keys": rows(f.keys, keys),
                "fits": rows(f.fits, fits),
            }
            | some("move", f.move, move)
            | some("checks", f.checks, checks)
            for f in self.fronts.values()
        ]
        out["coverage"] = [
            {
                "name": c.name,
                "label": c.label,
                "align": rows(c.align, align),
                "keys": rows(c.keys, keys),
                "fits": rows(c.fits, fits),
                "takes": rows(c.takes, ("who", "when", "takes")),
                "force": rows(c.force, ("who", "when")),
            }
            | some("checks", c.checks, checks)
            for c in self.coverages.values()
        ]
        out["call"] = [
            {"name": c.name, "label": c.label, "front": c.front, "coverage": c.coverage, "note": c.note}
            | ({"short": True} if c.name in self.short_calls else {})
            for c in self.call_rows
        ]
        if self.pressures:
            out["pressure"] = [
                {"name": p.name, "label": p.label, "note": p.note, "source": p.source}
                | some("align", p.align, align)
                | {
                    "move": rows(p.move, move),
                    "replaces": [
                        {n: v for n in ("of", "duty", "by", "takes", "say") if (v := getattr(r, n))} for r in p.replaces
                    ],
                }
                | some("fits", p.fits, fits)
                for p in self.pressures.values()
            ]
        return out
