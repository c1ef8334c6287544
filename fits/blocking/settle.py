"""From the search's answer to what each blocker does: who helps, who goes up late, who leaves a double."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import inf
from typing import NamedTuple

from fits.blocking.seek import OUTSIDE
from fits.blocking.solve import MUST, ZONE, Backer, Blocker, Lineman, Unit, solve

HOLE_X = 1.5  # where the ball aims, for choosing the free man: the one farthest from it
LAST = 0.9  # of what another costs: the end man at the line, outside the last blocker
PAST = 0.2  # yards outside a man left alone where a blocker must stand to take one farther out
CAN_BE_LEFT = 1.5  # how much less it costs to leave a man than the first: he is for the last blocker
HELP_X = 2.05  # yards: how far a man with nobody goes to help


class Settled(NamedTuple):
    """One blocker's answer, by indexes: his defender at the line, the backer he has alone or climbs to.

    `helps`: he stays in a double and makes no lane of his own.
    """

    man: int
    on: int | None
    to: int | None
    climbs: bool
    helps: bool


class LineUp(NamedTuple):
    """The men at the line as numbers, from the back side to the play side, where positive numbers are.

    `kept` are the places of men left alone, `pulled` where movers left the line, `edge` is where the surface ends.
    """

    places: tuple[float, ...]
    kept: tuple[float, ...]
    pulled: tuple[float, ...]
    edge: float


@lru_cache(maxsize=1 << 14)
def settle(blockers: tuple[Blocker, ...], line_up: LineUp, backers: tuple[Backer, ...]) -> tuple[Settled, ...]:
    """What every blocker does, from the back side to the play side within each of the search's units.

    Answers are kept by their numbers: many plays of many calls, and each play's mirror, put the same question.
    """
    line = _linemen(blockers, line_up)
    units = _late(solve(blockers, line, backers)[1], blockers, backers)
    out: list[Settled] = []
    for unit in _helping(units, blockers, line):
        men, on, to = unit
        climber = None if to is None or on is None else _climber(blockers, men, line[on].x, backers[to].x)
        helper = None
        if len(men) > 1 and to is None and not ZONE.issuperset([blockers[b].way for b in men]):
            helper = min(men, key=lambda b: abs(blockers[b].x))
        out += [Settled(b, on, to if on is None or b == climber else None, b == climber, b == helper) for b in men]
    return tuple(out)


def _linemen(blockers: Sequence[Blocker], line_up: LineUp) -> tuple[Lineman, ...]:
    """What it costs to leave each. Nobody goes out past a man who is left alone to one outside that man."""
    places, kept, _, _ = line_up
    return tuple(
        [
            Lineman(
                x,
                _leave(blockers, line_up, x, x <= places[0], x >= places[-1]),
                max([key + PAST for key in kept if 0.0 < key < x], default=-inf),
                min([key - PAST for key in kept if x < key < 0.0], default=inf),
            )
            for x in places
        ]
    )


def _leave(blockers: Sequence[Blocker], line_up: LineUp, x: float, end: bool, wide: bool) -> float:
    """What it costs to leave a man at the line: little outside everybody, where the tackle went, or behind zone."""
    first = blockers[0]
    out = first.x - x
    if out > OUTSIDE and any(p < first.x for p in line_up.pulled):
        return 2.0 if end else 0.5 * MUST
    if out >= 1.0:
        return 0.8
    if out > OUTSIDE and first.way in ZONE:
        return 2.0
    if x - line_up.edge >= 1.0:
        return 1.0
    outside = x > blockers[-1].x + OUTSIDE if wide else end and out > OUTSIDE
    return LAST * MUST if outside else MUST  # one of two must be left: the one inside is blocked


def _helping(units: Sequence[Unit], blockers: Sequence[Blocker], line: Sequence[Lineman]) -> Sequence[Unit]:
    """A man with nobody to block helps a neighbour who has a man at the line alone, the nearest such man."""
    idle = [u for u in units if u.on is None and u.to is None]
    out = [u for u in units if u not in idle]
    for unit in idle:
        b = unit.men[0]
        x = blockers[b].x
        near = [
            u
            for u in out
            if u.on is not None and len(u.men) == 1 and abs(u.men[0] - b) == 1 and abs(line[u.on].x - x) <= HELP_X
        ]
        if near:
            best = min(near, key=lambda u: abs(line[u.on or 0].x - x))
            out[out.index(best)] = Unit(tuple(sorted((b, *best.men))), best.on, None)
        else:
            out.append(unit)
    return out


def _late(units: Sequence[Unit], blockers: Sequence[Blocker], backers: Sequence[Backer]) -> Sequence[Unit]:
    """Men who pass set go up late, so they may cross: the backer nearest the hole has the man nearest to him, and he
    who can be left goes last."""
    free = [u for u in units if u.on is None and u.to is not None and blockers[u.men[0]].way == "set"]
    if len(free) < 2:
        return units
    out, left = [u for u in units if u not in free], list(free)
    last = max([b.free for b in backers]) - CAN_BE_LEFT
    places = [u.to for u in free if u.to is not None]
    for to in sorted(places, key=lambda t: (backers[t].free < last, abs(backers[t].x - HOLE_X))):
        unit = min(left, key=lambda u: abs(blockers[u.men[0]].x - backers[to].x))
        left.remove(unit)
        out.append(unit._replace(to=to))
    return out


def _climber(blockers: Sequence[Blocker], men: tuple[int, ...], on: float, to: float) -> int:
    """Who leaves a double: in zone the man beside him when the defender is on or outside the other, else the man the
    backer comes to."""
    a, b = men
    if blockers[a].way in ZONE and blockers[b].way in ZONE and on >= blockers[b].x - 0.1:
        return a
    return a if abs(blockers[a].x - to) <= abs(blockers[b].x - to) else b
