"""Who blocks whom: a plan's rules played out against a front, men left alone first, all blocks in one solve."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from fits.blocking.levels import SECOND_LEVEL_Y, Levels, Man
from fits.blocking.plan import BlockingPlan, Choice, Verb
from fits.blocking.seek import OUTSIDE, SEEK, Claims, play_backer
from fits.blocking.solve import MUST, ZONE, Backer, Blocker, Lineman, Unit, solve
from fits.blocking.verbs import first_step
from fits.errors import NotRunnable
from fits.field import LEFT, RIGHT, Side
from fits.offense.formation import OffensiveMan
from fits.terms import Step
from fits.values import record, value

EDGE_STEP = 0.9  # yards between men who end up beside each other at an edge
GAP_STEP = 0.5  # and in one gap, the man who got there first inside
BOX_X = 1.4  # yards outside the last blocker in his place: how far a backer is theirs
BACKER_X = 4.7  # and never farther from the ball
ALLEY_Y = 8.0  # a man in the alley whom a spare end blocker goes up to
ALLEY_FREE = 2.6
HOLE_X = 1.5  # where the ball aims, for choosing the free man: the one farthest from it
HELP_X = 2.05  # yards: how far a man with nobody goes to help
PERIMETER = 6  # verbs from this order on choose after the line


@record
class ResolvedBlock:
    """One man's resolved block. `end_x` is where he is at the fit point; `side` is the side a mover works to.

    Of a double both men are `on` the same defender; at most one of them has `climbs_to`, the backer he goes up to.
    `helps` is true for the man of a double that stays who makes no lane of his own.
    """

    man: OffensiveMan
    verb: Verb
    step: Step
    on: Man | None
    side: Side
    end_x: float
    counts: bool
    climbs_to: Man | None = None
    helps: bool = False


@value
class Left:
    """A defender whom nobody blocks on purpose: `read`, `pitch`, or `back side` when the play runs away from him."""

    name: str
    why: str


@record
class Blocks:
    """All jobs by role, who is blocked by whom (defender -> roles, a climber under both his men), and who is left.

    Blocks of one plan with the same `shape` have everybody do the same thing and end in the same place.
    """

    jobs: Mapping[str, ResolvedBlock]
    on: Mapping[str, tuple[str, ...]]
    left_alone: tuple[Left, ...]
    shape: tuple[str | float, ...]


def resolve_blocks(plan: BlockingPlan, front: Levels) -> Blocks:
    """Each man's block. Raises NotRunnable when no rule holds for a man, or when the play is checked off."""
    chosen = [
        (man, choices[0] if not choices[0].tests else _choose(plan, front, man, choices)) for man, choices in plan.rules
    ]
    shape: list[str | float] = [choice.verb.text for _, choice in chosen]
    stay = [(man, c) for man, c in chosen if c.verb.counts and not c.verb.moves]
    claims = Claims(plan, front, _last(plan, stay))
    for left in plan.leaves:
        if (found := left.find(claims)) is not None:
            claims.left[found.name] = left.why
    jobs: dict[str, ResolvedBlock] = {}
    movers = [(m, c) for m, c in chosen if c.verb.moves or not c.verb.counts]
    movers.sort(key=lambda mc: _order(mc, plan))
    for man, choice in movers:
        if choice.verb.order < PERIMETER:
            jobs[man.role] = _seek(claims, man, choice)
    for job in jobs.values():  # nobody to kick: he turns up on the backer
        if job.on is None and job.verb.counts and (found := play_backer(claims, job.man, job.side)) is not None:
            job.on = found
            claims.taken.add(found.name)
    _solve_line(claims, stay, jobs)
    for man, choice in movers:
        if choice.verb.order >= PERIMETER:
            jobs[man.role] = _seek(claims, man, choice)
    if any(c.verb.moves for _, c in chosen):
        _place(plan, front, jobs)
        shape += [job.end_x for job in jobs.values() if job.verb.moves]
    shape += [job.man.role for job in jobs.values() if job.helps]
    in_order = {man.role: jobs[man.role] for man, _ in plan.rules}
    return Blocks(in_order, _on(in_order), _left_alone(claims), tuple(shape))


def _choose(plan: BlockingPlan, front: Levels, man: OffensiveMan, choices: tuple[Choice, ...]) -> Choice:
    for choice in choices:
        for test in choice.tests:
            if not test(plan, front, man):
                break
        else:
            return choice
    raise NotRunnable(f"{plan.concept.name}: no rule holds for {man.role} in {plan.offense.formation.name}")


def _order(item: tuple[OffensiveMan, Choice], plan: BlockingPlan) -> tuple[int, float]:
    """Movers by their verb's order; of two alike the man nearer the play side first."""
    return item[1].verb.order, -item[0].x * plan.play


