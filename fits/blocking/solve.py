"""Who takes whom of the men at the line and the backers: one small assignment, solved exactly.

Everything here is numbers on one axis, x growing to the play side, so a mirrored play has the mirrored answer. Blockers
and defenders at the line keep their order (no two men cross at the line), which makes the search short: each
defender at the line is left, taken by one man or by two neighbours, from the back side to the play side; whoever is
left over, alone or out of a double, goes to the second level. Costs are the scheme's preferences; where they differ by
less than `SAME`, the answer found first stands: cheapest block first, back side man first, single before double.

The preferences are common practice; the sizes are ours, chosen so that the written table of who blocks whom holds.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import inf
from typing import NamedTuple

MUST = 50.0  # a man at the line left by nobody's wish
SAME = 1e-9
HEAD = 0.2  # yards: head up
SHADE = 0.5  # yards: an outside shade that a neighbour can still help on
NOSE = 0.3  # yards: over the centre
BESIDE = 2.05  # yards: two blockers are neighbours
CLIMB = 5.6  # yards: the farthest a man goes across on his way to a backer
ZONE = frozenset({"zone", "reach"})
NO_PAIR = frozenset({"climb", "pin", "set"})
SPARE = 1.0  # a free man with nobody to block
LONE = 0.25  # going up without helping anybody first
FAR = 0.15  # a yard across on the way up
LATE = 0.4  # the play side backer left to a pair behind the first
KEEP = {"hinge": 1.0, "cut off": 3.0}  # a man who keeps the back side goes up instead


class Blocker(NamedTuple):
    """A blocker who stays in his place: `way` is how his verb finds a man; `end` marks an attached man."""

    x: float
    way: str
    end: bool = False


class Lineman(NamedTuple):
    """A defender at the line and what it costs to leave him."""

    x: float
    leave: float = MUST


class Backer(NamedTuple):
    """A man of the second level and what it costs when nobody gets to him; only the last blocker goes to the alley."""

    x: float
    free: float = 3.0
    alley: bool = False


class Unit(NamedTuple):
    """One blocker, or two neighbours on one man; `on` is a defender at the line, `to` a backer. Indexes, or None."""

    men: tuple[int, ...]
    on: int | None
    to: int | None


def single_cost(b: Blocker, x: float) -> float:
    """What it costs that blocker to take alone a man at the line at x; infinite where his block cannot."""
    dx = x - b.x
    out = dx if b.x > 0.25 else -dx if b.x < -0.25 else dx
    way = b.way
    nose = 0.35 if abs(x) < NOSE and abs(b.x) < 2.0 else 0.0
    if way == "zone":
        return 0.3 * abs(dx) + nose if -0.9 <= dx <= 1.45 else inf
    if way == "reach":
        return 0.3 * abs(dx - 0.2) + nose if -0.9 <= dx <= 1.75 else inf
    if way in ("base", "set"):
        return 0.4 * abs(dx) + nose if -1.3 <= dx <= 1.3 else inf
    if way == "out":
        return 0.2 * abs(out - 0.3) if -0.5 <= out <= 2.6 else inf
    if way == "down":
        if -2.4 <= out < -0.15:
            return -0.1 * out + 0.5 * max(0.0, -out - 1.45) + nose
        return 0.3 + 0.3 * abs(out) if -0.15 <= out <= SHADE else inf
    if way == "pin":
        return -0.1 * out if -2.4 <= out <= -0.1 else inf
    if way == "back":
        return 0.3 * abs(dx) + nose if -3.0 <= dx <= 0.35 else inf
    if way == "hinge":
        if out < -0.9:  # the man whom the pulling guard leaves is the centre's
            return 4.5 if out >= -1.3 else inf
        return 0.3 * abs(out) if out <= 2.0 else inf
    if way == "cut off":
        return 0.2 * abs(out) if -2.4 <= out <= 0.9 else inf
    if way == "double":
        return 0.3 * abs(dx) + nose if -1.3 <= dx <= 1.3 else inf
    return inf


def pair_cost(a: Blocker, b: Blocker, x: float) -> float:
    """What it costs two neighbours (a on the back side of b) to double a man at x; infinite where they cannot."""
    if a.way in NO_PAIR or b.way in NO_PAIR or b.x - a.x > BESIDE:
        return inf
    if "hinge" in (a.way, b.way) and not (a.end or b.end):  # he fills inside, his guard is gone or busy
        return inf
    if a.way != b.way and "out" in (a.way, b.way):  # he turns his man out, nobody can help from inside
        return inf
    zone = a.way in ZONE and b.way in ZONE
    if x < a.x - HEAD or x > b.x + (SHADE if zone else HEAD):
        return inf
    reach = "reach" in (a.way, b.way)
    if zone:  # the man beside him comes from behind; from the front it is the second choice
        if abs(x - b.x) <= abs(x - a.x):
            return (0.3 if b.x > 0 else 0.7) if x > b.x + HEAD and not reach else 0.0
        return 0.4 if reach or x <= a.x + HEAD else 0.1
    if abs(x) < NOSE:
        return 0.0 if abs(a.x) < NOSE else 0.4  # centre and play side guard
    return 0.0 if a.x + HEAD < x < b.x - HEAD else 0.05


Option = tuple[float, int, int]  # what it costs, the first blocker and how many; nobody at all for a man left


class _Search:
    """The state of one search: the ways to take each defender, the least each still costs, and the best answer."""

    __slots__ = ("backers", "best", "blockers", "cost", "least", "line", "options")

    def __init__(self, blockers: Sequence[Blocker], line: Sequence[Lineman], backers: Sequence[Backer]) -> None:
        self.blockers, self.line, self.backers = blockers, line, backers
        self.cost = inf
        self.best: tuple[list[Unit], list[Unit], list[int | None]] = ([], [], [])
        last = len(blockers) - 1
        self.options: list[list[Option]] = []
        self.least = [0.0]
        for d in line:
            x = d.x
            ways: list[Option] = []
            for b, man in enumerate(blockers):
                if -3.5 < x - man.x < 3.5:
                    if (cost := single_cost(man, x)) < inf:
                        ways.append((cost, b, 1))
                    if b < last and (cost := pair_cost(man, blockers[b + 1], x)) < inf:
                        ways.append((cost, b, 2))
            ways.append((d.leave, 0, 0))
            ways.sort()
            self.options.append(ways)
        for ways in reversed(self.options):
            self.least.append(self.least[-1] + ways[0][0])
        self.least.reverse()

    def down(self, d: int, start: int, cost: float, units: list[Unit]) -> None:
        """Tries every way to take defender d and those after him with the blockers from `start` on."""
        if d == len(self.line):
            self.finish(cost, units)
            return
        least = self.least[d + 1]
        for more, b, count in self.options[d]:
            if cost + more + least >= self.cost - SAME:
                return
            if not count:
                self.down(d + 1, start, cost + more, units)
            elif b >= start:
                men = (b,) if count == 1 else (b, b + 1)
                self.down(d + 1, b + count, cost + more, [*units, Unit(men, d, None)])

    def finish(self, cost: float, units: list[Unit]) -> None:
        """Completes the answer with those who go up to the backers, and keeps it when it is cheaper."""
        climbers: list[Unit] = []
        at = 0
        for u in units:
            first = u.men[0]
            while at < first:
                climbers.append(Unit((at,), None, None))
                at += 1
            if len(u.men) == 2:
                climbers.append(u)
            at = u.men[-1] + 1
        climbers += [Unit((b,), None, None) for b in range(at, len(self.blockers))]
        more, to = climb_cost(self.blockers, self.line, climbers, self.backers, self.cost - cost - SAME)
        if cost + more < self.cost - SAME:
            self.cost = cost + more
            self.best = units, climbers, to

    def answer(self) -> list[Unit]:
        """The best answer's units, from the back side to the play side."""
        units, climbers, to = self.best
        alone = [u for u in units if len(u.men) == 1]
        return sorted([*alone, *[Unit(u.men, u.on, k) for u, k in zip(climbers, to, strict=True)]])


