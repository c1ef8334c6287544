"""A concept laid on a formation, ready to be played out against any front."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from fits.blocking.concepts import Concept, ThreatRule
from fits.blocking.front import Front, Man
from fits.field import Side
from fits.offense.formation import Offense, Player
from fits.terms import Step

Ranking = Callable[["Plan", Front, Player, Side], list["Pick"]]
BlockCondition = Callable[["Plan", Front, Player], bool]


@dataclass(frozen=True, slots=True)
class Pick:
    """A defender a blocker would take, as long as fewer than `most` have him already."""

    man: Man
    most: int


@dataclass(frozen=True, slots=True)
class Verb:
    """One thing a blocker does.

    step: the first step shown, or `zone` (out on the play side, in on the back side) or `toward` (by the man taken).
    order: blockers act in this order, so that movers see who is left. counts: he is a run blocker.
    moves: he leaves his place; edge: rank outside the last man there (None: not an edge block).
    place: `edge`, `bubble`, `target`, a gap letter, `stay` or `away`.
    rank_men: whom he would take, best first, on that side; it may look at the play side, the offense and the front.
    """

    text: str
    step: str
    order: int
    counts: bool
    moves: bool
    place: str
    rank: int
    back_side: bool
    rank_men: Ranking


@dataclass(frozen=True, slots=True)
class Choice:
    """A blocking rule that may be a man's, compiled."""

    tests: tuple[BlockCondition, ...]
    verb: Verb
    step: Step | None


@dataclass(frozen=True, slots=True)
class PlannedThreat:
    """A threat of the concept and the man who is it."""

    rule: ThreatRule
    role: str


@dataclass(frozen=True, slots=True)
class Plan:
    """One concept to one side of one offense: labels per man, parts, and the rules that can apply to each man.

    `ground` keeps what was made of it already: the same blocks against another call leave the same lanes.
    """

    concept: Concept
    offense: Offense
    play: Side
    eyes: Side | None
    labels: Mapping[str, frozenset[str]]
    parts: Mapping[str, str]
    rules: tuple[tuple[Player, tuple[Choice, ...]], ...]
    threats: tuple[PlannedThreat, ...]
    ground: dict[Any, Any] = field(default_factory=dict, compare=False, repr=False)