def _last(plan: BlockingPlan, stay: list[tuple[OffensiveMan, Choice]]) -> dict[Side, tuple[float, str]]:
    """The last man of each side's surface who stays, and how he finds his man; the centre when nobody does."""
    out: dict[Side, tuple[float, str]] = {}
    for side in (LEFT, RIGHT):
        men = [(man.x * side, choice.verb.way) for man, choice in stay if man.x * side > -0.25]
        out[side] = max(men, default=(0.0, "zone"))
    return out


def _seek(claims: Claims, man: OffensiveMan, choice: Choice) -> ResolvedBlock:
    verb, plan = choice.verb, claims.plan
    side = plan.play.other if verb.back_side else plan.play
    seek = SEEK.get(verb.way)
    where = man.side or side if verb.way in ("arc", "stalk") else side  # in space a man blocks where he is
    target = seek(claims, man, where) if seek else None
    if target is not None:
        claims.taken.add(target.name)
    step = choice.step or first_step(verb, man, target, plan.play)
    return ResolvedBlock(man, verb, step, target, side, man.x, verb.counts)


def _solve_line(claims: Claims, stay: list[tuple[OffensiveMan, Choice]], jobs: dict[str, ResolvedBlock]) -> None:
    """The blocks of the men who stay, solved together."""
    plan, front = claims.plan, claims.front
    play, way = plan.play, int(plan.play)
    stay = sorted(stay, key=lambda mc: mc[0].x * way)
    if not stay:
        return
    attached = {p.role for side in (LEFT, RIGHT) for p in plan.offense.view(side).attached}
    blockers = tuple([Blocker(m.x * way, c.verb.way, m.role in attached) for m, c in stay])
    surface = [p.x * way for side in (LEFT, RIGHT) for p in plan.offense.view(side).surface]
    at_line = sorted(claims.free(front.first), key=lambda m: (m.to_x * way, m.y))
    pulled = [job.man.x * way for job in jobs.values() if job.verb.moves and abs(job.man.y) < 1.5]
    places = [round(m.to_x * way, 3) for m in at_line]
    line = tuple([Lineman(x, _leave(blockers, x, pulled, max(surface), x <= places[0])) for x in places])
    low, high = max(min(surface) - BOX_X, -BACKER_X), min(max(surface) + BOX_X, BACKER_X)
    behind = [m for m in claims.free(front.second) if low <= m.to_x * way <= high and m.y <= SECOND_LEVEL_Y]
    backers = [(m, round(3.8 - 0.1 * min(8.0, abs(m.to_x * way - HOLE_X)), 3)) for m in behind]
    alley = _alley(claims, behind, blockers[-1].x) if blockers[-1].way in ("reach", "out") else None
    if alley is not None:
        backers.append((alley, ALLEY_FREE))
    backers.sort(key=lambda mf: (mf[0].to_x * way, mf[0].y))
    there = tuple([Backer(round(m.to_x * way, 3), free, m is alley) for m, free in backers])
    units = _late(solve(blockers, line, there)[1], blockers, [b.x for b in there])
    for unit in _helping(units, blockers, line):
        on = None if unit.on is None else at_line[unit.on]
        to = None if unit.to is None else backers[unit.to][0]
        climber = None if to is None or on is None else _climber(blockers, unit.men, on.to_x * way, to.to_x * way)
        helper = None
        if len(unit.men) > 1 and to is None and not ZONE.issuperset([blockers[b].way for b in unit.men]):
            helper = min(unit.men, key=lambda b: abs(blockers[b].x))
        for b in unit.men:
            man, choice = stay[b]
            target = on if on is not None else to
            if target is not None:
                claims.taken.add(target.name)
            step = choice.step or first_step(choice.verb, man, target, play)
            job = ResolvedBlock(man, choice.verb, step, target, play, man.x, b != helper, helps=b == helper)
            if b == climber and to is not None:
                job.climbs_to = to
                claims.taken.add(to.name)
            jobs[man.role] = job


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


def _late(units: Sequence[Unit], blockers: Sequence[Blocker], backers: Sequence[float]) -> Sequence[Unit]:
    """Men who pass set go up late, so they may cross: the backer nearest the hole has the man nearest to him."""
    free = [u for u in units if u.on is None and u.to is not None and blockers[u.men[0]].way == "set"]
    if len(free) < 2:
        return units
    out, left = [u for u in units if u not in free], list(free)
    for to in sorted([u.to for u in free if u.to is not None], key=lambda t: abs(backers[t] - HOLE_X)):
        unit = min(left, key=lambda u: abs(blockers[u.men[0]].x - backers[to]))
        left.remove(unit)
        out.append(unit._replace(to=to))
    return out


