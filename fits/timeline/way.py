"""A way to run and the clocks that say how far along it a man is."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Sequence
from itertools import pairwise
from math import hypot

from fits.derive.ball import Point, length_yd
from fits.timing import Speed

ROUNDS = 2  # how often corners are cut

Track = Callable[[float], Point]


class Way:
    """A line through points with its corners rounded; distances are those of the line before rounding.

    Rounding only shortens, so that whoever keeps to a speed on the line keeps to it on the round way.
    """

    def __init__(self, points: Sequence[Point]) -> None:
        self.length = length_yd(points)
        self._points = _rounded([p for i, p in enumerate(points) if i == 0 or p != points[i - 1]])
        self._marks = [0.0]
        for a, b in pairwise(self._points):
            self._marks.append(self._marks[-1] + hypot(b.x - a.x, b.y - a.y))

    def at(self, distance: float) -> Point:
        """The place after that distance, 0 to `length`."""
        if len(self._points) == 1 or distance <= 0.0:
            return self._points[0]
        if distance >= self.length:
            return self._points[-1]
        there = distance / self.length * self._marks[-1]
        i = min(bisect_right(self._marks, there), len(self._marks) - 1)
        a, b, start, end = self._points[i - 1], self._points[i], self._marks[i - 1], self._marks[i]
        share = (there - start) / (end - start)
        return Point(a.x + share * (b.x - a.x), a.y + share * (b.y - a.y))


def _rounded(points: list[Point]) -> list[Point]:
    """Corner cutting (Chaikin 1974), the ends kept."""
    for _ in range(ROUNDS if len(points) > 2 else 0):
        cut = [points[0]]
        for a, b in pairwise(points):
            cut.append(Point(0.75 * a.x + 0.25 * b.x, 0.75 * a.y + 0.25 * b.y))
            cut.append(Point(0.25 * a.x + 0.75 * b.x, 0.25 * a.y + 0.75 * b.y))
        points = [*cut, points[-1]]
    return points


def stand(place: Point) -> Track:
    """He stays there."""
    return lambda time_s: place


def run(way: Way, speed: Speed, start_s: float, end_s: float | None = None, run_up_yd: float = 0.0) -> Track:
    """A run along a way from `start_s`; with `end_s` no faster than needed to be at its end then."""
    began = speed.time_to_s(run_up_yd)
    needed = speed.time_to_s(run_up_yd + way.length) - began
    pace = 1.0 if end_s is None or end_s - start_s <= needed else needed / (end_s - start_s)

    def track(time_s: float) -> Point:
        ran = max(0.0, time_s - start_s) * pace
        return way.at(speed.distance_yd(began + ran) - run_up_yd)

    return track


def then(first: Track, from_s: float, second: Track) -> Track:
    """The first track until that time, the second from there."""
    return lambda time_s: first(time_s) if time_s < from_s else second(time_s)


def frames(track: Track, step_s: float, count: int) -> list[Point]:
    """The track's places from the snap on."""
    return [track(i * step_s) for i in range(count)]


def chase(
    start: Point, speed: Speed, start_s: float, target: Callable[[int, Point], Point], step_s: float, count: int,
    run_up_yd: float = 0.0,
) -> list[Point]:  # fmt: skip
    """Places of a man who goes after a target, which may depend on the frame and on where he is.

    He eases in: in a step he closes at most half of what is left, and never runs faster than a start at `start_s`
    allows.
    """
    began = speed.time_to_s(run_up_yd)
    out, here = [start], start
    for i in range(1, count):
        end = i * step_s - start_s
        if end > 0.0:
            goal = target(i, here)
            most = speed.distance_yd(began + end) - speed.distance_yd(began + max(0.0, end - step_s))
            left = hypot(goal.x - here.x, goal.y - here.y)
            step = min(most, 0.5 * left)
            if left > 0.02:
                here = Point(here.x + (goal.x - here.x) * step / left, here.y + (goal.y - here.y) * step / left)
        out.append(here)
    return out


def follow(places: Sequence[Point]) -> Callable[[int], Point]:
    """Where somebody is in a frame; the last place afterwards."""
    return lambda i: places[min(i, len(places) - 1)]


def beside(spot: Point, here: Point, apart: float) -> Point:
    """The point that far from a spot, on the side of whoever comes to it."""
    away = hypot(here.x - spot.x, here.y - spot.y)
    if away < 1e-6:
        return Point(spot.x, spot.y - apart)
    return Point(spot.x + (here.x - spot.x) * apart / away, spot.y + (here.y - spot.y) * apart / away)
