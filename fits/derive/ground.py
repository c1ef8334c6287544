"""Pass: the ground a play is run on: its lanes, where each threat goes and when the ball can be where.

It depends on the plan, the level of play and on where the blockers end up, so calls that are blocked alike share it.
"""

from __future__ import annotations

from fits.blocking.lanes import LaneMap, make_lanes
from fits.blocking.plan import BlockingPlan
from fits.blocking.resolve import Blocks
from fits.derive.ball import Carry
from fits.derive.threats import Course, place_threats
from fits.timing import Pace
from fits.values import record

NEVER_S = 99.0


@record
class Ground:
    """Lanes left to right, threats in them, and for each lane the soonest the ball can be there, in seconds."""

    lanes: LaneMap
    courses: tuple[Course, ...]
    ball_s: list[float]


def lay_ground(plan: BlockingPlan, blocks: Blocks, pace: Pace) -> Ground:
    """The ground those blocks leave. Nobody may change it: it is kept with the plan. Raises NotRunnable."""
    key = (blocks.shape, pace.factor)
    ground: Ground | None = plan.ground.get(key)
    if ground is None:
        lanes = make_lanes(plan, blocks)
        courses = place_threats(plan, lanes, blocks, pace)
        ground = plan.ground[key] = Ground(lanes, courses, ball_times_s(courses, lanes))
    return ground


def ball_times_s(courses: tuple[Course, ...], lanes: LaneMap) -> list[float]:
    """For each lane the soonest any threat can cross the line in it."""
    runs = [c.way for c in courses if isinstance(c.way, Carry)]
    return [min((run.time_s(space.x) for run in runs), default=NEVER_S) for space in lanes.spaces]
