"""Who blocks whom: a plan's rules played out against a front, men left alone first, all blocks in one solve."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from fits.blocking.levels import SECOND_LEVEL_Y, Levels, Man
from fits.blocking.plan import BlockingPlan, Choice, Verb
from fits.blocking.seek import ON, SEEK, SPACE, Claims, SeekKey, is_deep, match_in_space, overhangs
from fits.blocking.settle import HOLE_X, PAST, LineUp, settle
from fits.blocking.solve import Backer, Blocker
from fits.blocking.verbs import first_step
from fits.errors import NotRunnable
from fits.field import LEFT, RIGHT, Side
from fits.offense.formation import OffensiveMan
from fits.terms import Step
from fits.values import record, replace, value

EDGE_STEP = 0.9  # yards between men who end up beside each other at an edge
GAP_STEP = 0.5  # and in one gap, the man who got there first inside
BOX_X = 1.4  # yards outside the last blocker in his place: how far a backer is theirs
BACKER_X = 4.7  # and never farther from the ball
ALLEY_Y = 8.0  # a man in the alley whom a spare end blocker goes up to
ALLEY_FREE = 2.6
HELP_X = 2.45  # yards: how far a man of the edge with nobody goes to help
OVER_X = 1.5  # yards to either side: a man off the line is over a receiver
OVERHANG = 0.5  # what it costs that nobody gets to a third backer, outside the last blocker of his side
DEEP_X = 3.7  # how far from the ball a safety close behind the backers is a lineman's; wider he is for men in space
BEHIND, BEHIND_X = 1.8, 3.2  # and to a man so far behind the play, over the other tackle or wider
PERIMETER = 6  # verbs from this order on choose after the line
new_tuple = tuple.__new__  # makes a NamedTuple at a third of its own price


class ResolvedBlock(NamedTuple):
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

    `met` are those who are on a man, without who climbs to him, `mover_on` the last of them who leaves his place;
    `movers` are the run blockers who do. Blocks of one plan with the same `shape` have everybody do the same thing and
    end in the same place.
    """

    jobs: Mapping[str, ResolvedBlock]
    on: Mapping[str, tuple[str, ...]]
    met: Mapping[str, Sequence[str]]
    mover_on: Mapping[str, str]
    movers: list[ResolvedBlock]
    claims: Claims
    shape: tuple[str | float, ...]

    @property
    def left_alone(self) -> tuple[Left, ...]:
        """The men left by the concept, then those at the line whom nobody blocks."""
        return _left_alone(self.claims)


@value
class Task:
    """What a man of the offense sets out to do: his verb, the side he works to, how he looks for his man.

    `step` is None where it hangs on the man he takes, `key` where he looks for nobody by himself; `role` and the rest
    stand here because every play asks them.
    """

    man: OffensiveMan
    role: str
    verb: Verb
    step: Step | None
    side: Side
    counts: bool
    moves: bool
    attached: bool
    key: SeekKey | None = None
    backer: SeekKey | None = None

    def block(self, on: Man | None, end_x: float, climbs_to: Man | None = None, helps: bool = False) -> ResolvedBlock:
        """What becomes of it."""
        step = self.step or first_step(self.verb, self.man, on, self.side)
        return new_tuple(
            ResolvedBlock,
            (self.man, self.verb, step, on, self.side, end_x, self.counts and not helps, climbs_to, helps),
        )


@value
class Scheme:
    """What everybody does once the men at the line are seen, all that blocks share whoever stands behind those.

    `stay` are the men in their places from the back side to the play side and `blockers` the same as numbers; `first`
    those who choose before them and `after` those who come after them; `space`
    are those of these who block in space, from the ball outwards. `pulled` is where movers
    left the line; `to_alley` that the last blocker may go to the alley, where nobody arcs to.
    """

    tasks: tuple[Task, ...]
    stay: tuple[Task, ...]
    first: tuple[Task, ...]
    after: tuple[Task, ...]
    space: tuple[Task, ...]
    last: Mapping[Side, tuple[float, str]]
    blockers: tuple[Blocker, ...]
    pulled: tuple[float, ...]
    words: tuple[str, ...]
    moves: bool
    to_alley: bool


