"""Pass: the ground a play is run on: its lanes, where each threat goes and when the ball can be where.

It depends on the plan, the level of play and on where the blockers end up, so calls that are blocked alike share it.
"""

from __future__ import annotations

from collections.abc import Mapping

from fits.blocking.lanes import LaneMap, make_lanes
from fits.blocking.plan import BlockingPlan
from fits.blocking.resolve import Blocks
from fits.derive.ball import Carry
from fits.derive.parts import Lane
from fits.derive.threats import Course, ball_ranges, place_threats
from fits.field import LEFT, RIGHT, Side
from fits.timing import Pace
from fits.values import field, record, replace

NEVER_S = 99.0


@record
class Ground:
    """Lanes left to right, threats in them, and for each lane the soonest the ball can be there, in seconds.

    `threat_lanes` is the lane of each kind of threat, `threatened` are the lanes of threats, `aim_x` the middle of the
    carrier's own lane. `ranges` are the first and the last lane each threat endangers. `empty` are the lanes as records
    before anybody has one, `owned` those that somebody had in one call or another. `receivers` are those who may go
    out on each side.
    """

    lanes: LaneMap
    courses: tuple[Course, ...]
    ranges: tuple[tuple[int, int], ...]
    ball_s: list[float]
    threat_lanes: Mapping[str, int | None]
    threatened: frozenset[int]
    empty: tuple[Lane, ...]
    aim_x: float
    receivers: Mapping[Side, tuple[str, ...]]
    owned: dict[tuple[int | str, ...], Lane] = field(default_factory=dict)


def lay_ground(plan: BlockingPlan, blocks: Blocks, pace: Pace) -> Ground:
    """The ground those blocks leave. Nobody may change it: it is kept with the plan. Raises NotRunnable."""
    key = (blocks.shape, pace.factor)
    ground: Ground | None = plan.ground.get(key)
    if ground is None:
        ground = plan.ground[key] = _ground(plan, blocks, pace)
    return ground


def _ground(plan: BlockingPlan, blocks: Blocks, pace: Pace) -> Ground:
    lanes = make_lanes(plan, blocks)
    courses = place_threats(plan, lanes, blocks, pace)
    receivers = {side: _receivers(plan, blocks, side) for side in (LEFT, RIGHT)}
    ranges = ball_ranges(plan, lanes, blocks, courses)
    key = (id(lanes), *map(id, courses), ranges)  # both are kept by what is kept here
    known: Ground | None = plan.shared.get(key)
    if known is None:
        known = plan.shared[key] = _lay(lanes, courses, ranges, receivers)
    return known if known.receivers == receivers else replace(known, receivers=receivers)


def _lay(
    lanes: LaneMap,
    courses: tuple[Course, ...],
    ranges: tuple[tuple[int, int], ...],
    receivers: Mapping[Side, tuple[str, ...]],
) -> Ground:
    threat_lanes: dict[str, int | None] = {}
    in_lane: list[tuple[str, ...]] = [()] * len(lanes.spaces)
    for c in courses:
        threat_lanes.setdefault(c.kind, c.lane)
        if c.lane is not None:
            in_lane[c.lane] = (*in_lane[c.lane], c.kind)
    aims = [c.lane for c in courses if c.lane is not None]
    ball_s = ball_times_s(courses, lanes)
    return Ground(
        lanes,
        courses,
        ranges,
        ball_s,
        threat_lanes,
        frozenset([lane for lane in threat_lanes.values() if lane is not None]),
        tuple(
            [
                Lane(i, p.name, p.gaps, p.left, p.right, p.x, (), in_lane[i], round(ball_s[i], 3))
                for i, p in enumerate(lanes.spaces)
            ]
        ),
        lanes.spaces[aims[0]].x if aims else 0.0,
        receivers,
    )


def _receivers(plan: BlockingPlan, blocks: Blocks, side: Side) -> tuple[str, ...]:
    """Who of that side may still go out: neither a run blocker nor the man with the ball."""
    jobs = blocks.jobs
    return tuple(
        [
            p.role
            for p in plan.offense.view(side).receivers
            if not jobs[p.role].counts and not jobs[p.role].helps and jobs[p.role].verb.text != "carry"
        ]
    )


def ball_times_s(courses: tuple[Course, ...], lanes: LaneMap) -> list[float]:
    """For each lane the soonest any threat can cross the line in it."""
    runs = [c.way for c in courses if isinstance(c.way, Carry)]
    return [min((run.time_s(space.x) for run in runs), default=NEVER_S) for space in lanes.spaces]
