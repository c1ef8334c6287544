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
from math import inf
from typing import NamedTuple

MUST = 50.0  # a man at the line left by nobody's wish
SAME = 1e-9
ROUNDING = 1e-12  # how far a sum in another order may be off
HEAD = 0.2  # yards: head up
SHADE = 0.5  # yards: an outside shade that a neighbour can still help on
NOSE = 0.3  # yards: over the centre
BESIDE = 2.05  # yards: two blockers are neighbours
CLIMB = 5.6  # yards: the farthest a man goes across on his way to a backer
SET_CLIMB = 3.6  # and who sets to pass block first
ZONE = frozenset({"zone", "reach"})
NO_PAIR = frozenset({"climb", "pin", "set", "lock"})
SPARE = 1.0  # a free man with nobody to block
INSIDE = frozenset({"down", "reach"})  # who has nobody on him or inside goes up to a backer
IDLE = 0.25  # and what it costs more that he does not
EDGE_PAIR = 0.4  # two attached men on one man: the outside one can have him
COVERED = 0.8  # an attached man who leaves the man on him
ON_HIM = 0.55  # yards: how far that man may be shaded
LONE = 0.25  # going up without helping anybody first
FAR = 0.15  # a yard across on the way up
DEEP = 0.01  # what it is worth that somebody who would have stayed goes up to a deep man
LATE = 0.4  # the play side backer left to a pair behind the first
PAIR_BACK = 1.6  # yards behind a zone pair: still on its way
BACKWARD = 0.6  # and what each yard farther back costs more: he left a man there to somebody else
KEEP = {"hinge": 1.0, "cut off": 3.0}  # a man who keeps the back side goes up instead


class Blocker(NamedTuple):
    """A blocker who stays in his place: `way` is how his verb finds a man; `end` marks an attached man."""

    x: float
    way: str
    end: bool = False


class Lineman(NamedTuple):
    """A defender at the line, what it costs to leave him, and between which places his blocker must stand."""

    x: float
    leave: float = MUST
    low: float = -inf
    high: float = inf


class Backer(NamedTuple):
    """A man of the second level and what it costs when nobody gets to him; only the last blocker goes to the alley.

    A `deep` man is for those who would have stayed: nobody leaves a nearer man or gives one to somebody else for him.
    """

    x: float
    free: float = 3.0
    alley: bool = False
    deep: bool = False


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
        return 0.3 * abs(dx) + nose if (-1.35 if b.end else -0.9) <= dx <= 1.45 else inf
    if way == "reach":
        return 0.3 * abs(dx - 0.2) + nose if (-1.35 if b.end else -0.9) <= dx <= 1.75 else inf
    if way in ("base", "set", "lock"):  # a tackle can set out to a man farther outside than he could reach inside
        return (
            0.4 * abs(dx) + nose if -1.3 <= dx <= 1.3 or (way == "set" and abs(b.x) > 2.5 and 0 < out <= 1.7) else inf
        )
    if way == "out":  # who crosses his face inside is washed down
        return 0.2 * abs(out - 0.3) if -0.9 <= out <= 2.6 else inf
    if way == "down":
        if -2.4 <= out < -0.15:
            return -0.1 * out + 2.0 * max(0.0, -out - 1.7) + nose
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
    if zone and b.x < -0.25 and x > b.x + HEAD:
        return inf  # a man on the far shoulder of a back side guard is out of the tackle's reach
    if zone:  # the man beside him comes from behind; from the front it is the second choice
        if abs(x - b.x) <= abs(x - a.x):
            return (0.3 if b.x > 0 else 0.7) if x > b.x + HEAD and not reach else 0.0
        return 0.4 if reach or x <= a.x + HEAD else 0.1
    if abs(x) < NOSE:
        return 0.0 if abs(a.x) < NOSE else 0.4  # centre and play side guard
    return 0.0 if a.x + HEAD < x < b.x - HEAD else 0.05


new_tuple = tuple.__new__  # makes a NamedTuple at a third of its own price
Option = tuple[float, int, int]  # what it costs, the first blocker and how many; nobody at all for a man left


