"""Pass: where each ball carrier goes, and when the ball is there."""

from __future__ import annotations

from collections.abc import Mapping

from fits.blocking.courses import BY_KIND, QUARTERBACK_RUN, RECEIVER_RUN, load_courses
from fits.blocking.lane_phrases import LANE_PHRASES
from fits.blocking.lanes import LaneMap
from fits.blocking.plan import BlockingPlan, PlannedThreat
from fits.blocking.resolve import Blocks
from fits.derive.ball import Carry, Catch, carry_ball, puller_s, throw_ball
from fits.field import Side
from fits.offense.formation import Kind, OffensiveMan
from fits.terms import Step
from fits.timing import Pace
from fits.values import value


@value
class Course:
    """A threat before anybody has it: its lane (None outside the run), side and time at the line in seconds.

    `way` is how he gets there: a run to the line, or a route with a throw (its time is the catch).
    """

    kind: str
    role: str
    lane: int | None
    side: Side | None
    time_s: float
    way: Carry | Catch


def place_threats(plan: BlockingPlan, lanes: LaneMap, blocks: Blocks, pace: Pace) -> tuple[Course, ...]:
    """Each threat of the plan in its lane; the first is the ball carrier. Nobody runs past the puller he follows.

    Raises NotRunnable.
    """
    movers = [j for j in blocks.jobs.values() if j.verb.moves and j.counts]
    pulls = {j.man.role: puller_s(j) for j in movers if j.step is Step.PULL}
    return tuple([_place(plan, lanes, threat, pulls, pace) for threat in plan.threats])


def _place(plan: BlockingPlan, lanes: LaneMap, threat: PlannedThreat, pulls: Mapping[str, float], pace: Pace) -> Course:
    rule, man = threat.rule, plan.offense.by_role[threat.role]
    lane, side = LANE_PHRASES.compile(rule.where)(plan, lanes)
    name = rule.course or _usual(rule.kind, man, plan)
    if lane is None:
        key = rule.kind, name, man.role, rule.time_s, plan.play, side, pace.factor
        found: Course | None = plan.shared.get(key)
        if found is None:
            routes = load_courses().routes
            catch = throw_ball(plan, man, routes.get(name) or routes[BY_KIND["route"]], pace)
            time_s = round(rule.time_s or catch.caught_s, 3)
            found = plan.shared[key] = Course(rule.kind, threat.role, None, side, time_s, catch)
        return found
    space = lanes.spaces[lane]
    own_s = rule.time_s or plan.concept.time_s
    follows = pulls.get(space.left or "", 0.0), pulls.get(space.right or "", 0.0)
    where = rule.kind, name, man.role, own_s, plan.play, side, pace.factor, lane, space.x, *follows
    found = plan.shared.get(where)
    if found is None:
        shapes = load_courses().shapes
        shape = shapes.get(name) or shapes[BY_KIND["run"]]
        carry = carry_ball(plan, man, shape, side or plan.play, space.x, pace)
        soonest = carry.time_s(space.x)
        carry.held_s = max(0.0, *[s - soonest for s in follows]) if own_s is None else own_s - soonest
        time_s = round(carry.time_s(space.x), 3)
        found = plan.shared[where] = Course(rule.kind, threat.role, lane, side, time_s, carry)
    return found


def _usual(kind: str, man: OffensiveMan, plan: BlockingPlan) -> str:
    """The course of a threat whose row names none."""
    if kind in ("run", "sweep"):
        if man.kind is Kind.QUARTERBACK:
            return QUARTERBACK_RUN
        if man.kind in (Kind.RECEIVER, Kind.TIGHT_END) or man.role == plan.offense.motion:
            return RECEIVER_RUN
    return BY_KIND[kind]