def climb_cost(
    blockers: Sequence[Blocker],
    line: Sequence[Lineman],
    climbers: Sequence[Unit],
    backers: Sequence[Backer],
    limit: float = inf,
) -> tuple[float, list[int | None]]:
    """The cheapest way to send climbers to backers without crossing, and whom each takes; infinite past the limit.

    In zone the first backer from the centre to the play side belongs to the pair farthest to the play side; an
    attached man's pair does not count for that.
    """
    spare = [_spare(blockers, line, unit) for unit in climbers]
    if not backers:
        return sum(spare), [None] * len(climbers)
    rank = 0
    ranks = [0] * len(climbers)
    for i in range(len(climbers) - 1, -1, -1):
        ranks[i] = rank
        men = climbers[i].men
        if len(men) == 2 and not blockers[men[1]].end and blockers[men[0]].way in ZONE:
            rank += 1
    best, answer = limit, None
    count, last = len(backers), len(blockers) - 1
    to: list[int | None] = [None] * len(climbers)

    def go(i: int, j: int, cost: float) -> None:
        nonlocal best, answer
        if cost >= best:
            return
        if i == len(climbers):
            for backer in backers[j:]:
                cost += backer.free
            if cost < best:
                best, answer = cost, to.copy()
            return
        unit = climbers[i]
        skipped = 0.0
        for k in range(j, count):
            backer = backers[k]
            if not backer.alley or last in unit.men:
                step = _up(blockers, unit, backer.x, ranks[i])
                if step < inf:
                    to[i] = k
                    go(i + 1, k + 1, cost + skipped + step)
            skipped += backer.free
        to[i] = None
        go(i + 1, j, cost + spare[i])

    go(0, 0, 0.0)
    return (inf, []) if answer is None else (best, answer)


def _spare(blockers: Sequence[Blocker], line: Sequence[Lineman], unit: Unit) -> float:
    """A unit that goes to nobody: two men who stay on one defender, or a man with nobody to block."""
    if unit.on is None:
        return SPARE
    if blockers[unit.men[0]].end or blockers[unit.men[1]].end:
        return 0.0
    return 0.4 if abs(line[unit.on].x) < 2.4 else 0.3


def _up(blockers: Sequence[Blocker], unit: Unit, x: float, rank: int) -> float:
    across = min([abs(blockers[b].x - x) for b in unit.men])
    if across > CLIMB:
        return inf
    cost = FAR * across
    if unit.on is None:
        way = blockers[unit.men[0]].way
        cost += LONE if way != "climb" else 0.0
        cost += KEEP.get(way, 0.0)
    if x >= -0.25 and blockers[unit.men[0]].way in ZONE:
        cost += LATE * rank
    return cost


@lru_cache(maxsize=1 << 15)
def solve(
    blockers: tuple[Blocker, ...], line: tuple[Lineman, ...], backers: tuple[Backer, ...]
) -> tuple[float, tuple[Unit, ...]]:
    """The cheapest answer and what it costs. All three run from the back side to the play side.

    A blocker nobody needs is a unit of one man on nobody. The source of the preferences is common practice. Answers
    are kept: many plays of many calls put the same question.
    """
    search = _Search(blockers, line, backers)
    search.down(0, 0, 0.0, [])
    return search.cost, tuple(search.answer())