class _Search:
    """The state of one search: the ways to take each defender, the least that is still to come, and the best answer."""

    __slots__ = ("backers", "behind", "best", "blockers", "cost", "idle", "least", "line", "lone", "options", "ups")

    def __init__(self, blockers: Sequence[Blocker], line: Sequence[Lineman], backers: Sequence[Backer]) -> None:
        self.blockers, self.line, self.backers = blockers, line, backers
        self.cost = inf
        self.best: tuple[list[Unit], list[Unit], list[int | None]] = ([], [], [])
        self.ups = find_ups(blockers, backers)
        end = blockers[-1] if blockers else None
        if end is not None and any(_before_the_alley(end, d.x) for d in line):
            self.ups[-1] = [inf if k.alley else up for k, up in zip(backers, self.ups[-1], strict=True)]
        self.idle = [new_tuple(Unit, ((b,), None, None)) for b in range(len(blockers))]
        last = len(blockers) - 1
        self.options: list[list[Option]] = []
        for d in line:
            x = d.x
            ways: list[Option] = []
            for b, man in enumerate(blockers):
                if -3.5 < x - man.x < 3.5 and d.low <= man.x <= d.high:
                    if (cost := single_cost(man, x)) < inf:
                        ways.append((cost, b, 1))
                    if b < last and d.low <= blockers[b + 1].x <= d.high:
                        cost = pair_cost(man, blockers[b + 1], x)
                        if cost < inf:
                            ways.append((cost + _covered(man, blockers[b + 1], x, line), b, 2))
            ways.append((d.leave, 0, 0))
            ways.sort()
            self.options.append(ways)
        self.least = [0.0]
        for ways in reversed(self.options):
            self.least.append(self.least[-1] + ways[0][0])
        self.least.reverse()
        # What the second level costs at least: nobody gets to a backer for less than the nearest man on his way, and
        # who takes nobody at the line pays for going up, or for staying: `lone` sums it up over the blockers.
        self.behind = sum(
            [-2 * DEEP if b.deep else min([b.free, *[up[k] for up in self.ups]]) for k, b in enumerate(backers)]
        )
        self.lone = [0.0]
        for man, up in zip(blockers, self.ups, strict=True):
            near = [cost + _lone_cost(man) for cost, b in zip(up, backers, strict=True) if not b.deep]
            self.lone.append(self.lone[-1] + min([_idle_cost(man), *near]))
        if any(b.deep for b in backers):
            self.lone = [cost - 2 * DEEP * i for i, cost in enumerate(self.lone)]

    def down(self, d: int, start: int, cost: float, lone: float, units: list[Unit]) -> None:
        """Tries every way to take defender d and those after him with the blockers from `start` on.

        `lone` is what those before them who take nobody cost at least.
        """
        passed = lone - self.lone[start] - ROUNDING
        limit, behind = self.cost - SAME, self.behind - ROUNDING
        if d == len(self.line):
            if cost + max(behind, passed + self.lone[-1]) < limit:
                self.finish(cost, units)
            return
        least = self.least[d + 1]
        for more, b, count in self.options[d]:
            more += cost
            if more + least + behind >= self.cost - SAME:
                return
            if not count:
                self.down(d + 1, start, more, lone, units)
            elif b >= start and more + least + passed + self.lone[b] < self.cost - SAME:
                men = (b,) if count == 1 else (b, b + 1)
                unit = new_tuple(Unit, (men, d, None))
                self.down(d + 1, b + count, more, lone + self.lone[b] - self.lone[start], [*units, unit])

    def finish(self, cost: float, units: list[Unit]) -> None:
        """Completes the answer with those who go up to the backers, and keeps it when it is cheaper."""
        climbers: list[Unit] = []
        at = 0
        for u in units:
            men = u.men
            if at < men[0]:
                climbers += self.idle[at : men[0]]
            if len(men) == 2:
                climbers.append(u)
            at = men[-1] + 1
        climbers += self.idle[at:]
        limit = self.cost - cost - SAME
        more, to = climb_cost(self.blockers, self.line, climbers, self.backers, limit, self.ups)
        if cost + more < self.cost - SAME:
            self.cost = cost + more
            self.best = units, climbers, to

    def answer(self) -> list[Unit]:
        """The best answer's units, from the back side to the play side."""
        units, climbers, to = self.best
        alone = [u for u in units if len(u.men) == 1]
        return sorted([*alone, *[Unit(u.men, u.on, k) for u, k in zip(climbers, to, strict=True)]])


def _before_the_alley(end: Blocker, x: float) -> bool:
    """Whether a man at the line comes before one in the alley: he is on the last blocker, or outside and in reach."""
    return x >= end.x - ON_HIM and single_cost(end, x) < inf


def _lone_cost(man: Blocker) -> float:
    """What it costs more to go up without helping anybody first."""
    return (0.0 if man.way == "climb" and not man.end else LONE) + KEEP.get(man.way, 0.0)


def _idle_cost(man: Blocker) -> float:
    """What it costs that he has nobody at all."""
    return SPARE + IDLE if man.way in INSIDE and not man.end else SPARE


def _covered(a: Blocker, b: Blocker, x: float, line: Sequence[Lineman]) -> float:
    """What it costs that two men at the edge are both on one: more when the inside one leaves the man on him for it."""
    if not (a.end and b.end):
        return 0.0
    inner = a if abs(a.x) < abs(b.x) else b
    return EDGE_PAIR + COVERED if any(abs(d.x) < abs(x) and abs(d.x - inner.x) <= ON_HIM for d in line) else EDGE_PAIR