def resolve_blocks(plan: BlockingPlan, front: Levels) -> Blocks:
    """Each man's block. Raises NotRunnable when no rule holds for a man, or when the play is checked off."""
    scheme: Scheme | None = plan.schemes.get(front.first)
    if scheme is None:
        scheme = plan.schemes[front.first] = _find_scheme(plan, front)
    blocks = _resolve(plan, front, scheme, frozenset())
    theirs = _theirs(scheme, front, plan.play, blocks)
    if theirs:  # each of the two needs a man
        other = _resolve(plan, front, scheme, theirs)
        if _nobodys(other) < _nobodys(blocks):
            return other
    return blocks


def _theirs(scheme: Scheme, front: Levels, play: Side, blocks: Blocks) -> frozenset[str]:
    """The men over receivers who have nobody, because a man who leaves his place took them."""
    idle = [t.man.x for t in scheme.space if t.verb.way == "stalk" and blocks.jobs[t.role].on is None]
    if not idle:
        return frozenset()
    taken = [blocks.jobs[t.role].on for t in scheme.first if t.side is play and t.verb.way in ("kick", "edge")]
    behind = [m for m in taken if m is not None and m not in front.first]
    return frozenset([m.name for m in behind if any(abs(m.x - x) <= OVER_X for x in idle)])


def _nobodys(blocks: Blocks) -> int:
    """How many of those who leave their places or block in space have nobody."""
    of = [job for job in blocks.jobs.values() if job.verb.way == "stalk" or (job.verb.moves and job.counts)]
    return sum(job.on is None for job in of)


def _resolve(plan: BlockingPlan, front: Levels, scheme: Scheme, theirs: frozenset[str]) -> Blocks:
    claims = Claims(plan, front, scheme.last, theirs=theirs)
    for left in plan.leaves:
        claims.leave(left)
    on: dict[str, Man | None] = {}
    for task in scheme.first:
        on[task.role] = _seek(claims, task)
    alone = [t for t in scheme.first if t.counts and on[t.role] is None]  # nobody for them at the line or behind it
    for task in alone:
        if (
            (task.verb.way != "backer" or task.verb.place == "edge")
            and task.backer is not None
            and (found := claims.seek(task.backer)) is not None
        ):
            on[task.role] = found
            claims.taken.add(found.name)
    jobs = _solve_line(claims, scheme) if scheme.stay else {}
    for task in scheme.after:
        on[task.role] = None
    idle = [t for t in scheme.stay if t.attached and _idle(jobs[t.role])]
    ways = [("alley", t.man, t.man.side or t.side) for t in idle]
    alone = [t for t in alone if on[t.role] is None]
    ways += [(_to_come(t), t.man, t.side) for t in alone]
    ways += [(t.verb.way, t.man, t.man.side or t.side) for t in scheme.space]  # in space a man blocks where he is
    for task, near in zip((*idle, *alone, *scheme.space), match_in_space(claims, ways), strict=True):
        if task.role in jobs:
            jobs[task.role] = task.block(near, task.man.x)
            if near is None:
                _help(claims, scheme, jobs, task)
        else:
            on[task.role] = near
        if near is not None:
            claims.taken.add(near.name)
    ends = _ends(plan, front, scheme, on, jobs) if scheme.moves else {}
    in_order = {}
    movers = []
    blocked: dict[str, tuple[str, ...]] = {}
    met: dict[str, Sequence[str]] = {}
    mover_on: dict[str, str] = {}
    shape: list[str | float] = [*scheme.words, *ends.values()]
    for task in scheme.tasks:
        role = task.role
        job = jobs.get(role)
        if job is None:
            job = task.block(on[role], ends[role] if task.moves else task.man.x)
            if task.moves and task.counts:
                movers.append(job)
        elif job.helps:
            shape.append(role)
        in_order[role] = job
        if (man := job.on) is not None:
            name = man.name
            if task.moves:
                mover_on[name] = role
            if name in blocked:
                blocked[name] = (*blocked[name], role)
                met[name] = (*met[name], role) if name in met else (role,)
            else:
                blocked[name] = met[name] = (role,)
            if (man := job.climbs_to) is not None:
                blocked[man.name] = (*blocked.get(man.name, ()), role)
    return Blocks(in_order, blocked, met, mover_on, movers, claims, tuple(shape))


