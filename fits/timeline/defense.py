"""The defense's tracks: who has a lane is in it at his arrival; everybody else covers, pursues or stays."""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot

from fits.derive.ball import Point
from fits.derive.look import Defender
from fits.derive.margins import ARM, FIT_DEPTH, Arrival, arrival
from fits.rules.snap import Aligned
from fits.terms import Duty
from fits.timeline.action import STEP_S, Action
from fits.timeline.way import Track, Way, chase, follow, frames
from fits.timing import Speed, first_s

Places = list[Point]
RALLY_S = 0.5  # before the ball is at the line men without a fit leave their places for it (assumption)
DEEP_Y = 7.0  # who stands deeper and has no fit gains depth first
FIRST_STEPS_S = 0.35  # he takes his first steps at once, and reads in them
SHED = 0.8  # yards a man is held up over while he gets off a block


def defend(play: Action, offense: Mapping[str, Places], ball: Places, count: int) -> dict[str, Places]:
    """Every defender's places from the snap on."""
    out = {}
    for man in play.look.defenders:
        d = play.defenders[man.role]
        if man.lane is not None:
            out[man.role] = frames(_fit(play, man, d), STEP_S, count)
        else:
            out[man.role] = _free(play, man, d, offense, ball, count)
    return out


def _fit(play: Action, man: Defender, d: Aligned) -> Track:
    """To his fit by the time of his arrival: reading first, slowed where a blocker has him."""
    speed = play.defender_speed(man.role)
    parts = arrival(d, man.fit_x, play.situation, play.spec.pace, play.spec.roster)
    start, end = Point(d.x, d.y), Point(man.fit_x, FIT_DEPTH[d.turn])
    points = [start, *(Point(x, y) for x, y in d.path)]
    last = points[-1]
    left = hypot(end.x - last.x, end.y - last.y)
    if left > ARM:
        share = 1.0 - ARM / left
        points.append(Point(last.x + share * (end.x - last.x), last.y + share * (end.y - last.y)))
    return timed(Way(points), speed, parts)


def timed(way: Way, speed: Speed, parts: Arrival) -> Track:
    """A run that takes exactly the parts of an arrival: no sooner, and never faster than the speed."""
    needed = speed.time_to_s(way.length)
    free_s = parts.total_s - parts.first_s - parts.contact_s
    quick_s = min(FIRST_STEPS_S, 0.5 * needed)
    pace = (needed - quick_s) / (free_s - quick_s) if free_s > needed > 0.0 else 1.0
    held = min(SHED, 0.4 * way.length, 0.4 * parts.contact_s * speed.speed_yd_s(needed))
    met_s = parts.first_s + later(speed.time_to_s(max(way.length - held, 0.0)), quick_s, 1.0 / pace)

    def track(time_s: float) -> Point:
        ran = time_s - parts.first_s
        if ran <= 0.0:
            return way.at(0.0)
        if parts.contact_s == 0.0 or time_s <= met_s:
            return way.at(min(speed.distance_yd(later(ran, quick_s, pace)), way.length))
        share = min((time_s - met_s) / (parts.total_s - met_s), 1.0)
        return way.at(way.length - held * (1.0 - share))

    return track


def later(time_s: float, quick_s: float, pace: float) -> float:
    """The time on a clock that keeps time for its first seconds and then goes at that pace."""
    return time_s if time_s <= quick_s else quick_s + (time_s - quick_s) * pace


def _free(play: Action, man: Defender, d: Aligned, offense: Mapping[str, Places], ball: Places, count: int) -> Places:
    """A man without a lane: his pass duty or his threat first, the ball when it comes to the line."""
    start, speed = Point(d.x, d.y), play.defender_speed(man.role)
    first = first_s(man.group, d.y)
    carrier = follow(ball)
    line_s = play.look.threats[0].time_s
    spot = _spot(play, man, d)
    shadow = _receiver(play, d) if man.duty is Duty.MAN else None
    places = None if shadow is None else offense.get(shadow)

    def goal(i: int, here: Point) -> Point:
        if i * STEP_S > line_s - RALLY_S and man.duty is not Duty.MAN and abs(spot.x - ball[i].x) < 20.0:
            at = carrier(i)
            wide = 1.2 if d.x > at.x else -1.2  # each keeps the ball on his own side of it
            return Point(at.x + wide + 0.2 * (here.x - at.x), max(at.y, 0.0) + (4.0 if d.y > DEEP_Y else 1.5))
        if places is not None:
            at = places[i]
            return Point(at.x - (0.5 if at.x > 0 else -0.5), at.y + 1.2)
        return spot

    return chase(start, speed, first, goal, STEP_S, count)


def _spot(play: Action, man: Defender, d: Aligned) -> Point:
    """Where he goes before the ball declares itself."""
    threats = {t.kind: t for t in play.look.threats}
    kind = {Duty.QUARTERBACK: "keep", Duty.PITCH: "pitch"}.get(man.duty)
    threat = threats.get(kind) if kind else None
    if threat is not None and threat.lane is not None:
        return Point(play.look.lanes[threat.lane].x, 1.0)
    if man.duty is Duty.FREE:
        return Point(man.fit_x, man.fit_y)
    if d.y >= DEEP_Y:
        return Point(d.x, d.y + 1.5)
    if man.duty is Duty.CONFLICT:
        return Point(d.x, d.y - 0.4)
    return Point(d.x + (0.5 if d.x > 0 else -0.5), d.y + 0.6)


def _receiver(play: Action, d: Aligned) -> str | None:
    """The eligible man he has: the nearest by alignment."""
    side = play.offense.view(d.side).receivers if d.side is not None else ()
    men = side or play.offense.backfield
    return min(men, key=lambda p: (abs(p.x - d.x), p.role)).role if men else None
