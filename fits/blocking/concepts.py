"""Run concepts, options and motions' place in them: the types that library files are built into."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fits.terms import Called, Step
from fits.values import value

STEPS = tuple(step.value for step in Step)
DIRECTIONS = (
    "run strength",
    "run weak",
    "pass strength",
    "pass weak",
    "to back",
    "away from back",
    "field",
    "boundary",
    "to motion",
    "away from motion",
    "left",
    "right",
)
THREATS = ("dive", "run", "sweep", "keep", "pitch", "route")
LEFT_WHY = ("read", "pitch")
EYES = ("back", "away", "play", "backside")


@value
class Part:
    """A job that a concept hands out: the first man with one of these labels takes it."""

    name: str
    candidates: tuple[str, ...]
    required: bool


@value
class BlockRule:
    """`who` (a label of offensive men) does `does` when `when` holds; `step` overrides the first step shown."""

    who: str
    when: str
    does: str
    step: Step | None = None


@value
class LeftRule:
    """A defender the concept leaves unblocked on purpose: how he is found, and why (`read` or `pitch`)."""

    man: str
    why: str


@value
class ThreatRule:
    """A man who may carry the ball and where.

    `course` names the way he goes (fits/library/courses.toml; none: the usual one of the kind), `time_s` a staff's own
    time from the snap to the line in the place of the computed one.
    """

    kind: str
    who: str
    where: str
    time_s: float | None = None
    course: str = ""


@value
class Concept(Called):
    """A run as data. `to` is an ordered list of directions, first that decides wins.

    `time_s` is a staff's own time from the snap to the line, None when it is computed from the course. `eyes` is where
    the quarterback looks when there is an option; `flags` are words that conditions can ask for.
    """

    name: str
    family: str
    label: str
    source: str
    to: tuple[str, ...]
    time_s: float | None
    cast: tuple[Part, ...]
    rules: tuple[BlockRule, ...]
    threats: tuple[ThreatRule, ...]
    flags: frozenset[str]
    eyes: str
    leaves: tuple[LeftRule, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """The file shape of this concept."""
        return (
            {
                "name": self.name,
                "family": self.family,
                "label": self.label,
                "source": self.source,
                "to": list(self.to),
                "flags": sorted(self.flags),
                "eyes": self.eyes,
            }
            | ({} if self.time_s is None else {"time_s": self.time_s})
            | _rows(self.cast, self.rules, self.threats, self.leaves)
        )


@value
class Option:
    """A tag on a concept (`side` offense) or a staff option (`side` defense): flags, rules and threats laid over it."""

    name: str
    side: str
    label: str
    source: str
    flags: frozenset[str]
    cast: tuple[Part, ...]
    rules: tuple[BlockRule, ...]
    threats: tuple[ThreatRule, ...]
    eyes: str | None
    leaves: tuple[LeftRule, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """The file shape of this option."""
        return (
            {
                "name": self.name,
                "side": self.side,
                "label": self.label,
                "source": self.source,
                "flags": sorted(self.flags),
            }
            | ({"eyes": self.eyes} if self.eyes else {})
            | _rows(self.cast, self.rules, self.threats, self.leaves)
        )


def _rows(
    cast: tuple[Part, ...],
    rules: tuple[BlockRule, ...],
    threats: tuple[ThreatRule, ...],
    leaves: tuple[LeftRule, ...],
) -> dict[str, Any]:
    left = {"leaves": [{"man": m.man, "why": m.why} for m in leaves]} if leaves else {}
    return left | {
        "cast": [{"part": p.name, "from": list(p.candidates), "required": p.required} for p in cast],
        "rules": [{"who": r.who, "when": r.when, "does": r.does} | ({"step": r.step} if r.step else {}) for r in rules],
        "threats": [
            {"kind": t.kind, "who": t.who, "where": t.where}
            | ({"time_s": t.time_s} if t.time_s else {})
            | ({"course": t.course} if t.course else {})
            for t in threats
        ],
    }


def with_options(concept: Concept, options: tuple[Option, ...]) -> Concept:
    """The concept with its options laid over it: their rules first, their threats and flags added.

    One man is one threat of a kind: an option says where he goes now, in the place of what the concept said.
    """
    if not options:
        return concept
    rules, cast, threats, flags, eyes = concept.rules, concept.cast, concept.threats, concept.flags, concept.eyes
    leaves = concept.leaves
    for option in options:
        leaves = (*leaves, *[m for m in option.leaves if m not in leaves])
        rules, cast, threats = option.rules + rules, option.cast + cast, _replace(threats, option.threats)
        flags, eyes = flags | option.flags, option.eyes or eyes
    return Concept(
        concept.name,
        concept.family,
        concept.label,
        concept.source,
        concept.to,
        concept.time_s,
        cast,
        rules,
        threats,
        flags,
        eyes,
        leaves,
    )


def _replace(threats: tuple[ThreatRule, ...], new: tuple[ThreatRule, ...]) -> tuple[ThreatRule, ...]:
    """The threats with new ones after them, or in the place of the same man as the same kind of threat."""
    table = {(t.kind, t.who): t for t in threats}
    table.update({(t.kind, t.who): t for t in new})
    return tuple(table.values())


def labels_of(table: Mapping[str, frozenset[str]], label: str) -> list[str]:
    """The roles that carry a label, in the table's order (inside out, play side first)."""
    return [role for role, labels in table.items() if label in labels]
