"""Pass: the ground a play is run on: its lanes, where each threat goes and when the ball can be where.

It depends on the plan and on where the blockers end up, so calls that are blocked alike share it.
"""

from __future__ import annotations

from fits.blocking.lanes import LaneMap, make_lanes
from fits.blocking.plan import Plan
from fits.blocking.resolve import Blocks
from fits.derive.margins import ball_times_s
from fits.derive.threats import Course, place_threats
from fits.values import record


@record
class Ground:
    """Lanes left to right, threats in them, and for each lane the soonest the ball can be there, in seconds."""

    lanes: LaneMap
    courses: tuple[Course, ...]
    ball_s: list[float]


def lay_ground(plan: Plan, blocks: Blocks) -> Ground:
    """The ground those blocks leave. Nobody may change it: it is kept with the plan."""
    ground: Ground | None = plan.ground.get(blocks.shape)
    if ground is None:
        lanes = make_lanes(plan, blocks)
        courses = place_threats(plan, lanes)
        ground = plan.ground[blocks.shape] = Ground(lanes, courses, ball_times_s(courses, lanes))
    return ground