def _help(claims: Claims, scheme: Scheme, jobs: dict[str, ResolvedBlock], task: Task) -> None:
    """A man of the edge with nobody of his own stays with the man whom the blocker inside him has alone."""
    near = [t for t in scheme.stay if t.man.x * task.man.x > 0 and abs(t.man.x) < abs(task.man.x)]
    inner = max(near, key=lambda t: abs(t.man.x), default=None)
    on = None if inner is None else jobs[inner.role].on
    if inner is None or on is None or on not in claims.front.first:
        return
    alone = sum(job.on == on for job in jobs.values()) == 1
    if alone and abs(on.to_x - task.man.x) <= HELP_X:
        jobs[inner.role] = inner.block(on, inner.man.x, helps=True)
        jobs[task.role] = task.block(on, task.man.x)


def _to_come(task: Task) -> str:
    """How a man who left his place and found nobody looks for the first to come."""
    if task.verb.place != "edge":
        return "through"
    return "lead" if task.verb.way == "backer" else "force"


def _idle(job: ResolvedBlock) -> bool:
    """A man in his place whom nobody came to."""
    return job.on is None and not job.helps


def _find_scheme(plan: BlockingPlan, front: Levels) -> Scheme:
    """The scheme of the rules that hold against the front; fronts against which the same rules hold have one."""
    chosen = tuple([_choose(plan, front, man, choices) for man, choices in plan.rules])
    scheme: Scheme | None = plan.schemes.get(chosen)
    if scheme is None:
        tasks = tuple([_task(plan, man, choices[i]) for (man, choices), i in zip(plan.rules, chosen, strict=True)])
        scheme = plan.schemes[chosen] = _scheme(plan, tasks)
    return scheme


def _scheme(plan: BlockingPlan, tasks: tuple[Task, ...]) -> Scheme:
    way = int(plan.play)
    stay = sorted([t for t in tasks if t.counts and not t.moves], key=lambda t: t.man.x * way)
    others = sorted([t for t in tasks if t.moves or not t.counts], key=lambda t: (t.verb.order, -t.man.x * way))
    first = [t for t in others if t.verb.order < PERIMETER]
    last = {
        side: max(
            [(t.man.x * side, t.verb.way) for t in stay if t.man.x * side > -0.25 and t.verb.way != "climb"],
            default=(0.0, "zone"),
        )
        for side in (LEFT, RIGHT)  # the last man of each side's surface who takes somebody there; else the centre
    }
    attached = {p.role for side in (LEFT, RIGHT) for p in plan.offense.view(side).attached}
    cracks = tuple([t.role for t in first if t.verb.way == "crack"])
    arcs = any(t.verb.way == "arc" and t.man.side is plan.play for t in others)
    return Scheme(
        tasks,
        tuple(stay),
        tuple([_with_keys(t, last, cracks) for t in first]),
        tuple([t for t in others if t.verb.order >= PERIMETER]),
        tuple(sorted([t for t in others if t.verb.way in SPACE], key=lambda t: (abs(t.man.x), -t.man.x * way))),
        last,
        tuple([Blocker(t.man.x * way, t.verb.way, t.role in attached) for t in stay]),
        tuple([t.man.x * way for t in first if t.moves and abs(t.man.y) < 1.5]),
        tuple([t.verb.text for t in tasks]),
        any(t.moves for t in tasks),
        bool(stay) and stay[-1].verb.way in ("reach", "out") and not arcs,
    )


def _task(plan: BlockingPlan, man: OffensiveMan, choice: Choice) -> Task:
    verb = choice.verb
    moves = verb.moves
    side = plan.play.other if verb.back_side and (moves or not verb.counts) else plan.play
    step = choice.step
    if step is None and verb.step != "toward":
        step = first_step(verb, man, None, plan.play)
    attached = any(man in plan.offense.view(of).attached for of in (LEFT, RIGHT))
    return Task(man, man.role, verb, step, side, verb.counts, moves, attached)


