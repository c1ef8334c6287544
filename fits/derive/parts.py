"""The parts of a look: blocks, lanes, threats, defenders, pass numbers."""

from __future__ import annotations

from dataclasses import dataclass

from fits.defense.system import FiredRule
from fits.field import Side
from fits.terms import Duty, Leverage, Step


@dataclass(frozen=True, slots=True)
class Block:
    """What one offensive player does: his first step, whom he blocks (`on`) and where he ends (x, y).

    `mover` is true for a man who leaves his place to block elsewhere; `counts` for a run blocker (he makes a lane).
    Of a double both men are `on` the same defender, and at most one `climbs_to` a backer.
    """

    role: str
    step: Step
    does: str
    on: str | None
    x: float
    y: float
    start_x: float
    start_y: float
    mover: bool
    counts: bool
    climbs_to: str | None = None


@dataclass(frozen=True, slots=True)
class Lane:
    """A space between two run blockers, numbered from left to right; `x` is its middle at the fit point."""

    index: int
    name: str
    gaps: tuple[str, ...]
    left: str | None
    right: str | None
    x: float
    owners: tuple[str, ...]
    threats: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Threat:
    """A man who may carry the ball, the lane he attacks (None outside the run) and who has him."""

    kind: str
    role: str
    lane: int | None
    side: Side | None
    time_s: float
    owners: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Defender:
    """One defender's whole assignment. (x, y) is his alignment, (fit_x, fit_y) where he fits, margins in seconds.

    `sights` is what he saw that his fit used, in the order he sees it; `saw` the same as one text.
    """

    role: str
    position: str
    group: str
    side: Side | None
    technique: str
    x: float
    y: float
    key: str
    saw: str
    sights: tuple[str, ...]
    fit: str
    lane: int | None
    leverage: Leverage
    duty: Duty
    rule: FiredRule
    why: str
    margin_s: float | None
    fit_x: float
    fit_y: float


@dataclass(frozen=True, slots=True)
class PassSide:
    """The pass numbers of one side: who defends, who may catch, who is in conflict."""

    side: Side
    defenders: tuple[str, ...]
    receivers: tuple[str, ...]
    conflict: tuple[str, ...]
    text: str