def find_ups(blockers: Sequence[Blocker], backers: Sequence[Backer]) -> list[list[float]]:
    """For each blocker what his way to each backer costs; infinite where it is too far."""
    return [
        [
            FAR * across if (across := abs(man.x - backer.x)) <= (SET_CLIMB if man.way == "set" else CLIMB) else inf
            for backer in backers
        ]
        for man in blockers
    ]


def climb_cost(
    blockers: Sequence[Blocker],
    line: Sequence[Lineman],
    climbers: Sequence[Unit],
    backers: Sequence[Backer],
    limit: float = inf,
    ups: Sequence[Sequence[float]] | None = None,
) -> tuple[float, list[int | None]]:
    """The cheapest way to send climbers to backers without crossing, and whom each takes; infinite past the limit.

    In zone the first backer from the centre to the play side belongs to the pair farthest to the play side; an
    attached man's pair does not count for that. `ups` are the blockers' ways to the backers when they are known.
    """
    spare = [_idle_cost(blockers[u.men[0]]) if u.on is None else _spare(blockers, line, u) for u in climbers]
    if not backers:
        return sum(spare), [None] * len(climbers)
    ups = ups or find_ups(blockers, backers)
    rank, last = 0, len(blockers) - 1
    ways: list[Sequence[float]] = []
    deep = any(b.deep for b in backers)
    for (men, on, _), stay in zip(reversed(climbers), reversed(spare), strict=True):
        first, end = men[0], men[-1]
        way = blockers[first].way
        zone = way in ZONE
        if first == end:
            up: Sequence[float] = ups[first]
            if way != "climb" or blockers[first].end:
                up = [cost + LONE + KEEP.get(way, 0.0) for cost in up]
        else:
            up = [min(one, other) for one, other in zip(ups[first], ups[end], strict=True)]
            if zone:
                back = blockers[first].x - PAIR_BACK
                behind = [BACKWARD * max(0.0, back - b.x) for b in backers]
                up = [cost + more for cost, more in zip(up, behind, strict=True)]
        if rank and zone:
            up = [cost + LATE * rank if b.x >= -0.25 else cost for cost, b in zip(up, backers, strict=True)]
        if end != last and backers[-1].alley:
            up = [inf if b.alley else cost for cost, b in zip(up, backers, strict=True)]
        if deep:  # it costs a little less than to stay, wherever he would have stayed; less still with nobody
            worth = 2 * DEEP if on is None else DEEP
            up = [
                stay - worth / (1.0 + cost) if b.deep and cost < inf else cost
                for cost, b in zip(up, backers, strict=True)
            ]
        ways.append(up)
        if zone and first != end and not blockers[end].end:
            rank += 1
    ways.reverse()
    climb = _Climb([b.free for b in backers], ways, spare, limit)
    climb.go(0, 0, 0.0)
    return (inf, []) if climb.answer is None else (climb.best, climb.answer)


class _Climb:
    """The search for who goes up to whom: what each way costs, what staying costs, and the best answer so far."""

    __slots__ = ("answer", "best", "free", "rest", "spare", "to", "ways")

    def __init__(self, free: list[float], ways: list[Sequence[float]], spare: list[float], limit: float) -> None:
        self.free, self.ways, self.spare = free, ways, spare
        self.best = limit
        self.answer: list[int | None] | None = None
        self.to: list[int | None] = [None] * len(ways)
        self.rest = [-ROUNDING]  # what the climbers from each on cost at least
        for up, stay in zip(reversed(ways), reversed(spare), strict=True):
            self.rest.append(self.rest[-1] + min(stay, *up))
        self.rest.reverse()

    def go(self, i: int, j: int, cost: float) -> None:
        """Sends climber i and those after him to the backers from j on."""
        if cost + self.rest[i] >= self.best:
            return
        if i == len(self.ways):
            for free in self.free[j:]:
                cost += free
            if cost < self.best:
                self.best, self.answer = cost, self.to.copy()
            return
        up, skipped = self.ways[i], 0.0
        for k in range(j, len(up)):
            step = up[k]
            if step < inf:
                self.to[i] = k
                self.go(i + 1, k + 1, cost + skipped + step)
            skipped += self.free[k]
        self.to[i] = None
        self.go(i + 1, j, cost + self.spare[i])


def _spare(blockers: Sequence[Blocker], line: Sequence[Lineman], unit: Unit) -> float:
    """Two men who stay on one defender and go to nobody."""
    if unit.on is None or blockers[unit.men[0]].end or blockers[unit.men[1]].end:
        return 0.0
    return 0.4 if abs(line[unit.on].x) < 2.4 else 0.3


def solve(
    blockers: tuple[Blocker, ...], line: tuple[Lineman, ...], backers: tuple[Backer, ...]
) -> tuple[float, tuple[Unit, ...]]:
    """The cheapest answer and what it costs. All three run from the back side to the play side.

    A blocker nobody needs is a unit of one man on nobody. The source of the preferences is common practice.
    """
    search = _Search(blockers, line, backers)
    search.down(0, 0, 0.0, 0.0, [])
    return search.cost, tuple(search.answer())