def _with_keys(task: Task, last: Mapping[Side, tuple[float, str]], cracks: tuple[str, ...]) -> Task:
    """The task of a man who looks for his defender by himself; inside, he turns up on the backer when he finds none."""
    way, side = task.verb.way, task.side
    key = SeekKey(way, task.role, side, last[side], cracks) if way in SEEK else None
    inside = task.counts and task.verb.place != "edge"
    return replace(task, key=key, backer=SeekKey("backer", task.role, side, last[side]) if inside else None)


def _choose(plan: BlockingPlan, front: Levels, man: OffensiveMan, choices: tuple[Choice, ...]) -> int:
    """Which of a man's rules is the first that holds."""
    for i, choice in enumerate(choices):
        if not choice.tests or all(test(plan, front, man) for test in choice.tests):
            if choice.verb.way == "check off":
                raise NotRunnable(
                    f"{plan.concept.name} to the {plan.play.word} is checked off against this front "
                    f"by {man.role}'s rule: {choice.when or 'always'}"
                )
            return i
    raise NotRunnable(f"{plan.concept.called}: no rule holds for {man.role} in {plan.offense.formation.called}")


def _seek(claims: Claims, task: Task) -> Man | None:
    found = None if task.key is None else claims.seek(task.key)
    if found is not None and _leaves_him(claims, task, found):
        return None
    if found is not None:
        claims.taken.add(found.name)
    return found


def _leaves_him(claims: Claims, task: Task, found: Man) -> bool:
    """The second who leads does not cross the ball for a backer: who stands in his place there comes first."""
    if task.key is None or task.verb.way != "backer" or task.verb.place == "edge" or found.to_x * task.side >= -ON:
        return False
    return any(m.name in claims.taken and m.to_x * task.side >= -ON for m in claims.front.orders[task.key])


def _solve_line(claims: Claims, scheme: Scheme) -> dict[str, ResolvedBlock]:
    """The blocks of the men who stay, solved together."""
    blockers = scheme.blockers
    line, near, edge = _in_order(claims)
    taken, left = claims.taken, claims.left
    at_line, places, kept = [], [], []
    for m, x in line:
        if m.name in left:
            kept.append(x)
        elif m.name not in taken:
            at_line.append(m)
            places.append(x)
    backers = [(m, b) for m, b in near if m.name not in taken and m.name not in left]
    if scheme.to_alley and (alley := _alley(claims, near, blockers[-1].x)) is not None:
        way = int(claims.plan.play)
        backers.append((alley, Backer(round(alley.to_x * way, 3), ALLEY_FREE, True)))
        backers.sort(key=lambda mb: (mb[0].to_x * way, mb[0].y))
    jobs: dict[str, ResolvedBlock] = {}
    line_up = LineUp(tuple(places), tuple(kept), scheme.pulled, edge)
    for b, on, to, climbs, helps in settle(blockers, line_up, tuple([b for _, b in backers])):
        task = scheme.stay[b]
        man, up = None if on is None else at_line[on], None if to is None else backers[to][0]
        if man is not None:
            taken.add(man.name)
        if up is not None:
            taken.add(up.name)
        jobs[task.role] = task.block(man or up, task.man.x, up if climbs else None, helps)
    return jobs


InOrder = tuple[tuple[tuple[Man, float], ...], tuple[tuple[Man, Backer], ...], float]


def _in_order(claims: Claims) -> InOrder:
    """The men at the line with their places, and the backers near enough to be blocked, from the back side to the play
    side; and where the surface ends there."""
    orders, play = claims.front.orders, claims.plan.play
    found: InOrder | None = orders.get(play)
    if found is None:
        way, front = int(play), claims.front
        surface = [p.x * way for side in (LEFT, RIGHT) for p in claims.plan.offense.view(side).surface]
        low, high = max(min(surface) - BOX_X, -BACKER_X), min(max(surface) + BOX_X, BACKER_X)
        near = [m for m in front.second if low <= m.to_x * way <= high and m.y <= SECOND_LEVEL_Y]
        near = [m for m in near if abs(m.to_x) <= DEEP_X or not is_deep(m, near)]
        near.sort(key=lambda m: (m.to_x * way, m.y))
        line = sorted(front.first, key=lambda m: (m.to_x * way, m.y))
        found = orders[play] = (
            tuple([(m, round(m.to_x * way, 3)) for m in line]),
            tuple([(m, _backer(m, near, surface, way)) for m in near]),
            max(surface),
        )
    return found


