"""When the ball can be where: a carrier's way behind the line, in yards, and his clock in seconds after the snap."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import hypot
from typing import NamedTuple

from fits.blocking.courses import Route, Shape, Via
from fits.blocking.plan import BlockingPlan
from fits.blocking.resolve import ResolvedBlock
from fits.errors import NotRunnable
from fits.field import Side
from fits.offense.formation import Kind, Offense, OffensiveMan
from fits.offense.motion import motion_path
from fits.timing import FIRST_S, PULL, PULL_FIRST_S, Pace, Speed
from fits.values import record

UNDER_Y = -2.2  # a quarterback in front of this is under centre
BALL_YD_S = 18.0  # a thrown ball (assumption)
CUT_S = 0.15  # a cut to another lane than the one he aims at (assumption)
SETTLE_S = 0.10  # from the catch to the first step with the ball (assumption)
PULL_DIP = 0.9  # yards a puller clears the line by
FOLLOW_YD = 1.0  # the carrier follows a puller this close (assumption)
HOLE_Y = 0.6  # where a moving blocker ends, past the line

GROUP_OF = {
    Kind.LINE: "offensive line",
    Kind.QUARTERBACK: "quarterback",
    Kind.BACK: "back",
    Kind.TIGHT_END: "tight end",
    Kind.RECEIVER: "receiver",
}


class Point(NamedTuple):
    """A place in yards."""

    x: float
    y: float


def length_yd(points: Iterable[Point]) -> float:
    """The length of a way."""
    return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points))


@record
class Carry:
    """A carrier's run to `aim_x` at the line.

    He starts at `start_s` with `run_up_yd` of his sprint behind him, follows `before` to the mesh, has the ball at
    `mesh_s`, and follows `after` to the line. `rests`: he starts from a stand at the mesh. `held_s` is what he waits
    behind the line: for a puller he follows, or by a staff's own time. Made of these: `there_yd` and `there_s` are how
    far and how long a sprint takes him to the mesh, `legs_yd` is how far he goes from it before he turns to the line.
    """

    role: str
    speed: Speed
    start_s: float
    run_up_yd: float
    before: tuple[Point, ...]
    mesh_s: float
    after: tuple[Point, ...]
    rests: bool
    aim_x: float
    held_s: float = 0.0
    legs_yd: float = 0.0
    there_yd: float = 0.0
    there_s: float = 0.0

    def __post_init__(self) -> None:
        self.legs_yd = length_yd((self.mesh, *self.after))
        self.there_yd = self.run_up_yd + length_yd(self.before)
        self.there_s = self.speed.time_to_s(self.there_yd)

    @property
    def mesh(self) -> Point:
        """Where he gets the ball."""
        return self.before[-1]

    def time_s(self, x: float) -> float:
        """Seconds from the snap until he can cross the line at x."""
        last = (self.after or self.before)[-1]
        way = self.legs_yd + hypot(x - last.x, 0.0 - last.y)
        held_s = self.held_s + (0.0 if x == self.aim_x else CUT_S)
        if self.rests:
            return self.mesh_s + SETTLE_S + self.speed.time_to_s(way) + held_s
        run = self.speed.time_to_s(self.there_yd + way) - self.there_s
        return self.mesh_s + run + held_s


@record
class Catch:
    """A receiver's route with the ball thrown to him: thrown from `thrown_at` at `thrown_s`, caught at `time_s`."""

    role: str
    speed: Speed
    start_s: float
    points: tuple[Point, ...]
    catch: int
    thrown_at: Point
    thrown_s: float
    caught_s: float


def under_centre(offense: Offense) -> bool:
    """True when the quarterback takes the snap from the centre's hands."""
    return _quarterback(offense).y >= UNDER_Y


