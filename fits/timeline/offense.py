"""The offense's tracks: carriers, the quarterback, routes and fakes first, then whoever blocks a man that moves."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil

from fits.blocking.resolve import ResolvedBlock
from fits.derive.ball import (
    HOLE_Y,
    SETTLE_S,
    Carry,
    Catch,
    Point,
    length_yd,
    puller_points,
    run_up_yd,
    under_centre,
)
from fits.derive.margins import FIT_DEPTH
from fits.offense.formation import Kind, OffensiveMan
from fits.offense.motion import motion_path
from fits.terms import Step
from fits.timeline.action import STEP_S, Action, place
from fits.timeline.way import Track, Way, beside, chase, follow, frames, run, then
from fits.timing import PULL, PULL_FIRST_S, Speed

Places = list[Point]
HANDS = 0.25  # seconds in which the ball goes from one man to the other
TOUCH = 0.6  # yards between a blocker and his man
STRIDE = 1.6  # yards a man on the line leaves his place sideways to stay with his man
CLIMB_S = 1.0  # a double holds so long before one man goes up (assumption)
CUSHION = 0.9  # yards a receiver blocks off the body of his man
CATCH_GUN_S, CATCH_UNDER_S = 0.45, 0.15


def attack(play: Action, count: int) -> tuple[dict[str, Places], Places, list[str | None]]:
    """Tracks of all men who may have the ball, of the quarterback and of fakes; the ball; who holds it."""
    out: dict[str, Places] = {}
    for course in play.courses:
        if course.role not in out:
            man = play.offense.by_role[course.role]
            track = _carry(play, man, course.way, course is play.courses[0]) if isinstance(course.way, Carry) else None
            out[course.role] = frames(track or _route(course.way), STEP_S, count)  # type: ignore[arg-type]
    passer = next(p for p in play.offense.formation.players if p.kind is Kind.QUARTERBACK)
    if passer.role not in out:
        out[passer.role] = _passer(play, passer, count)
    for role, job in play.jobs.items():
        if role not in out and job.verb.text in ("fake", "carry"):
            out[role] = _fake(play, job.man, count)
    ball, holder = _ball(play, out, passer, count)
    return out, ball, holder


def _carry(play: Action, man: OffensiveMan, way: Carry, has_ball: bool) -> Track:
    """The run of a carrier to the line and past it until he is met; a fake is run the same way."""
    end = Point(way.aim_x, 0.0)
    deep = _met_at(play) if has_ball else 1.0
    after = Way((way.mesh, *way.after, end, Point(way.aim_x, deep)))
    line_s = way.time_s(way.aim_x)
    to_line = length_yd((way.mesh, *way.after, end))
    if way.rests:
        before = run(Way(way.before), way.speed, play.first_s(man), way.mesh_s)
        go, began = way.mesh_s + SETTLE_S, 0.0
    else:
        before = run(Way(way.before), way.speed, way.start_s, way.mesh_s, way.run_up_yd)
        go, began = way.mesh_s, way.speed.time_to_s(way.run_up_yd + length_yd(way.before))
    base = way.speed.distance_yd(began)
    needed = way.speed.time_to_s(base + to_line) - began
    pace = min(1.0, needed / (line_s - go)) if line_s > go else 1.0

    def track(time_s: float) -> Point:
        if time_s < go:
            return before(min(time_s, way.mesh_s))
        return after.at(way.speed.distance_yd(began + (time_s - go) * pace) - base)

    return track


def _met_at(play: Action) -> float:
    """How far past the line the carrier gets: to the first man who fits in his lane in time."""
    lane = play.courses[0].lane
    met = [
        FIT_DEPTH[play.defenders[d.role].turn]
        for d in play.look.defenders
        if lane is not None and d.lane == lane and (d.margin_s is None or d.margin_s >= 0)
    ]
    return min(met, default=max(FIT_DEPTH) + 1.0)


def _route(way: Catch) -> Track:
    """A route, timed so that he meets the ball."""
    first = run(Way(way.points[: way.catch + 1]), way.speed, way.start_s, way.caught_s)
    rest = way.points[way.catch :]
    began = way.speed.time_to_s(length_yd(way.points[: way.catch + 1])) * 0.5
    return then(first, way.caught_s, _going(Way(rest), way.speed, way.caught_s, began))


def _going(way: Way, speed: Speed, start_s: float, began_s: float) -> Track:
    """A run that goes on from some way into a sprint."""
    base = speed.distance_yd(began_s)
    return lambda time_s: way.at(speed.distance_yd(began_s + max(0.0, time_s - start_s)) - base)


def _passer(play: Action, man: OffensiveMan, count: int) -> Places:
    """The quarterback to the mesh, then carrying out his fake away from the ball."""
    way = play.courses[0].way
    start, speed = place(man), play.speed(man)
    if isinstance(way, Catch):
        drop = Point(way.thrown_at.x, way.thrown_at.y)
        return chase(start, speed, play.first_s(man), lambda i, here: drop, STEP_S, count)
    side = play.look.to
    hand = Point(0.55 * start.x + 0.45 * way.mesh.x - 0.3 * side, min(start.y, way.mesh.y + 0.7))
    if length_yd((hand, way.mesh)) > 1.6:  # a toss: he turns and lets it go
        hand = Point(start.x + 0.5 * side, start.y - (0.8 if under_centre(play.offense) else 0.0))
    fake = Point(start.x - 3.0 * side, hand.y - 0.5)
    return chase(
        start, speed, play.first_s(man), lambda i, here: hand if i * STEP_S <= way.mesh_s else fake, STEP_S, count
    )


def _fake(play: Action, man: OffensiveMan, count: int) -> Places:
    side = play.look.to
    goal = Point(man.x - 1.6 * side, -0.8)
    return chase(
        place(man), play.speed(man), play.first_s(man), lambda i, here: goal, STEP_S, count, _run_up(play, man)
    )


def _run_up(play: Action, man: OffensiveMan) -> float:
    return run_up_yd(play.offense, man, play.spec.pace) if play.in_motion(man.role) else 0.0


def _ball(play: Action, out: Mapping[str, Places], passer: OffensiveMan, count: int) -> tuple[Places, list[str | None]]:
    way = play.courses[0].way
    caught_s = CATCH_UNDER_S if under_centre(play.offense) else CATCH_GUN_S
    given_s, had_s = (way.thrown_s, way.caught_s) if isinstance(way, Catch) else (way.mesh_s - HANDS, way.mesh_s)
    if isinstance(way, Carry) and length_yd((out[passer.role][min(round(had_s / STEP_S), count - 1)], way.mesh)) > 1.6:
        given_s = max(caught_s, had_s - 0.45)  # it flies
    given_s = max(given_s, caught_s)
    had_s = max(had_s, given_s + STEP_S) if way.role != passer.role else given_s
    ball: Places = []
    holder: list[str | None] = []
    for i in range(count):
        time_s = i * STEP_S
        hands = out[passer.role][i]
        if time_s < caught_s:
            ball.append(_between(Point(0.0, 0.0), hands, time_s / caught_s))
            holder.append(None)
        elif way.role == passer.role or time_s <= given_s:
            ball.append(hands)
            holder.append(passer.role)
        elif time_s < had_s:
            share = (time_s - given_s) / (had_s - given_s)
            start = out[passer.role][int(given_s / STEP_S)]
            ball.append(_between(start, out[way.role][i], share))
            holder.append(None)
        else:
            ball.append(out[way.role][i])
            holder.append(way.role)
    return ball, holder


def _between(a: Point, b: Point, share: float) -> Point:
    return Point(a.x + share * (b.x - a.x), a.y + share * (b.y - a.y))


def block(play: Action, offense: Mapping[str, Places], defense: Mapping[str, Places], count: int) -> dict[str, Places]:
    """Tracks of the men who block, against defenders whose tracks are known."""
    return {role: _blocker(play, job, defense, count) for role, job in play.jobs.items() if role not in offense}


def _blocker(play: Action, job: ResolvedBlock, defense: Mapping[str, Places], count: int) -> Places:
    man, start = job.man, place(job.man)
    first_s, run_up = play.first_s(man), _run_up(play, man)
    speed = play.speed(man)
    if job.step is Step.SET:
        goal = Point(1.05 * man.x, man.y - 1.3)
        return chase(start, speed, first_s, lambda i, here: goal, STEP_S, count)
    if job.verb.moves and job.step is not Step.CRACK:
        return _mover(play, job, defense, count)
    if job.on is None:
        goal = Point(job.end_x, 0.2) if job.counts else Point(man.x, man.y + 5.0)
        return chase(start, speed, first_s, lambda i, here: goal, STEP_S, count, run_up)
    target, climbs = follow(defense[job.on.name]), job.climbs_to
    up = None if climbs is None else follow(defense[climbs.name])
    apart = TOUCH if job.counts else CUSHION
    stays = job.counts and man.kind is not Kind.RECEIVER and job.step is not Step.CRACK

    def goal_at(i: int, here: Point) -> Point:
        if up is not None and i * STEP_S >= CLIMB_S:
            return beside(up(i), here, apart)
        spot = beside(target(i), here, apart)
        if not stays:
            return spot
        return Point(min(max(spot.x, job.end_x - STRIDE), job.end_x + STRIDE), spot.y)

    return chase(start, speed, first_s, goal_at, STEP_S, count, run_up)


def _mover(play: Action, job: ResolvedBlock, defense: Mapping[str, Places], count: int) -> Places:
    """A man who leaves his place: round the line, then on his man when he is near."""
    man, end = job.man, Point(job.end_x, HOLE_Y)
    if job.step is Step.PULL:
        points, speed, first_s, run_up = puller_points(job), PULL, PULL_FIRST_S, 0.0
    else:
        points, speed, first_s, run_up = _mover_points(job, end), play.speed(man), play.first_s(man), _run_up(play, man)
    way = Way(points)
    began = speed.time_to_s(run_up)
    there_s = first_s + speed.time_to_s(run_up + way.length) - began
    places = frames(run(way, speed, first_s, None, run_up), STEP_S, count)
    done = min(ceil(there_s / STEP_S), count)
    if done >= count:
        return places
    target = None if job.on is None else follow(defense[job.on.name])
    beyond = Point(job.end_x, 3.0)
    rest = chase(
        places[done - 1], speed, -(speed.time_to_s(run_up + way.length)),
        lambda i, here: beside(target(i + done - 1), here, TOUCH) if target else beyond, STEP_S, count - done + 1,
    )  # fmt: skip
    return [*places[:done], *rest[1:]]


def _mover_points(job: ResolvedBlock, end: Point) -> tuple[Point, ...]:
    man, start = job.man, place(job.man)
    way = 1.0 if end.x >= man.x else -1.0
    if not job.counts:  # an arc or a release to the perimeter
        return (start, Point(man.x + 1.2 * way, man.y + 0.4), Point(end.x, 4.0))
    if abs(end.x - man.x) < 2.0 or job.step is not Step.CROSS:
        return (start, Point(0.4 * man.x + 0.6 * end.x, min(0.5 * (man.y + HOLE_Y), -0.9)), end)
    deep = min(man.y, -1.0) - 0.9
    return (start, Point(man.x + 0.9 * way, deep), Point(end.x - 0.9 * way, deep + 0.3), end)


class Early:
    """The frames before the snap: the man in motion on his way, defenders who answer him, everybody else set."""

    def __init__(self, count: int, offense: Mapping[str, Places], defense: Mapping[str, Places]) -> None:
        self.frames = count
        self._offense, self._defense = offense, defense

    def offense(self, role: str, after: Places) -> Places:
        """An offensive man's places from the motion on, with those after the snap."""
        return [*self._offense.get(role, after[:1] * self.frames), *after]

    def defense(self, role: str, after: Places) -> Places:
        """The same of a defender."""
        return [*self._defense.get(role, after[:1] * self.frames), *after]


