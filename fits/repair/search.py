"""The smallest legal changes that make a look sound, each derived again and proven.

A change is one more fit rule in front of a man's own (fold, slant, swap, other leverage or duty), or another call of
the same system. Changes are tried by size; one is legal when it keeps the pass numbers of both sides and no man does
what no coach would call.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from fits.defense.align import Alignment, LiveRule, live_rule
from fits.defense.duties import is_deep
from fits.defense.roles import Group, concerns
from fits.defense.system import Call, FiredRule, FitRule, Part
from fits.derive.look import Defender, Look
from fits.deriver import Deriver
from fits.errors import FitsError
from fits.repair.plausible import WAY, Change, broken, keeps_numbers
from fits.repair.sight import MOVERS, ask, knows_where
from fits.repair.words import Vacancy, coach_says, headline, kind_of, others_move, vacancy
from fits.rules.snap import AfterSnap, Aligned
from fits.rules.targets import NO_LANE, TARGETS, compile_fit
from fits.spec import LookSpec
from fits.terms import Band, Leverage, Severity
from fits.values import replace, value

MOST = 5  # repairs given back
NEW_READ = 4.0  # what one more man to read costs, in yards to run
MOST_PROVEN = 40  # sound tries looked at more closely
BEAM = 10  # partial repairs carried on to the next size
LARGEST = 2  # men whom a repair sets out to change: more is another call
RULES = 3  # rules it may add in all, with those for men who have to follow
RANK = {Band.SOUND: 0, Band.IF_ON_TIME: 1, Band.NOT_SOUND: 2}


@value(kw_only=True)
class Repair:
    """One proven change. `rules` go in front of the call's own; a change of call has none. `look` is the proof.

    `vacancies` say who fills the place each changed man leaves, `then` who moves because of it; `reads` are
    (role, man of the offense) whom the new rules have him read besides his keys. Texts are in the engine's sides,
    the `say` of each rule is the coach's sentence.
    """

    kind: str
    text: str
    size: int
    rules: tuple[FitRule, ...]
    call: str
    look: Look
    men: tuple[str, ...] = ()
    vacancies: tuple[Vacancy, ...] = ()
    then: tuple[str, ...] = ()
    reads: tuple[tuple[str, str], ...] = ()


@value
class _Try:
    """Some rules more, the look they make, and what they ask of the men."""

    rules: tuple[FitRule, ...]
    cost: float
    look: Look
    reads: tuple[tuple[str, tuple[str, ...]], ...] = ()  # by rule id


@value
class _Case:
    """A look to repair, with all that deriving it again needs."""

    spec: LookSpec
    deriver: Deriver
    alignment: Alignment
    situation: AfterSnap
    look: Look

    def derive(self, call: Call) -> Look:
        return self.deriver.look(replace(self.spec, call=call))

    def try_rules(self, rules: Sequence[FitRule]) -> Look:
        """The look with those rules in front, on the same alignment: only fits can change."""
        live = dict(self.alignment.rules)
        for rule in reversed(rules):
            for d in self.alignment.men:
                if concerns(rule.who, d.name, d.position):
                    live[d.name] = (_live(d.name, rule), *live[d.name])
        return self.deriver.look(self.spec, replace(self.alignment, rules=live))

    def changes(self, rules: Sequence[FitRule], reads: dict[str, tuple[str, ...]], after: Look) -> list[Change]:
        """Every man of that look who follows one of the rules."""
        ids = {rule.id: rule for rule in rules}
        out = []
        for d in self.alignment.men:
            was, now = self.look.defender(d.name), after.defender(d.name)
            assert was is not None and now is not None
            if now.rule.id in ids:
                rule, more = ids[now.rule.id], reads.get(now.rule.id, ())
                out.append(Change(d, was, now, rule, more, after, self.alignment, self.situation))
        return out


def _live(role: str, rule: FitRule) -> LiveRule:
    return live_rule(FiredRule(role, Part.FRONT, rule))


def repair_look(spec: LookSpec, others: Sequence[Call] = (), deriver: Deriver | None = None) -> list[Repair]:
    """Proven repairs, smallest first; empty when the look is sound or nothing small helps.

    Where nothing makes a look sound that is not, what makes it sound if on time is given. `others` are the other calls
    that may be made instead. Raises what `derive_look` raises.
    """
    deriver = deriver or Deriver()
    look = deriver.look(spec)
    if look.sound:
        return []
    case = _Case(spec, deriver, deriver.alignment(spec), deriver.after_snap(spec), look)
    found = _by_rules(case)
    for other in others:
        if other.name != spec.call.name and (spec.call.short or not other.short):  # no goal line call in the open field
            try:
                again = case.derive(other)
            except FitsError:
                continue
            if again.sound:
                text = f"Call {other.called} instead of {spec.call.called}."
                found.append(
                    Repair(kind="other call", text=text, size=LARGEST + 1, rules=(), call=other.name, look=again)
                )
    found.sort(key=lambda r: (RANK[r.look.band], r.size))
    return found[:MOST]


def with_rules(call: Call, rules: tuple[FitRule, ...]) -> Call:
    """The call with those fit rules in front of its own."""
    return replace(call, front=replace(call.front, fits=rules + call.front.fits))


def _badness(look: Look) -> tuple[int, int]:
    """How far a look is from sound: its band, and how many findings keep it from it."""
    return RANK[look.band], len(_troubles(look))


def _troubles(look: Look) -> list[tuple[int | None, tuple[str, ...]]]:
    """Lane and men of each finding that keeps the look from being sound."""
    return [(f.lane, f.roles) for f in look.findings if f.severity is Severity.UNSOUND or f.code == "late"]


def _by_rules(case: _Case) -> list[Repair]:
    beam = [_Try((), 0.0, case.look)]
    on_time: list[Repair] = []
    for _ in range(LARGEST):
        tried = _distinct([t for start in beam for t in _one_more(case, start)])
        found = _proven(case, [t for t in tried if t.look.sound])
        if found:
            return found
        if case.look.band is Band.NOT_SOUND and not on_time:
            on_time = _proven(case, [t for t in tried if t.look.band is Band.IF_ON_TIME])
        tried.sort(key=lambda t: (_badness(t.look), t.cost))
        beam = tried[:BEAM]
    return on_time


def _proven(case: _Case, tried: list[_Try]) -> list[Repair]:
    """The best of them, derived again from a call that has the rules; none that only adds men to a smaller one."""
    made = [r for t in tried[:MOST_PROVEN] if (r := _prove(case, t)) is not None]
    found: list[Repair] = []
    for repair in sorted(made, key=lambda r: r.size):
        if not any(set(r.men) <= set(repair.men) for r in found):
            found.append(repair)
    return found[:MOST]


def _prove(case: _Case, t: _Try) -> Repair | None:
    """The repair that a try makes, derived anew, with whoever follows told so; None when it does not hold."""
    whole = _follow(case, t)
    if whole is None:
        return None
    reads = dict(whole.reads)
    changes = case.changes(whole.rules, reads, case.derive(with_rules(case.spec.call, whole.rules)))
    if {c.rule.id for c in changes} != {r.id for r in whole.rules} or any(broken(c) for c in changes):
        return None
    rules = tuple([
        replace(rule, say=next(coach_says(c) for c in changes if c.rule.id == rule.id)) for rule in whole.rules
    ])  # fmt: skip
    proof = case.derive(with_rules(case.spec.call, rules))
    if proof.band is not t.look.band or not keeps_numbers(case.look, proof):
        return None
    changes = [c for c in changes if _differs(c)]
    if {c.rule.id for c in changes} != {r.id for r in rules}:
        return None  # a rule that changes nobody is no part of a repair
    changes.sort(key=lambda c: [r.id for r in rules].index(c.rule.id))
    men = tuple([c.d.name for c in changes])
    return Repair(
        kind=" and ".join(dict.fromkeys([kind_of(c.was, c.now, case.look) for c in changes])),
        text=" ".join([headline(c.was, c.now, case.look) for c in changes]),
        size=len(rules), rules=rules, call=case.spec.call.name, look=proof, men=men,
        vacancies=tuple([vacancy(m, case.look, proof) for m in men if _leaves(m, case.look, proof)]),
        then=others_move(case.look, proof, frozenset(men)),
        reads=tuple([(c.d.name, role) for c in changes for role in c.reads]),
    )  # fmt: skip


def _follow(case: _Case, t: _Try) -> _Try | None:
    """The try with a rule for every man who fits another lane because of it and could not see why.

    Who scrapes to whatever is open does not see that a team mate has left it: he is told by what he does see.
    """
    for _ in range(RULES):
        man = next((m for m in _followers(case, t) if _blind(m)), None)
        if man is None:
            return t
        made = None
        if len(t.rules) < RULES:
            d = next(d for d in case.alignment.men if d.name == man.role)
            made = next((m for m in _told(case, t, d, man.lane) if m.look.band is t.look.band), None)
        if made is None:
            return None
        t = made
    return None


def _followers(case: _Case, t: _Try) -> list[Defender]:
    """Men without a new rule who have another lane than before."""
    ids = {r.id for r in t.rules}
    pairs = zip(case.look.defenders, t.look.defenders, strict=True)
    return [now for was, now in pairs if now.rule.id not in ids and now.lane is not None and now.lane != was.lane]


def _blind(man: Defender) -> bool:
    """True when the rule he follows goes by what is open."""
    return any(target.sight is None for target in compile_fit(man.rule.rule.fit))


def _told(case: _Case, t: _Try, d: Aligned, lane: int | None) -> Iterator[_Try]:
    """The try with one more rule that sends this man to that lane by what he sees."""
    if lane is None:
        return
    for phrase in _phrases(d, lane, case.situation):
        made = _with_rule(case, t, d, phrase, "")
        if made is not None:
            yield made


def _differs(c: Change) -> bool:
    return (c.was.lane, c.was.leverage, c.was.duty) != (c.now.lane, c.now.leverage, c.now.duty)


def _leaves(role: str, before: Look, after: Look) -> bool:
    was, now = before.defender(role), after.defender(role)
    assert was is not None and now is not None
    return was.lane != now.lane


def _distinct(tried: list[_Try]) -> list[_Try]:
    """Cheapest first, each set of changes once."""
    seen: set[frozenset[tuple[str, str, str]]] = set()
    out = []
    for t in sorted(tried, key=lambda t: t.cost):
        same = frozenset((r.who, r.when, r.fit) for r in t.rules)
        if same not in seen:
            seen.add(same)
            out.append(t)
    return out


def _one_more(case: _Case, start: _Try) -> Iterator[_Try]:
    changed = {c.d.name for c in case.changes(start.rules, {}, start.look)}
    left = {case.look.defender(role).lane for role in changed}  # type: ignore[union-attr]
    troubles = _troubles(start.look)
    aim = {lane for lane, _ in troubles if lane is not None} | {lane for lane in left if lane is not None}
    named = {role for _, roles in troubles for role in roles}
    aligned = {d.name: d for d in case.alignment.men}
    for man in start.look.defenders:
        d = aligned[man.role]
        if man.role in changed:
            continue
        for phrase, lane, leverage in _choices(d, man, case.situation, start.look):
            if lane not in aim and man.role not in named:
                continue
            made = _with_rule(case, start, d, phrase, leverage)
            if made is not None:
                cost = _cost(d, man, lane, lane in aim, start.look) + NEW_READ * len(made.reads[-1][1])
                yield replace(made, cost=start.cost + cost)


def _with_rule(case: _Case, start: _Try, d: Aligned, phrase: str, leverage: Leverage | Literal[""]) -> _Try | None:
    """The try with that fit for that man, or None when it makes things worse or no coach would call it."""
    asked = ask(d, case.situation, phrase)
    rule = FitRule(_rule_id(case.spec.call, d, start), d.position, asked.when, phrase, leverage, "")
    reads = (*start.reads, (rule.id, asked.reads))
    rules = (*start.rules, rule)
    try:
        look = case.try_rules(rules)
    except FitsError:
        return None
    if _badness(look) > _badness(start.look) or not keeps_numbers(case.look, look):
        return None
    if any(broken(c) for c in case.changes(rules, dict(reads), look)):
        return None
    return _Try(rules, start.cost, look, reads)


def _choices(
    d: Aligned, man: Defender, s: AfterSnap, look: Look
) -> Iterator[tuple[str, int | None, Leverage | Literal[""]]]:
    """Phrases that take this man somewhere else: one for each lane he can be sent to, and the duties without a lane."""
    codes = {f.code for f in look.findings}
    forced = {f.lane for f in look.findings if f.code in ("no-force", "force-leverage")}
    edge = None if d.side is None else s.lanes.edge(d.side)
    for lane in range(len(look.lanes)):
        if abs(look.lanes[lane].x - d.to_x) > WAY[man.group] + 2:
            continue
        leverage: Leverage | Literal[""] = Leverage.FORCE if lane in forced and lane == edge else ""
        if lane == man.lane and not leverage:
            continue
        for phrase in _phrases(d, lane, s):
            yield phrase, lane, leverage
            break
    if codes & {"no-qb-player"}:
        yield "quarterback", None, ""
    if codes & {"no-pitch-player"}:
        yield "pitch", None, ""
    if codes & {"outnumbered", "conflict"} and man.lane is not None and d.side is s.plan.eyes:
        yield "stay in conflict", None, ""
    if man.lane is not None and d.takes and (is_deep(d.takes) or d.takes.startswith("#")):
        yield "pass first", None, ""


_GAPS = (
    *(f"{g} gap" for g in "ABCDE"), *(f"outer {g} gap" for g in "BCDE"),
    "force", "cutback", *(f"{g} gap away" for g in "ABC"),
    *(f"{w} {g}" for g in "ABC" for w in ("frontside", "backside")),
)  # fmt: skip
_BESIDE = (
    "inside key", "outside key", *(f"{w} the {k}" for k in MOVERS for w in ("inside", "outside")), "spill", "box",
)  # fmt: skip


def _phrases(d: Aligned, lane: int, s: AfterSnap) -> Iterator[str]:
    """The phrases that send this man to that lane in this look and that he can know, the plainest first.

    Beside a man who leaves his place he is told by that man, else by the gap.
    """
    space = s.lanes.spaces[lane]
    beside_mover = any(r is not None and s.blocks.jobs[r].verb.moves for r in (space.left, space.right))
    order = (*_BESIDE, *_GAPS) if beside_mover else (*_GAPS, *_BESIDE)
    for phrase in order:
        if d.side is None and phrase.endswith((" gap", " away")):
            continue
        target = TARGETS.compile(phrase)
        if not knows_where(target, d):
            continue
        found = target.find(s, d)
        if found is not None and found != NO_LANE and found == lane:
            yield phrase


def _rule_id(call: Call, d: Aligned, start: _Try) -> str:
    taken = {r.id for r in call.fits} | {r.id for r in start.rules}
    base = f"{d.position.replace(' ', '-')}-fix"
    n = 1
    while f"{base}-{n}" in taken:
        n += 1
    return f"{base}-{n}"


def _cost(d: Aligned, man: Defender, lane: int | None, aimed: bool, look: Look) -> float:
    """What a change asks of a man: ground to cover, more for one who leaves a lane to others or belongs to the pass.

    A backer fits before a lineman slants: his eyes are on the run anyway.
    """
    far = 0.0 if lane is None else abs(look.lanes[lane].x - d.x) + d.y / 2
    leaves = 4.0 if man.lane is not None and len(look.lanes[man.lane].owners) == 1 else 0.0
    duty = 24.0 if d.takes == "#1" else 8.0 if d.takes.startswith("#") else 10.0 if is_deep(d.takes) else 0.0
    beside = (0.0 if aimed else 6.0) + (3.0 if d.group is Group.LINE else 0.0)
    return far + leaves + beside + (0.0 if lane is None else duty)