def _leave(blockers: Sequence[Blocker], x: float, pulled: list[float], edge: float, end: bool) -> float:
    """What it costs to leave a man at the line: little outside everybody, where the tackle went, or behind zone."""
    first = blockers[0]
    out = first.x - x
    if out > OUTSIDE and any(p < first.x for p in pulled):
        return 2.0 if end else 0.5 * MUST
    if out >= 1.0:
        return 0.8
    if out > OUTSIDE and first.way in ZONE:
        return 2.0
    return 1.0 if x - edge >= 1.0 else MUST


def _alley(claims: Claims, behind: list[Man], edge: float) -> Man | None:
    way = int(claims.plan.play)
    men = [
        m
        for m in claims.free((*claims.front.second, *claims.front.deep))
        if 0.5 < m.x * way - edge < 3.2 and m.y <= ALLEY_Y and m not in behind
    ]
    return min(men, key=lambda m: (m.x * way, m.y), default=None)


def _climber(blockers: Sequence[Blocker], men: tuple[int, ...], on: float, to: float) -> int:
    """Who leaves a double: in zone the man beside him when the defender is on or outside the other, else the man the
    backer comes to."""
    a, b = men
    if blockers[a].way in ZONE and blockers[b].way in ZONE and on >= blockers[b].x - 0.1:
        return a
    return a if abs(blockers[a].x - to) <= abs(blockers[b].x - to) else b


def _on(jobs: Mapping[str, ResolvedBlock]) -> dict[str, tuple[str, ...]]:
    out: dict[str, tuple[str, ...]] = {}
    for role, job in jobs.items():
        for man in (job.on, job.climbs_to):
            if man is not None:
                out[man.name] = (*out.get(man.name, ()), role)
    return out


def _left_alone(claims: Claims) -> tuple[Left, ...]:
    """The men left by the concept, then those at the line whom nobody blocks."""
    left = [Left(name, why) for name, why in claims.left.items()]
    rest = sorted(claims.free(claims.front.first), key=lambda m: m.to_x * claims.plan.play)
    return (*left, *[Left(m.name, _why(claims, m)) for m in rest])


def _why(claims: Claims, man: Man) -> str:
    return "back side" if man.to_x * claims.plan.play < 0 else "cut loose"


def _place(plan: BlockingPlan, front: Levels, jobs: dict[str, ResolvedBlock]) -> None:
    """Where the movers end: outside the last man who stayed, by rank, or in the gap they lead or trap through."""
    movers = [j for j in jobs.values() if j.verb.moves]
    stay = [j.end_x for j in jobs.values() if j.counts and not j.verb.moves]
    edges: dict[Side, list[ResolvedBlock]] = {}
    gaps: dict[float, list[ResolvedBlock]] = {}
    for job in movers:
        place, side = job.verb.place, job.side
        if place == "edge":
            edges.setdefault(side, []).append(job)
        elif place == "away":
            job.end_x = job.man.x + 3 * (job.man.side or side)
        else:
            if place == "bubble":
                gap = _bubble(plan, front, side)
            elif place == "target":
                gap = 1 if job.on is None else _gap_at(plan, side, job.on.to_x)
            else:
                gap = "ABCD".index(place)
            job.end_x = _gap_middle(plan, side, gap)
            gaps.setdefault(job.end_x, []).append(job)
    for middle, group in gaps.items():
        group.sort(key=lambda j: (-j.man.y, j.man.x * j.side))
        for i, job in enumerate(group):
            job.end_x = middle + job.side * GAP_STEP * (i - (len(group) - 1) / 2)
    for side, group in edges.items():
        base = max(max(x * side for x in stay), 0.0)
        group.sort(key=lambda j: (j.verb.rank, j.man.x * side))
        for i, job in enumerate(group):
            job.end_x = side * (base + EDGE_STEP * (i + 1))


def _marks(plan: BlockingPlan, side: Side) -> list[float]:
    marks = [0.0, *(p.x * side for p in plan.offense.view(side).surface)]
    return [*marks, marks[-1] + 2.0]


def _gap_middle(plan: BlockingPlan, side: Side, gap: int) -> float:
    marks = _marks(plan, side)
    gap = min(gap, len(marks) - 2)
    return side * (marks[gap] + marks[gap + 1]) / 2


def _gap_at(plan: BlockingPlan, side: Side, x: float) -> int:
    marks = _marks(plan, side)
    return next((i for i in range(len(marks) - 1) if x * side < marks[i + 1]), len(marks) - 2)


def _bubble(plan: BlockingPlan, front: Levels, side: Side) -> int:
    """The first gap of that side, inside out, with no man at the line in it; a nose head up fills the first."""
    marks = _marks(plan, side)
    for i in range(len(marks) - 1):
        if not any(marks[i] - 0.1 < m.to_x * side < marks[i + 1] - 0.1 for m in front.first):
            return i
    return 1
