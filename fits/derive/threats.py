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

    `way` is how he gets there: a run to the line, or a route with a throw (its time is the catch). `bends`, `inside`
    and `lanes` are what his course says of lanes beyond his own.
    """

    kind: str
    role: str
    lane: int | None
    side: Side | None
    time_s: float
    way: Carry | Catch
    bends: bool = False
    inside: bool = False
    lanes: int | None = None


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
        found = Course(rule.kind, threat.role, lane, side, time_s, carry, shape.bends, shape.inside, shape.lanes)
        plan.shared[where] = found
    return found


NOWHERE = (0, -1)


def ball_ranges(
    plan: BlockingPlan, lanes: LaneMap, blocks: Blocks, courses: tuple[Course, ...]
) -> tuple[tuple[int, int], ...]:
    """For each threat the first and the last lane where it loses the play that nobody is there. Common practice.

    He gets one lane behind his own, or as far as his course bends: to the back edge, or just past a man who comes
    across to kick on the back side. To the outside he may bounce all the way, unless the ball goes wide anyway
    or his course says how many lanes he gets; to either side of a man who leads he gets too.
    """
    wide, last = courses[0].kind == "sweep", len(lanes.spaces) - 1
    out = []
    for c in courses:
        if c.lane is None:
            out.append(NOWHERE)
            continue
        way = int(c.side or plan.play)
        behind = _bent(plan, lanes, blocks, way) if c.bends else c.lane - way
        ahead = c.lane + way if wide else last if way > 0 else 0
        low, high = (behind, ahead) if way > 0 else (ahead, behind)
        low, high = min(low, c.lane - 1), max(high, c.lane + 1)
        if c.lanes is not None:
            led = [lanes.place[j.man.role] for j in blocks.movers]
            low = max(low, min([c.lane - c.lanes, *led]))
            high = min(high, max([c.lane + c.lanes, *[place + 1 for place in led]]))
        out.append((low, high))
    return tuple(out)


def _bent(plan: BlockingPlan, lanes: LaneMap, blocks: Blocks, way: int) -> int:
    """The last lane behind the ball that a run bends to."""
    kicks = [lanes.place[j.man.role] for j in blocks.movers if j.verb.turns_out and j.end_x * way < 0]
    if not kicks:
        return 0 if way > 0 else len(lanes.spaces) - 1
    return min(kicks) if way > 0 else max(kicks) + 1


def _usual(kind: str, man: OffensiveMan, plan: BlockingPlan) -> str:
    """The course of a threat whose row names none."""
    if kind in ("run", "sweep"):
        if man.kind is Kind.QUARTERBACK:
            return QUARTERBACK_RUN
        if man.kind in (Kind.RECEIVER, Kind.TIGHT_END) or man.role == plan.offense.motion:
            return RECEIVER_RUN
    return BY_KIND[kind]