def before_snap(play: Action) -> Early:
    """The motion, run at the speed he has at the snap, and the defense's answers to it."""
    offense = play.offense
    if offense.motion is None or offense.before is None:
        return Early(0, {}, {})
    man, origin = offense.by_role[offense.motion], offense.before.by_role[offense.motion]
    way, speed = Way([Point(*p) for p in motion_path(origin, man)]), play.speed(man)
    run_up = run_up_yd(offense, man, play.spec.pace)
    gain_s = speed.time_to_s(run_up)
    top = max(speed.speed_yd_s(gain_s), 0.1)
    takes_s = gain_s + max(0.0, way.length - run_up) / top
    count = ceil(takes_s / STEP_S - 1e-9)

    def track(time_s: float) -> Point:
        ran = takes_s + time_s
        far = speed.distance_yd(ran) if ran < gain_s else run_up + (ran - gain_s) * top
        return way.at(far)

    times = [(i - count) * STEP_S for i in range(count)]
    answers: dict[str, Places] = {}
    for d in play.defenders.values():
        if d.start is not None:
            answer = Way((Point(*d.start), Point(d.x, d.y)))
            moved = run(answer, play.defender_speed(d.name), min(ANSWER_S, takes_s / 2) - takes_s, 0.0)
            answers[d.name] = [moved(t) for t in times]
    return Early(count, {man.role: [track(t) for t in times]}, answers)


ANSWER_S = 0.4  # after the motion starts a defender starts to answer it (assumption)
