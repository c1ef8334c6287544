"""When a defensive rule applies: the phrases of `when`, seen from the defender.

Formation phrases can be answered before the snap; play phrases need the blocks.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

from fits.blocking.cast import back_side
from fits.blocking.resolve import ResolvedBlock
from fits.field import LEFT, RIGHT, Side
from fits.notation.phrase import PhraseError, Vocabulary
from fits.offense.formation import Kind, is_back
from fits.rules.snap import AfterSnap, Aligned, BeforeSnap
from fits.sights import OVER_HIM, Flow, back_way, felt_from, read_flow, step_way
from fits.terms import Sight, Step
from fits.values import value

S = TypeVar("S", BeforeSnap, AfterSnap)
BeforeTest = Callable[[BeforeSnap, Aligned], bool]
AfterTest = Callable[[AfterSnap, Aligned], bool]


def _unless(test: Callable[[S, Aligned], bool]) -> Callable[[S, Aligned], bool]:
    return lambda s, d: not test(s, d)


@value
class Before:
    """A condition that holds or not before the snap; one that is told has the word, and who says it."""

    test: BeforeTest
    sight: Sight | None = Sight.BEFORE
    word: str = ""
    teller: str = ""

    def negated(self) -> Before:
        """The opposite condition."""
        return Before(_unless(self.test), self.sight, self.word, self.teller)


@value
class After:
    """A condition that needs the play. `sight` is how a man can know it; None when nothing he sees tells him."""

    test: AfterTest
    sight: Sight | None

    def negated(self) -> After:
        """The opposite condition."""
        return After(_unless(self.test), self.sight)


Condition = Before | After


CONDITIONS: Vocabulary[Condition] = Vocabulary("a condition")
_say = CONDITIONS.phrase
STEP_WORDS = "|".join(Step)
IN_PLACE = frozenset({"in", "out", "straight", "set"})
GOAL_LINE, BACKED_UP = 5.0, 90.0  # yards to the goal line the offense attacks


def compile_when(text: str) -> tuple[Condition, ...]:
    """The conditions of a `when`, all of which must hold; empty text always holds. Raises PhraseError."""
    out = []
    for atom in filter(None, (a.strip() for a in text.split(" and "))):
        condition = CONDITIONS.compile(atom.removeprefix("not "))
        out.append(condition.negated() if atom.startswith("not ") else condition)
    return tuple(out)


def late_tests(text: str) -> tuple[tuple[str, AfterTest], ...]:
    """What a `when` asks that shows late only, in its own words; `not` set aside."""
    atoms = [atom.strip().removeprefix("not ") for atom in text.split(" and ") if atom.strip()]
    late = [(atom, CONDITIONS.compile(atom)) for atom in atoms]
    return tuple([(atom, c.test) for atom, c in late if isinstance(c, After) and c.sight is Sight.LATE])


def asked_sights(conditions: Iterable[Condition]) -> frozenset[Sight]:
    """How a man knows what those conditions ask, as far as he can."""
    return frozenset([c.sight for c in conditions if c.sight is not None])


def before_tests(conditions: Iterable[Condition]) -> tuple[BeforeTest, ...]:
    """The tests among them that can be made before the snap."""
    return tuple([c.test for c in conditions if isinstance(c, Before)])


def after_tests(conditions: Iterable[Condition]) -> tuple[AfterTest, ...]:
    """The tests among them that need the play."""
    return tuple([c.test for c in conditions if isinstance(c, After)])


# --- before the snap -------------------------------------------------------------------------------------------------


@_say(
    "(?P<n>a|two)? ?tight ends?(?P<where> on my side| on the other side)?",
    "tight end on my side",
    "an attached or wing man there; anywhere without a side",
)
def _tight_end(n: str | None, where: str | None) -> Condition:
    need = 2 if n == "two" else 1

    def test(s: BeforeSnap, d: Aligned) -> bool:
        if where is None:
            return len(s.offense.left.attached) + len(s.offense.right.attached) >= need
        if d.side is None:
            return False
        side = d.side if where == " on my side" else d.side.other
        return len(s.offense.view(side).attached) >= need

    return Before(test)


@_say("wing on my side", "wing on my side", "an attached man off the line on my side")
def _wing() -> Condition:
    return Before(lambda s, d: d.side is not None and any(not p.on_line for p in s.offense.view(d.side).attached))


@_say("#(?P<n>[1-4]) attached", "#2 attached", "that receiver, outside in on my side, is attached")
def _attached(n: str) -> Condition:
    i = int(n) - 1

    def test(s: BeforeSnap, d: Aligned) -> bool:
        if d.side is None:
            return False
        view = s.offense.view(d.side)
        return i < len(view.receivers) and view.receivers[i] in view.attached

    return Before(test)


@_say(
    "(?P<n>\\d) ?(?P<more>or more|or fewer)? receivers? on (?P<where>my|the other) side",
    "3 or more receivers on my side",
    "eligibles outside the tackle on that side",
)
def _receivers(n: str, more: str | None, where: str) -> Condition:
    need = int(n)

    def test(s: BeforeSnap, d: Aligned) -> bool:
        if d.side is None:
            return False
        have = len(s.offense.view(d.side if where == "my" else d.side.other).receivers)
        return have >= need if more == "or more" else have <= need if more == "or fewer" else have == need

    return Before(test)


@_say("(?P<n>\\d) ?(?P<more>or more|or fewer)? backs?", "2 or more backs", "backs and offset men in the backfield")
def _backs(n: str, more: str | None) -> Condition:
    need = int(n)

    def test(s: BeforeSnap, d: Aligned) -> bool:
        have = len(s.offense.backfield)
        return have >= need if more == "or more" else have <= need if more == "or fewer" else have == need

    return Before(test)


@_say(
    "back (?P<where>on my side|away from me|behind the quarterback)",
    "back on my side",
    "where the deepest back lines up",
)
def _back(where: str) -> Condition:
    def test(s: BeforeSnap, d: Aligned) -> bool:
        side = back_side(s.offense)
        if where == "behind the quarterback":
            return side is None and bool(s.offense.backfield)
        return side is not None and d.side is not None and (side is d.side) == (where == "on my side")

    return Before(test)


@_say("to the (?P<where>strength|field|boundary|run strength)", "to the field", "I line up on that side")
def _to(where: str) -> Condition:
    def test(s: BeforeSnap, d: Aligned) -> bool:
        o = s.offense
        called = o.before or o  # a motion does not call the strength again
        wide = s.strength if o.field is None else o.field  # with the ball in the middle the field is the strength
        side = {"strength": s.strength, "field": wide, "boundary": wide.other, "run strength": called.run}[where]
        return d.side is not None and side is d.side

    return Before(test)


@_say("I play (?P<label>[^ ]+)", "I play 4i", "my technique in this look")
def _i_play(label: str) -> Condition:
    return Before(lambda s, d: d.technique == label)


@_say("(?P<how>gun|under centre)", "gun", "where the quarterback lines up")
def _gun(how: str) -> Condition:
    def test(s: BeforeSnap, d: Aligned) -> bool:
        qb = next(p for p in s.offense.formation.players if p.kind is Kind.QUARTERBACK)
        return (qb.y < -2.5) == (how == "gun")

    return Before(test)


@_say(
    "motion(?P<where> to my side| away from me)?", "motion to my side", "a man moved before the snap, and ended there"
)
def _motion(where: str | None) -> Condition:
    def test(s: BeforeSnap, d: Aligned) -> bool:
        if s.offense.motion is None or where is None:
            return s.offense.motion is not None
        side = s.offense.by_role[s.offense.motion].side
        return d.side is not None and side is not None and (side is d.side) == (where == " to my side")

    return Before(test)


@_say(
    "told (?P<word>[a-z-]+) by (?P<who>[^:]+): (?P<fact>.+)",
    "told jersey by FS: 3 or more receivers on the other side",
    "a fact of the formation that a team mate calls to me before the snap, with his word for it",
)
def _told(word: str, who: str, fact: str) -> Condition:
    inner = CONDITIONS.compile(fact.removeprefix("not "))
    if not isinstance(inner, Before):
        raise PhraseError("a fact to be seen before the snap", fact, ["tight end on the other side", "motion"])
    if fact.startswith("not "):
        inner = inner.negated()
    return Before(inner.test, Sight.TOLD, word, who.strip())


@_say(
    "motion across(?P<where> to my side| away from me| to the strength| to the weak side)?",
    "motion across to my side",
    "a man crossed the ball in motion, and on which side he ended",
)
def _across(where: str | None) -> Condition:
    def test(s: BeforeSnap, d: Aligned) -> bool:
        o = s.offense
        if o.motion is None or o.before is None:
            return False
        start, end = o.before.by_role[o.motion].side, o.by_role[o.motion].side
        if start is None or end is not start.other:
            return False
        if where is None:
            return True
        if where in (" to the strength", " to the weak side"):
            return (end is s.strength) == (where == " to the strength")
        return d.side is not None and (end is d.side) == (where == " to my side")

    return Before(test)


@_say(
    "(?P<n>[1-5]) or more receivers where the motion ends",
    "3 or more receivers where the motion ends",
    "eligibles outside the tackle on the side the man in motion ended on",
)
def _where_motion_ends(n: str) -> Condition:
    need = int(n)

    def test(s: BeforeSnap, d: Aligned) -> bool:
        o = s.offense
        end = None if o.motion is None else o.by_role[o.motion].side
        return end is not None and len(o.view(end).receivers) >= need

    return Before(test)


@_say("motion into the backfield", "motion into the backfield", "the man in motion is behind the line at the snap")
def _into_backfield() -> Condition:
    def test(s: BeforeSnap, d: Aligned) -> bool:
        return s.offense.motion is not None and any(p.role == s.offense.motion for p in s.offense.backfield)

    return Before(test)


@_say("goal line", "goal line", "the offense is inside the five-yard line it attacks, or the call lines up as there")
def _goal_line() -> Condition:
    return Before(lambda s, d: s.yard_line is not None and s.yard_line <= GOAL_LINE)


@_say("backed up", "backed up", "the offense is inside its own ten-yard line")
def _backed_up() -> Condition:
    return Before(lambda s, d: s.yard_line is not None and s.yard_line >= BACKED_UP)


# --- after the snap --------------------------------------------------------------------------------------------------


def way_of(s: AfterSnap, role: str) -> Side | None:
    """The direction an offensive man shows with his first step; None when he shows none."""
    job = s.blocks.jobs[role]
    if s.steps[role] == "straight" and is_back(job.man):
        return back_way(job.verb.text == "carry", s.steps["C"] == "set", job.man.x, job.end_x, s.play)
    return step_way(role, s.steps[role], job.man.x, job.end_x, s.play)


def flow_of(s: AfterSnap) -> Flow:
    """Where the backs go in their first two steps: the same for every man, so the play keeps it."""
    if s.flow is not None:
        return s.flow
    backs = sorted([p for p in s.offense.backfield if is_back(p)], key=lambda p: (p.y, p.x * s.play))
    pass_set = s.steps["C"] == "set"
    ways = []
    for p in backs:
        job = s.blocks.jobs[p.role]
        ways.append(back_way(job.verb.text == "carry", pass_set, p.x, job.end_x, s.play))
    s.flow = read_flow(ways)
    return s.flow


def cracks_called(s: AfterSnap, d: Aligned) -> bool:
    """True when a receiver on his side cracks and a team mate over that receiver sees it and calls it."""
    if d.side is None:
        return False
    cracks = [s.offense.by_role[r].x for r, step in s.steps.items() if step == "crack"]
    men = [m.x for m in (*s.front.second, *s.front.deep) if m.name != d.name]
    return any([x * d.side > 0 and any([abs(x - m) <= OVER_HIM for m in men]) for x in cracks])  # noqa: C419


def _men(who: str, s: AfterSnap, d: Aligned) -> tuple[str, ...]:
    if who == "centre":
        return ("C",)
    views = (s.offense.left, s.offense.right) if d.side is None else (s.offense.view(d.side),)
    return tuple([v.surface[0].role if who == "guard" else v.tackle.role for v in views])


PLACES = {"": 0, "first ": 0, "second ": 1, "third ": 2}
_NTH = "(?P<nth>first |second |third )?"


def _nth(nth: str | None, d: Aligned) -> str | None:
    """The first, second or third man he reads."""
    i = PLACES[nth or ""]
    return d.keys[i] if i < len(d.keys) else None


@_say(
    f"{_NTH}key steps (?P<steps>(?:{STEP_WORDS})(?: or (?:{STEP_WORDS}))*)",
    "second key steps out",
    "the first step that the man I read shows; the first of them, unless the second or third is named",
)
def _key_steps(nth: str | None, steps: str) -> Condition:
    wanted = frozenset(steps.split(" or "))
    sight = Sight.HAT if wanted == {"set"} else Sight.KEY
    if PLACES[nth or ""] == 0:
        return After(lambda s, d: bool(d.keys) and s.steps.get(d.keys[0]) in wanted, sight)
    return After(lambda s, d: s.steps.get(_nth(nth, d) or "") in wanted, sight)


@_say(
    f"(?P<who>centre|guard|tackle) steps (?P<steps>(?:{STEP_WORDS})(?: or (?:{STEP_WORDS}))*)",
    "guard steps pull",
    "the first step that man shows",
)
def _steps(who: str, steps: str) -> Condition:
    wanted = frozenset(steps.split(" or "))
    sight = Sight.HAT if wanted == {"set"} else Sight.KEY
    return After(lambda s, d: any([s.steps.get(r) in wanted for r in _men(who, s, d)]), sight)  # noqa: C419 (a list is quicker here)


@_say(
    f"{_NTH}key (?P<what>pulls|crosses|arcs|cracks|blocks)",
    "key blocks",
    "the man I read pulls, crosses, arcs (releases), cracks, or blocks where he stands",
)
def _key(nth: str | None, what: str) -> Condition:
    wanted = IN_PLACE if what == "blocks" else frozenset({{"crosses": "cross"}.get(what, what[:-1])})

    def test(s: AfterSnap, d: Aligned) -> bool:
        key = _nth(nth, d)
        if key is None or s.steps.get(key) not in wanted:
            return False
        job = s.blocks.jobs[key]
        return what != "blocks" or job.counts or job.helps

    return After(test, Sight.KEY)


@_say(
    f"{_NTH}key goes (?P<where>to my side|away)",
    "key goes to my side",
    "which way the man I read goes when he pulls, crosses, steps as centre, or carries or leads as a back",
)
def _key_goes(nth: str | None, where: str) -> Condition:
    def test(s: AfterSnap, d: Aligned) -> bool:
        key = _nth(nth, d)
        way = None if key is None else way_of(s, key)
        return way is not None and d.side is not None and (way is d.side) == (where == "to my side")

    return After(test, Sight.KEY)


@_say(
    "a key pulls(?P<where> to my side| away)?",
    "a key pulls away",
    "one of the men I read pulls, and which way he goes",
)
def _a_key_pulls(where: str | None) -> Condition:
    def test(s: AfterSnap, d: Aligned) -> bool:
        for key in d.keys:
            if s.steps.get(key) == "pull":
                if where is None:
                    return True
                if d.side is not None and (way_of(s, key) is d.side) == (where == " to my side"):
                    return True
        return False

    return After(test, Sight.KEY)


@_say(
    "flow (?P<where>to my side|away)",
    "flow to my side",
    "where the deepest back who goes anywhere goes in his first two steps",
)
def _flow_to(where: str) -> Condition:
    def test(s: AfterSnap, d: Aligned) -> bool:
        deep = flow_of(s).deep
        return deep is not None and d.side is not None and (deep is d.side) == (where == "to my side")

    return After(test, Sight.FLOW)


@_say("(?P<what>split|no) flow", "split flow", "the backs go both ways, or none goes anywhere")
def _flow_kind(what: str) -> Condition:
    if what == "split":
        return After(lambda s, d: flow_of(s).split, Sight.FLOW)
    return After(lambda s, d: flow_of(s).deep is None, Sight.FLOW)


@_say(
    "blocked (?P<where>from inside|from outside|head up)",
    "blocked from inside",
    "a man who blocks me comes from there; felt at contact",
)
def _blocked(where: str) -> Condition:
    wanted = where.removeprefix("from ")

    def test(s: AfterSnap, d: Aligned) -> bool:
        jobs = s.blocks.jobs
        return any([felt_from(jobs[r].man.x, d.x) == wanted for r in s.blocks.on.get(d.name, ())])  # noqa: C419

    return After(test, Sight.FELT)


@_say("crack called", "crack called", "the man over a receiver on my side who cracks calls it: crack!")
def _crack_called() -> Condition:
    return After(cracks_called, Sight.TOLD)


@_say("guards flow together", "guards flow together", "both guards step the same way: one out, one in")
def _flow() -> Condition:
    return After(lambda s, d: {s.steps["LG"], s.steps["RG"]} == {"in", "out"}, Sight.KEY)


@_say(
    "a (?P<who>guard|lineman) pulls(?P<where> to my side| away)?",
    "a guard pulls to my side",
    "a pull seen, and which way it goes",
)
def _pull(who: str, where: str | None) -> Condition:
    roles = ("LG", "RG") if who == "guard" else ("LG", "RG", "LT", "RT", "C")

    def test(s: AfterSnap, d: Aligned) -> bool:
        for role in roles:
            if s.steps[role] == "pull":
                if where is None:
                    return True
                job: ResolvedBlock = s.blocks.jobs[role]
                side = job.side if job.verb.moves else (RIGHT if role[0] == "L" else LEFT)
                if d.side is not None and (side is d.side) == (where == " to my side"):
                    return True
        return False

    return After(test, Sight.KEY)


KINDS: dict[str, Callable[[ResolvedBlock], bool]] = {
    "puller": lambda j: j.verb.step == "pull",
    "lead": lambda j: j.verb.step == "straight",
    "crosser": lambda j: j.verb.step == "cross",
    "crack": lambda j: j.verb.step == "crack",
    "mover": lambda j: True,
    "kick": lambda j: "kick" in j.verb.text,
    "wrap": lambda j: "wrap" in j.verb.text,
}


MOVER_SIGHTS = {
    "puller": Sight.KEY, "lead": Sight.FLOW, "crosser": Sight.FLOW, "crack": Sight.KEY, "mover": Sight.FLOW,
    "kick": Sight.LATE, "wrap": Sight.LATE,
}  # fmt: skip


def moving(s: AfterSnap, kind: str, d: Aligned, where: str | None) -> list[ResolvedBlock]:
    """The movers of that kind, on the asked side of the defender, the man nearest the ball first."""
    if not s.movers:
        return []
    wanted = KINDS[kind]
    found = []
    for job in s.movers:
        if wanted(job):
            side: Side = RIGHT if job.end_x > 0 else LEFT
            if where is None or (d.side is not None and (side is d.side) == (where == " to my side")):
                found.append(job)
    return found


@_say(
    "(?:a |the )?(?P<kind>puller|lead|crosser|crack|mover|kick|wrap)(?P<where> to my side| away)?",
    "lead to my side",
    "a run blocker who leaves his place, and where he ends up",
)
def _mover(kind: str, where: str | None) -> Condition:
    return After(lambda s, d: bool(moving(s, kind, d, where)), MOVER_SIGHTS[kind])


@_say(
    "kicked",
    "kicked",
    "a man who moves turns me out: a kick, a trap, a lead around the end (not a crack, a wrap, a lead through a gap)",
)
def _kicked() -> Condition:
    def test(s: AfterSnap, d: Aligned) -> bool:
        on = s.blocks.on.get(d.name)
        return on is not None and any([s.blocks.jobs[role].verb.turns_out for role in on])  # noqa: C419

    return After(test, Sight.FELT)


@_say("cracked", "cracked", "a wide man cracks me")
def _cracked() -> Condition:
    return After(lambda s, d: any(s.steps[r] == "crack" for r in s.blocks.on.get(d.name, ())), Sight.FELT)


@_say("doubled", "doubled", "two men block me")
def _doubled() -> Condition:
    return After(lambda s, d: len(s.blocks.on.get(d.name, ())) > 1, Sight.FELT)


@_say("unblocked", "unblocked", "nobody blocks me")
def _unblocked() -> Condition:
    return After(lambda s, d: d.name not in s.blocks.on, Sight.FELT)


@_say("run (?P<where>to my side|away)", "run to my side", "the side the run goes to")
def _run(where: str) -> Condition:
    return After(lambda s, d: d.side is not None and (s.play is d.side) == (where == "to my side"), Sight.FLOW)


@_say(
    "(?P<kind>run-pass option|quarterback read|quarterback run|pitch|pass set|option)(?P<where> on my side| away)?",
    "run-pass option on my side",
    "what the play carries, and whether the eyes are on my side",
)
def _kind(kind: str, where: str | None) -> Condition:
    flags = {
        "run-pass option": {"rpo"}, "quarterback read": {"read"}, "quarterback run": {"quarterback"},
        "pitch": {"pitch"}, "pass set": {"draw"}, "option": {"rpo", "read"},
    }[kind]  # fmt: skip

    def test(s: AfterSnap, d: Aligned) -> bool:
        if not s.flags & flags or (kind == "pitch" and kind not in s.threat_lanes):  # nobody is left for it: no pitch
            return False
        if where is None:
            return True
        side = s.play if kind == "pitch" or s.plan.eyes is None else s.plan.eyes
        return d.side is not None and (side is d.side) == (where == " on my side")

    return After(test, Sight.HAT if kind == "pass set" else Sight.LATE)


@_say("option (?P<name>[a-z-]+) chosen", "option box chosen", "a staff option is switched on for this look")
def _chosen(name: str) -> Condition:
    return After(lambda s, d: name in s.flags, Sight.BEFORE)


@_say("my gap is (?P<what>open|owned)", "my gap is open", "whether anybody fits my gap already")
def _my_gap(what: str) -> Condition:
    def test(s: AfterSnap, d: Aligned) -> bool:
        side = d.gap_side
        if side is None or d.gap is None:
            return False
        lane = s.lanes.gap(side, d.gap)
        return lane is not None and bool(s.owners[lane]) == (what == "owned")

    return After(test, None)


@_say(
    "open beside the (?P<kind>puller|lead|crosser|crack|mover|kick|wrap)",
    "open beside the lead",
    "a lane next to that mover has nobody in it yet",
)
def _open_beside(kind: str) -> Condition:
    def test(s: AfterSnap, d: Aligned) -> bool:
        beside = [
            s.lanes.beside(j.man.role, out, s.play) for j in moving(s, kind, d, None)[:1] for out in (False, True)
        ]
        return any(lane is not None and not s.owners[lane] for lane in beside)

    return After(test, None)


@_say(
    "quarterback is (?P<what>open|owned)",
    "quarterback is open",
    "whether anybody fits the lane he would keep the ball in",
)
def _quarterback_is(what: str) -> Condition:
    def test(s: AfterSnap, d: Aligned) -> bool:
        lane = s.threat_lanes.get("keep")
        if lane is None:
            lane = None if s.plan.eyes is None else s.lanes.edge(s.plan.eyes)
        return lane is not None and bool(s.owners[lane]) == (what == "owned")

    return After(test, None)


@_say(
    "tight end on the (?P<where>play|back|eyes) side",
    "tight end on the play side",
    "an attached or wing man where the run goes, behind it, or where the quarterback looks",
)
def _tight_end_play(where: str) -> Condition:
    def test(s: AfterSnap, d: Aligned) -> bool:
        side = s.play if where == "play" else s.play.other if where == "back" else s.plan.eyes
        return side is not None and bool(s.offense.view(side).attached)

    return After(test, Sight.FLOW)


@_say("I am the force", "I am the force", "the coverage makes me the force player on my side")
def _i_force() -> Condition:
    return After(lambda s, d: d.force, Sight.BEFORE)