def carry_ball(plan: BlockingPlan, man: OffensiveMan, shape: Shape, side: Side, aim_x: float, pace: Pace) -> Carry:
    """That man's run to an aim on that side. Raises NotRunnable when he cannot be at the mesh in time."""
    offense, mesh = plan.offense, shape.mesh
    under = under_centre(offense)
    spot, mesh_s = (mesh.under, mesh.under_s) if under else (mesh.gun, mesh.gun_s)
    group = GROUP_OF[man.kind]
    speed = pace.speed(group)
    toward = side
    if mesh.own_side:
        off = man.x - _quarterback(offense).x
        toward = Side(1 if off > 0 else -1) if abs(off) > 0.5 else side
    first = [_mark(v, plan, man, side, aim_x) for v in shape.first]
    before = (Point(man.x, man.y), *first, _mark(spot, plan, man, toward, aim_x))
    after = tuple(_mark(v, plan, man, side, aim_x) for v in shape.via)
    rests = shape.waits or man.kind is Kind.QUARTERBACK
    start_s, run_up = FIRST_S[group], 0.0
    if offense.motion == man.role:
        start_s, run_up = 0.0, run_up_yd(offense, man, pace)
    if not rests:
        way = length_yd(before)
        soonest = start_s + speed.time_to_s(run_up + way) - speed.time_to_s(run_up)
        if mesh.latest_s is not None and soonest > mesh.latest_s:
            raise NotRunnable(
                f"{plan.concept.called} cannot be run from {offense.formation.called}: {man.role} stands {way:.1f} yd "
                f"from the handoff and would be there {soonest:.1f} s after the snap, expected {mesh.latest_s:g} s "
                "at most: send him in motion, or line him up closer"
            )
        mesh_s = max(mesh_s, soonest)
    return Carry(man.role, speed, start_s, run_up, before, mesh_s, after, rests, aim_x)


def throw_ball(plan: BlockingPlan, man: OffensiveMan, route: Route, pace: Pace) -> Catch:
    """The throw to that man on that route."""
    offense = plan.offense
    passer, under = _quarterback(offense), under_centre(offense)
    side = man.side or plan.play
    points = (Point(man.x, man.y), *(Point(man.x + side * v.x, man.y + v.y) for v in route.points))
    thrown_at = Point(passer.x, passer.y - (1.5 if under else 0.0))
    thrown_s = route.under_s if under else route.gun_s
    spot, speed, start_s = points[route.catch], pace.speed(GROUP_OF[man.kind]), FIRST_S[GROUP_OF[man.kind]]
    there_s = start_s + speed.time_to_s(length_yd(points[: route.catch + 1]))
    flight_s = hypot(spot.x - thrown_at.x, spot.y - thrown_at.y) / BALL_YD_S
    caught_s = max(thrown_s + flight_s, there_s)
    return Catch(man.role, speed, start_s, points, route.catch, thrown_at, caught_s - flight_s, caught_s)


def run_up_yd(offense: Offense, man: OffensiveMan, pace: Pace) -> float:
    """How much of a sprint lies behind the man in motion at the snap: no more than he ran, no faster than he may."""
    if offense.before is None:
        return 0.0
    origin = offense.before.by_role[man.role]
    speed = pace.speed(GROUP_OF[man.kind])
    limit = min(pace.motion_yd_s(offense.motion_speed), 0.98 * speed.v_yd_s)
    ran = length_yd(Point(*p) for p in motion_path(origin, man))
    return min(ran, speed.run_up_yd(limit))


def puller_points(job: ResolvedBlock) -> tuple[Point, ...]:
    """The way of a blocker who pulls: off the line, along it, up into his place."""
    man, way = job.man, 1.0 if job.end_x >= job.man.x else -1.0
    start, end = Point(man.x, man.y), Point(job.end_x, HOLE_Y)
    if abs(end.x - start.x) < 2.0:
        return (start, Point(start.x + 0.4 * way, start.y - 0.5 * PULL_DIP), end)
    deep = man.y - PULL_DIP
    return (start, Point(start.x + 1.0 * way, deep), Point(end.x - 0.9 * way, deep), end)


def puller_s(job: ResolvedBlock) -> float:
    """Seconds from the snap until a man can run behind a puller into the hole."""
    return PULL_FIRST_S + PULL.time_to_s(length_yd(puller_points(job)) - FOLLOW_YD)


def _quarterback(offense: Offense) -> OffensiveMan:
    return next(p for p in offense.formation.players if p.kind is Kind.QUARTERBACK)


def _mark(via: Via, plan: BlockingPlan, man: OffensiveMan, side: Side, aim_x: float) -> Point:
    offense = plan.offense
    if via.of in ("carrier", "quarterback"):
        origin = man if via.of == "carrier" else _quarterback(offense)
        return Point(origin.x + side * via.x, origin.y + via.y)
    surface: Sequence[OffensiveMan] = offense.view(side).surface
    x = {"aim": aim_x, "ball": 0.0, "tackle": surface[1].x, "edge": surface[-1].x}[via.of]
    return Point(x + side * via.x, via.y)
