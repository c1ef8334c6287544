"""Pass: when each fit is reached, against when the ball gets there."""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot
from typing import NamedTuple

from fits.blocking.resolve import Blocks, ResolvedBlock
from fits.defense.roles import ORDER
from fits.derive.assign import Assigned
from fits.field import Side
from fits.rules.snap import AfterSnap, Aligned, Ready
from fits.terms import Step
from fits.timing import CROSS_S, DOUBLED_S, GET_OFF_S, TURN_S, Pace, Speed, first_s, read_s
from fits.values import value

new_tuple = tuple.__new__
GROUP_WORDS = tuple(group.value for group in sorted(ORDER, key=ORDER.__getitem__))
# Yards past the line where a man of that group meets the ball when he fits on time, and how fast it comes there.
# Measured: the median gain is 3 yd [1, 6], the nearest inside backer is 3.25 yd [2.39, 4.56] from the carrier as he
# crosses the line, at 6.54 yd/s [6.08, 7.12]. Assumption: a lineman meets him at the line, a backer before 2.5 yd, a
# man of the secondary before 4.
FIT_DEPTH = (1.2, 2.5, 4.0)  # by `Aligned.turn`
CARRIER_YD_S = 6.54
ARM = 0.7  # yards: a tackle is made at arm's length
WRONG_WAY = 1.0  # a fit this far behind his first steps makes him turn
TRAVEL_X, TRAVEL_Y = 2.4, 6.0  # who fits farther over than a gap and a half, or from deeper, has to travel


ALONG, SIDEWAYS = frozenset((Step.PULL, Step.CROSS, Step.CRACK)), frozenset((Step.IN, Step.OUT, Step.ARC))


class Arrival(NamedTuple):
    """What the seconds from the snap to his fit are made of, in this order."""

    first_s: float
    read_s: float
    turn_s: float
    run_s: float
    contact_s: float

    @property
    def total_s(self) -> float:
        """Seconds from the snap until he can make a play at his fit."""
        return self.first_s + self.read_s + self.turn_s + self.run_s + self.contact_s


def arrival(d: Aligned, x: float, s: AfterSnap, pace: Pace, roster: Mapping[str, Speed] | None) -> Arrival:
    """The time until that defender can make a play at the fit point of a lane with its middle at x.

    A man whom a called movement sends goes with the ball, without reading, by way of where it takes him.
    """
    go, read, sent, at_x, at_y = d.ready or get_ready(d)
    over = x - d.x
    turns = not d.path and not -WRONG_WAY <= over <= WRONG_WAY and over * first_way(d, s) < 0.0
    distance = sent + hypot(x - at_x, at_y - FIT_DEPTH[d.turn]) - ARM
    return new_tuple(
        Arrival,
        (
            go,
            read,
            TURN_S if turns else 0.0,
            running(d, pace, roster).time_to_s(distance) if distance > 0 else 0.0,
            contact_s(d, x, s.blocks) if d.name in s.blocks.on else 0.0,
        ),
    )


def get_ready(d: Aligned) -> Ready:
    """When he moves, how long he reads, and from where he runs: the same in every play, so he keeps it."""
    group = GROUP_WORDS[d.turn]
    at_x, at_y, sent = d.x, d.y, 0.0
    for leg_x, leg_y in d.path:
        sent += hypot(leg_x - at_x, leg_y - at_y)
        at_x, at_y = leg_x, leg_y
    d.ready = first_s(group, d.y), 0.0 if d.path else read_s(group, len(d.keys)), sent, at_x, at_y
    return d.ready


def arrival_s(d: Aligned, x: float, s: AfterSnap, pace: Pace, roster: Mapping[str, Speed] | None) -> float:
    """Seconds from the snap until that defender can make a play at the fit point of a lane with its middle at x."""
    first, read, turn, run, contact = arrival(d, x, s, pace, roster)
    return first + read + turn + run + contact


def fit_x(done: Assigned, lane: int, s: AfterSnap) -> float:
    """Where across the field a man fits who has that lane."""
    gap = None if done.target.gap is None else done.target.gap(s, done.man)
    return s.lanes.spaces[lane].x if gap is None else s.lanes.spot(lane, *gap)


def has_margin(d: Aligned, x: float, lane: int, s: AfterSnap) -> bool:
    """True where a man's margin means something: in the ball's lane, and for a man who must travel."""
    return lane in s.threatened or travels(d, x)


@value
class Clock:
    """When each man of a play is where he fits."""

    situation: AfterSnap
    done: Mapping[str, Assigned]
    pace: Pace
    roster: Mapping[str, Speed] | None

    def margin_s(self, role: str) -> float | None:
        """Seconds that a man with a lane has to spare; None where that means nothing."""
        d, _, target, lane, _ = self.done[role]
        if lane is None:
            return None
        s = self.situation
        gap = None if target.gap is None else target.gap(s, d)
        x = s.lanes.spaces[lane].x if gap is None else s.lanes.spot(lane, *gap)
        if d.y <= TRAVEL_Y and -TRAVEL_X <= x - d.x <= TRAVEL_X and lane not in s.threatened:
            return None
        arrives = round(arrival_s(d, x, s, self.pace, self.roster), 3)
        return round(margin_s(d, arrives, s.ball_s[lane]), 3)


def running(d: Aligned, pace: Pace, roster: Mapping[str, Speed] | None) -> Speed:
    """What he runs in a play: his own speed when the roster or his system knows it, else his group's."""
    track = d.speed
    if roster:
        track = roster.get(d.name) or roster.get(d.position) or track
    return pace.speed(GROUP_WORDS[d.turn], track)


def first_way(d: Aligned, s: AfterSnap) -> int:
    """Where his first steps go: with most of the men he reads; -1 left, 1 right, 0 nowhere yet."""
    jobs, steps, way = s.blocks.jobs, s.steps, 0
    for role in d.keys:
        way += step_way(jobs[role], steps[role], s.play)
    return 1 if way > 0 else -1 if way < 0 else 0


def step_way(job: ResolvedBlock, step: Step, play: Side) -> int:
    """Which way a blocker's first step goes: -1 left, 1 right, 0 straight or back."""
    x = job.man.x
    if step in ALONG:
        return 1 if job.end_x > x else -1
    if step in SIDEWAYS:
        outwards = int(play) if -0.25 < x < 0.25 else 1 if x > 0 else -1
        return -outwards if step == "in" else outwards
    return 0


def contact_s(d: Aligned, x: float, blocks: Blocks) -> float:
    """Seconds that the men who block him cost on his way to a lane with its middle at x."""
    on = blocks.on.get(d.name)
    if not on:
        return 0.0
    off_s = GET_OFF_S
    for role in on:
        at = blocks.jobs[role].end_x
        if (at - d.x) * (x - at) > 0.0:
            off_s = CROSS_S
    return off_s + (DOUBLED_S if len(on) > 1 else 0.0)


def margin_s(d: Aligned, arrives_s: float, ball_s: float) -> float:
    """How much sooner than the ball he is where he meets it; `ball_s` is when it crosses the line in his lane."""
    return ball_s + FIT_DEPTH[d.turn] / CARRIER_YD_S - arrives_s


def travels(d: Aligned, x: float) -> bool:
    """True when he must leave his place for that lane, so that being late is a question at all."""
    return d.y > TRAVEL_Y or abs(x - d.x) > TRAVEL_X
