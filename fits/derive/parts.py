"""The parts of a look: blocks, lanes, threats, defenders, pass numbers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple, Protocol

from fits.blocking.resolve import Left
from fits.defense.system import FiredRule
from fits.explain import why
from fits.field import Side
from fits.terms import Duty, Leverage, Step


class Account(Protocol):
    """What a look can tell beyond its records, worked out when it is asked for."""

    def sights(self, role: str) -> tuple[str, ...]:
        """What that defender saw."""

    def blocks(self) -> tuple[Block, ...]:
        """What each offensive player does."""

    def defenders(self) -> tuple[Defender, ...]:
        """Every defender's whole assignment."""

    def left_alone(self) -> tuple[Left, ...]:
        """Whom nobody blocks on purpose."""

    def motion_way(self) -> tuple[tuple[float, float], ...]:
        """The way of the man in motion to where he is at the snap; nothing without motion."""

    def routes(self) -> Mapping[str, tuple[tuple[float, float], ...]]:
        """The way of each man who may be thrown to, from his place."""


class Job(NamedTuple):
    """What the audit looks at of a defender's assignment: `Defender` in short."""

    role: str
    group: str
    side: Side | None
    x: float
    y: float
    lane: int | None
    leverage: Leverage
    duty: Duty


class Block(NamedTuple):
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


class Lane(NamedTuple):
    """A space between two run blockers, numbered from left to right; `x` is its middle at the fit point.

    `ball_s` is the soonest the ball can cross the line there, in seconds after the snap.
    """

    index: int  # type: ignore[assignment]  # a lane's number, not the method of a tuple
    name: str
    gaps: tuple[str, ...]
    left: str | None
    right: str | None
    x: float
    owners: tuple[str, ...]
    threats: tuple[str, ...]
    ball_s: float


class Threat(NamedTuple):
    """A man who may carry the ball, the lane he attacks (None outside the run) and who has him.

    `range` is the first and the last lane where it loses the play that nobody is there; who goes `inside` does not
    bounce.
    """

    kind: str
    role: str
    lane: int | None
    side: Side | None
    time_s: float
    owners: tuple[str, ...]
    range: tuple[int, int]
    inside: bool


class Defender(NamedTuple):
    """One defender's whole assignment. (x, y) is his alignment, (fit_x, fit_y) where he fits.

    `arrival_s` is when he can make a play in his lane, in seconds after the snap (None without a lane); `margin_s` the
    ball's time there less his, only where it means something: he must travel, or it is the ball's lane.

    What he saw is worked out when it is asked for.
    `path` is the way a called movement takes him (empty without one), `sent` true in a pressure, `check` what he does
    about a motion, `start` where he stood before it (None when he did not move).
    """

    role: str
    position: str
    group: str
    side: Side | None
    technique: str
    x: float
    y: float
    key: str
    fit: str
    lane: int | None
    leverage: Leverage
    duty: Duty
    rule: FiredRule
    margin_s: float | None
    arrival_s: float | None
    fit_x: float
    fit_y: float
    path: tuple[tuple[float, float], ...]
    sent: bool
    check: str
    start: tuple[float, float] | None
    account: Account

    @property
    def sights(self) -> tuple[str, ...]:
        """What he saw that his fit used, in the order he sees it; formation and call aside."""
        return self.account.sights(self.role)

    @property
    def saw(self) -> str:
        """The same as one text."""
        return ", ".join(self.sights) or "the ball"

    @property
    def why(self) -> str:
        """The rule that fired and what it saw, in one sentence."""
        rule = self.rule.rule
        return why(rule.id, rule.when, rule.fit, rule.say, self.saw)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Defender):
            return NotImplemented
        return self[:-1] == other[:-1] and self.sights == other.sights

    def __ne__(self, other: object) -> bool:
        return not self == other

    def __hash__(self) -> int:
        return hash(self[:-1])


class PassSide(NamedTuple):
    """The pass numbers of one side: who defends, who may catch, who is in conflict."""

    side: Side
    defenders: tuple[str, ...]
    receivers: tuple[str, ...]
    conflict: tuple[str, ...]
    text: str
