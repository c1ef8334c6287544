"""Pass: when each fit is reached, against when the ball gets there."""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot

from fits.blocking.lanes import LaneMap
from fits.defense.roles import ORDER
from fits.derive.threats import Course
from fits.rules.situation import Aligned
from fits.timing import Pace, Speed

GROUP_WORDS = tuple(group.value for group in sorted(ORDER, key=ORDER.__getitem__))
FIT_DEPTH = 1.2  # yards past the line of scrimmage where ball and defender meet
ARM = 0.7  # yards: a tackle is made at arm's length
BALL_SPREAD = 6.5  # yards a second a carrier moves sideways when he leaves his lane (assumption)


def ball_times_s(courses: tuple[Course, ...], lanes: LaneMap) -> list[float]:
    """For each lane the soonest any threat can be in it: its own time, plus the way over from the lane it aims at."""
    aims = [(c.time_s, lanes.spaces[c.lane].x) for c in courses if c.lane is not None]
    return [min((t + abs(x - space.x) / BALL_SPREAD for t, x in aims), default=99.0) for space in lanes.spaces]


def arrival_s(d: Aligned, x: float, pace: Pace, roster: Mapping[str, Speed] | None) -> float:
    """Seconds from the snap until that defender can make a play at the fit point of a lane with its middle at x."""
    speed = d.speed
    if roster:
        speed = roster.get(d.name) or roster.get(d.position) or speed
    distance = hypot(x - d.x, d.y - FIT_DEPTH) - ARM
    group = GROUP_WORDS[d.turn]
    return pace.arrival_s(group, distance if distance > 0 else 0.0, speed)
