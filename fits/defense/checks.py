"""What a man does about a motion: the phrases of `does`, and how far he gets while the other man moves.

A motion does not call the front again: sides and strength stay as they were before it, and each man lines up anew on
his side by his own rules, as far as he can run in that time. A check says who does something else.
"""

from __future__ import annotations

from itertools import pairwise
from math import hypot

from fits.defense.roles import Group
from fits.notation.phrase import PhraseError, Vocabulary
from fits.offense.formation import Offense
from fits.offense.motion import motion_path
from fits.rules.snap import Aligned
from fits.timing import Speed, level_pace
from fits.values import value

SEES_S = 0.3  # seconds until the defense answers it (assumption)
MOVED = 0.3  # yards: less is no step
PACE = level_pace()
SPEEDS: dict[Group, Speed] = {group: PACE.speeds[group.value] for group in Group}


@value
class Check:
    """A compiled `does`. `at` is where he goes (empty: by his own rules), `plays` whose rules he then has (a label)."""

    verb: str
    at: str = ""
    plays: str = ""


CHECKS: Vocabulary[Check] = Vocabulary("a check")
_TAIL = r"(?: to (?P<at>.+?))?(?: as (?P<plays>\S.*))?"


def compile_check(text: str) -> Check:
    """The meaning of a `does`. Raises PhraseError."""
    return CHECKS.compile(text.strip())


@CHECKS.phrase("stay", "stay", "where he was before the motion, with the rules he had there")
def _stay() -> Check:
    return Check("stay")


@CHECKS.phrase(
    "run with him", "run with him", "across the formation with the man in motion; he has him, on the side he ends on"
)
def _run() -> Check:
    return Check("run with him")


@CHECKS.phrase(
    "(?P<verb>bump|rotate|rock)" + _TAIL,
    "rotate to middle, 10 deep to middle as FS",
    "to that landmark, and with `as` he plays that man's rules there; bump without a landmark lines up anew by his own",
)
def _go(verb: str, at: str | None, plays: str | None) -> Check:
    if verb != "bump" and at is None:
        raise PhraseError("a check", verb, [e.example for e in CHECKS.entries])
    return Check(verb, at or "", plays or "")


def motion_time_s(before: Offense, after: Offense) -> float:
    """Seconds the man in motion needs from his place to where he is at the snap, on his way, at his speed."""
    if after.motion is None:
        return 0.0
    way = motion_path(before.by_role[after.motion], after.by_role[after.motion])
    return sum([hypot(bx - ax, by - ay) for (ax, ay), (bx, by) in pairwise(way)]) / PACE.motion_yd_s(after.motion_speed)


def hold_back(d: Aligned, start: tuple[float, float], time_s: float) -> bool:
    """Stops the man where he gets in that time on the way from `start`; True when he could not get all the way."""
    far = hypot(d.x - start[0], d.y - start[1])
    if far <= MOVED:
        return False
    d.start = start
    reach = (d.speed or SPEEDS[d.group]).distance_yd(max(time_s - SEES_S, 0.0))
    if far <= reach:
        return False
    share = reach / far
    d.x = start[0] + (d.x - start[0]) * share
    d.y = start[1] + (d.y - start[1]) * share
    d.to_x = d.x
    return True
