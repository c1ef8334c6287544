"""Pass: where each ball carrier goes."""

from __future__ import annotations

from fits.blocking.lane_phrases import LANE_PHRASES
from fits.blocking.lanes import LaneMap
from fits.blocking.plan import Plan
from fits.field import Side
from fits.values import value


@value
class Course:
    """A threat before anybody has it: its lane (None outside the run), side and time at the line in seconds."""

    kind: str
    role: str
    lane: int | None
    side: Side | None
    time_s: float


def place_threats(plan: Plan, lanes: LaneMap) -> tuple[Course, ...]:
    """Each threat of the plan in its lane; the first is the ball carrier."""
    out = []
    for threat in plan.threats:
        rule = threat.rule
        lane, side = LANE_PHRASES.compile(rule.where)(plan, lanes)
        out.append(Course(rule.kind, threat.role, lane, side, rule.time_s or plan.concept.time_s))
    return tuple(out)
