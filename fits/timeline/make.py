"""A look's timeline: twenty-two men and the ball, from the same times as the margins."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import ceil

from fits.derive.ball import Point
from fits.derive.look import Look
from fits.derive.margins import FIT_DEPTH
from fits.deriver import Deriver
from fits.spec import LookSpec
from fits.timeline.action import STEP_S, Action, set_play
from fits.timeline.defense import defend
from fits.timeline.offense import attack, before_snap, block
from fits.values import value

TACKLED_S = 0.3  # how long the picture goes on after the ball is met
READ_S = 0.8  # when backers have read their keys: the second still


@value
class Track:
    """One man's places, a frame each."""

    role: str
    side: str
    places: tuple[Point, ...]


@value
class Timeline:
    """Places of all men and the ball every `step_s` seconds from `start_s` (0 is the snap, frame `snap`).

    `holder` is who has the ball in a frame, None while it flies; `stills` are the frames to print: snap, read, fit.
    `arrivals_s` is when a defender with a lane can make a play in it: the same numbers as in the look.
    """

    look: Look
    step_s: float
    start_s: float
    snap: int
    stills: Mapping[str, int]
    men: tuple[Track, ...]
    ball: tuple[Point, ...]
    holder: tuple[str | None, ...]
    arrivals_s: Mapping[str, float]


def derive_timeline(spec: LookSpec, deriver: Deriver | None = None) -> Timeline:
    """The timeline of a look. Raises what deriving the look raises."""
    deriver = deriver or Deriver()
    play = set_play(spec, deriver)
    count = ceil(end_s(play) / STEP_S - 1e-9) + 1
    offense, ball, holder = attack(play, count)
    defense = defend(play, offense, ball, count)
    offense |= block(play, offense, defense, count)
    early = before_snap(play)
    snap = early.frames
    men = [Track(role, "offense", tuple(early.offense(role, places))) for role, places in sorted(offense.items())]
    men += [Track(role, "defense", tuple(early.defense(role, places))) for role, places in sorted(defense.items())]
    fit = min(round(line_s(play) / STEP_S), count - 1)
    return Timeline(
        play.look,
        STEP_S,
        round(-snap * STEP_S, 1) + 0.0,
        snap,
        {"snap": snap, "read": snap + min(round(READ_S / STEP_S), count - 1), "fit": snap + fit},
        tuple(men),
        (*[Point(0.0, 0.0)] * snap, *ball),
        (*[None] * snap, *holder),
        {d.role: d.arrival_s for d in play.look.defenders if d.arrival_s is not None},
    )


def line_s(play: Action) -> float:
    """When the ball crosses the line, or is caught, in the way the play is meant."""
    return play.look.threats[0].time_s


def end_s(play: Action) -> float:
    """When the picture ends: the ball is met, and who fits in its lane is there."""
    lane = play.look.threats[0].lane
    owners: Sequence[float] = [
        d.arrival_s for d in play.look.defenders if d.arrival_s is not None and d.lane == lane is not None
    ]
    met = line_s(play) + max(FIT_DEPTH) / 6.5
    return max(met, *owners, met) + TACKLED_S