def _backer(man: Man, near: Sequence[Man], surface: Sequence[float], way: int) -> Backer:
    """What it costs when nobody gets to a backer: nothing when he is deep, little when he is an overhang, the play is
    for those inside him, and less when he is far behind it."""
    x = round(man.to_x * way, 3)
    if is_deep(man, near):
        return Backer(x, 0.0, deep=True)
    if overhangs(man, near, -min(surface) if x < 0 else max(surface)):
        return Backer(x, OVERHANG)
    return Backer(x, BEHIND if x <= -BEHIND_X else round(3.8 - 0.1 * min(8.0, abs(x - HOLE_X)), 3))


def _alley(claims: Claims, near: Sequence[tuple[Man, Backer]], edge: float) -> Man | None:
    """The man in the alley, outside the last blocker; nobody when he would pass a man left alone on his way.

    The backers are somebody else's.
    """
    kept = [m for m in claims.front.first if m.name in claims.left]
    if any(edge - PAST < m.to_x * claims.plan.play for m in kept):
        return None
    orders, play = claims.front.orders, claims.plan.play
    order = orders.get((play, edge))
    if order is None:
        behind = [m for m, _ in near]
        men = [
            m
            for m in (*claims.front.second, *claims.front.deep)
            if 0.5 < m.x * play - edge < 3.2 and m.y <= ALLEY_Y and m not in behind
        ]
        order = orders[play, edge] = tuple(sorted(men, key=lambda m: (m.x * play, m.y)))
    return claims.first(order)


def _left_alone(claims: Claims) -> tuple[Left, ...]:
    left = [Left(name, why) for name, why in claims.left.items()]
    rest = sorted(claims.free(claims.front.first), key=lambda m: m.to_x * claims.plan.play)
    return (*left, *[Left(m.name, _why(claims, m)) for m in rest])


def _why(claims: Claims, man: Man) -> str:
    return "back side" if man.to_x * claims.plan.play < 0 else "cut loose"


def _ends(
    plan: BlockingPlan, front: Levels, scheme: Scheme, on: Mapping[str, Man | None], jobs: Mapping[str, ResolvedBlock]
) -> dict[str, float]:
    """Where the movers end: outside the last man who stayed, by rank, or in the gap they lead or trap through."""
    out: dict[str, float] = {}
    edges: dict[Side, list[Task]] = {}
    gaps: dict[float, list[Task]] = {}
    for task in (*scheme.first, *scheme.after):
        if not task.moves:
            continue
        place, side = task.verb.place, task.side
        out[task.role] = 0.0
        if place == "edge":
            edges.setdefault(side, []).append(task)
        elif place == "away":
            out[task.role] = task.man.x + 3 * (task.man.side or side)
        else:
            if place == "bubble":
                gap = _bubble(plan, front, side)
            elif place == "target":
                met = on[task.role]
                gap = 1 if met is None else _gap_at(plan, side, met.to_x)
            else:
                gap = "ABCD".index(place)
            gaps.setdefault(_gap_middle(plan, side, gap), []).append(task)
    for middle, group in gaps.items():
        group.sort(key=lambda t: (-t.man.y, t.man.x * t.side))
        for i, task in enumerate(group):
            out[task.role] = middle + task.side * GAP_STEP * (i - (len(group) - 1) / 2)
    for side, group in edges.items():
        stay = [0.0, *[t.man.x * side for t in scheme.stay if not jobs[t.role].helps]]
        base = max(stay)
        for task in group:  # he kicks a man whom a blocker outside him has left: that is where he ends
            met = on[task.role]
            if task.verb.way == "kick" and met in front.first and met.to_x * side < base:
                x = met.to_x * side
                inner, outer = max([s for s in stay if s <= x], default=0.0), min([s for s in stay if s > x])
                out[task.role] = side * (inner + outer) / 2
        group = [t for t in group if not out[t.role]]
        group.sort(key=lambda t: (t.verb.rank, t.man.x * side))
        for i, task in enumerate(group):
            out[task.role] = side * (base + EDGE_STEP * (i + 1))
    return out


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
