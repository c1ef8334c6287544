"""What the audit looks at: a derived look before its findings are added."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from fits.blocking.resolve import ResolvedBlock
from fits.defense.duties import DutyGap
from fits.derive.parts import Job, Lane, PassSide, Threat
from fits.field import Side
from fits.offense.formation import Offense
from fits.values import field, record

Forcers = tuple[list[Job], list[Job]]  # owners of an edge who do not play inside, free men who force


class Spare(NamedTuple):
    """Seconds that the first of those men has to spare, by their pace: against `carrier`, the quarterback or the pitch
    whose men they are, or against whoever comes first (None) when they are all the lane has."""

    usual: float
    slow: float
    fast: float
    roles: tuple[str, ...]
    carrier: str | None


@record
class Evidence:
    """The parts of a look. `margin_s` gives what a man has to spare in his lane, None where that means nothing; `force`
    names the coverage's force players; `cracked` those a wide man cracks;
    `mover_on` the mover who blocks a man; `on` all who block him; `stands` where he is after the movement called for
    him; `duty_gaps` what the coverage leaves to nobody or to two.

    The audit itself fills in `free`, the men without a lane, `spare`, by lane, and `forcers`, by side.
    """

    play: Side
    eyes: Side | None
    flags: frozenset[str]
    lanes: tuple[Lane, ...]
    threats: tuple[Threat, ...]
    defenders: tuple[Job, ...]
    by_role: dict[str, Job]
    margin_s: Callable[[str], float | None]
    passes: tuple[PassSide, ...]
    force: frozenset[str]
    takes: Mapping[str, str]
    cracked: Sequence[str]
    mover_on: Mapping[str, str]
    open_lanes: list[int]
    offense: Offense
    jobs: Mapping[str, ResolvedBlock]
    on: Mapping[str, Sequence[str]]
    stands: Mapping[str, float]
    duty_gaps: tuple[DutyGap, ...]
    free: Sequence[Job] = ()
    spare: Sequence[Spare | None] = ()
    forcers: dict[Side, Forcers] = field(default_factory=dict)


def edges(e: Evidence, lane: Lane) -> tuple[float, float]:
    """Where the blockers left and right of a lane end, in yards; 99 outside the last."""
    low = -99.0 if lane.left is None else e.jobs[lane.left].end_x
    return low, 99.0 if lane.right is None else e.jobs[lane.right].end_x
