"""Who blocks whom: a plan's rules played out against a front."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fits.blocking.front import Front, Man
from fits.blocking.plan import Choice, Plan, Verb
from fits.blocking.verbs import first_step
from fits.errors import NotRunnable
from fits.field import Side
from fits.offense.formation import Player
from fits.terms import Step

EDGE_STEP = 0.9  # yards between men who end up beside each other at an edge
GAP_STEP = 0.5  # and in one gap, the man who got there first inside


@dataclass(slots=True)
class Job:
    """One man's resolved block. `end_x` is where he is at the fit point; `side` is the side a mover works to."""

    man: Player
    verb: Verb
    step: Step
    on: Man | None
    side: Side
    end_x: float
    counts: bool


@dataclass(slots=True)
class Blocks:
    """All jobs by role, and who is blocked by whom (defender -> offensive roles).

    Blocks of one plan with the same `shape` have everybody do the same thing and end in the same place.
    """

    jobs: Mapping[str, Job]
    on: Mapping[str, tuple[str, ...]]
    shape: tuple[str | float, ...]


def resolve_blocks(plan: Plan, front: Front) -> Blocks:
    """Each man's block. Raises NotRunnable when no rule of the concept holds for a man."""
    chosen = [
        (man, choices[0] if not choices[0].tests else _choose(plan, front, man, choices)) for man, choices in plan.rules
    ]
    shape: list[str | float] = [choice.verb.text for _, choice in chosen]
    chosen.sort(key=_order)
    play, way = plan.play, int(plan.play)
    jobs: dict[str, Job] = {}
    on: dict[str, tuple[str, ...]] = {}
    moved = False
    for man, choice in chosen:
        verb = choice.verb
        side = play.other if verb.back_side else play
        key = (verb.text, man.role, way)
        ranked = front.ranks.get(key)
        if ranked is None:
            ranked = front.ranks[key] = verb.rank_men(plan, front, man, side)
        target = None
        for pick in ranked:
            name = pick.man.name
            if len(on.get(name, ())) < pick.most:
                target = pick.man
                on[name] = (*on[name], man.role) if name in on else (man.role,)
                break
        step = choice.step or first_step(verb, man, target, play)
        jobs[man.role] = Job(man, verb, step, target, side, man.x, verb.counts)
        moved = moved or verb.moves
    if moved:
        _place(plan, front, jobs)
        shape += [job.end_x for job in jobs.values() if job.verb.moves]
    return Blocks(jobs, on, tuple(shape))


def _choose(plan: Plan, front: Front, man: Player, choices: tuple[Choice, ...]) -> Choice:
    for choice in choices:
        for test in choice.tests:
            if not test(plan, front, man):
                break
        else:
            return choice
    raise NotRunnable(f"{plan.concept.name}: no rule holds for {man.role} in {plan.offense.formation.name}")


def _order(item: tuple[Player, Choice]) -> int:
    return item[1].verb.order


def _place(plan: Plan, front: Front, jobs: dict[str, Job]) -> None:
    """Where the movers end: outside the last man who stayed, by rank, or in the gap they lead or trap through."""
    movers = [j for j in jobs.values() if j.verb.moves]
    stay = [j.end_x for j in jobs.values() if j.counts and not j.verb.moves]
    edges: dict[Side, list[Job]] = {}
    gaps: dict[float, list[Job]] = {}
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
                gap = 1 if job.on is None else _gap_at(plan, side, job.on.x)
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


def _marks(plan: Plan, side: Side) -> list[float]:
    marks = [0.0, *(p.x * side for p in plan.offense.view(side).surface)]
    return [*marks, marks[-1] + 2.0]


def _gap_middle(plan: Plan, side: Side, gap: int) -> float:
    marks = _marks(plan, side)
    gap = min(gap, len(marks) - 2)
    return side * (marks[gap] + marks[gap + 1]) / 2


def _gap_at(plan: Plan, side: Side, x: float) -> int:
    marks = _marks(plan, side)
    return next((i for i in range(len(marks) - 1) if x * side < marks[i + 1]), len(marks) - 2)


def _bubble(plan: Plan, front: Front, side: Side) -> int:
    """The first gap of that side, inside out, with no man at the line in it."""
    marks = _marks(plan, side)
    for i in range(len(marks) - 1):
        if not any(marks[i] - 0.1 < m.x * side < marks[i + 1] - 0.1 for m in front.first if abs(m.x) > 0.3):
            return i
    return 1
