"""The smallest legal changes that make a look sound, each derived again and proven; and whether any fit could be.

A change is one more fit rule in front of a man's own (fold, slant, swap, other leverage or duty), or another call of
the same system. Changes are tried by size; a change is legal when it keeps the pass numbers of both sides.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from fits.defense.align import Alignment, LiveRule, live_rule
from fits.defense.roles import Group
from fits.defense.system import Call, FiredRule, FitRule, Part
from fits.derive.look import Defender, Look
from fits.derive.margins import arrival_s, margin_s
from fits.deriver import Deriver
from fits.errors import FitsError
from fits.rules.snap import AfterSnap, Aligned
from fits.rules.targets import NO_LANE, TARGETS
from fits.spec import LookSpec
from fits.terms import Leverage, Severity
from fits.values import replace, value

MOST = 5  # repairs given back
BEAM = 10  # partial repairs carried on to the next size
LARGEST = 3  # rules a repair may add
WAY = {
    "line": 2.3,
    "linebacker": 7.5,
    "secondary": 10.0,
}  # yards sideways a man can be sent (common practice: a slant is one gap)


@value
class Repair:
    """One proven change. `rules` go in front of the call's own; a change of call has none. `look` is the proof."""

    kind: str
    text: str
    size: int
    rules: tuple[FitRule, ...]
    call: str
    look: Look


@value
class Reach:
    """Whether any fit could be sound in time: the assignment of men to lanes with the least lateness.

    `men` gives a defender for each lane, left to right (None where there are more lanes than men);
    `late_s` the summed lateness in seconds, 0 when every lane can be reached.
    """

    possible: bool
    late_s: float
    men: tuple[str | None, ...]
    text: str


@value
class _Try:
    rules: tuple[FitRule, ...]
    words: tuple[tuple[str, str], ...]  # (kind, sentence)
    cost: float
    look: Look


@value
class _Case:
    """A look to repair, with all that deriving it again needs."""

    spec: LookSpec
    deriver: Deriver
    alignment: Alignment
    situation: AfterSnap

    def derive(self, call: Call) -> Look:
        return self.deriver.look(replace(self.spec, call=call))

    def try_rules(self, rules: Sequence[FitRule]) -> Look:
        """The look with those rules in front, on the same alignment: only fits can change."""
        live = dict(self.alignment.rules)
        for rule in rules:
            live[rule.who] = (_live(rule), *live[rule.who])
        return self.deriver.look(self.spec, replace(self.alignment, rules=live))


def _live(rule: FitRule) -> LiveRule:
    return live_rule(FiredRule(rule.who, Part.FRONT, rule))


def repair_look(spec: LookSpec, others: Sequence[Call] = (), deriver: Deriver | None = None) -> list[Repair]:
    """Proven repairs, smallest first; empty when the look is sound or nothing small helps.

    `others` are the other calls that may be made instead. Raises what `derive_look` raises.
    """
    case = _case(spec, deriver or Deriver())
    call = spec.call
    look = case.derive(call)
    if look.sound:
        return []
    found = _by_rules(call, case, look)
    for other in others:
        if other.name != call.name:
            try:
                again = case.derive(other)
            except FitsError:
                continue
            if again.sound:
                found.append(
                    Repair("other call", f"Call {other.name} instead of {call.name}.", LARGEST, (), other.name, again)
                )
    found.sort(key=lambda r: r.size)
    return found[:MOST]


def with_rules(call: Call, rules: tuple[FitRule, ...]) -> Call:
    """The call with those fit rules in front of its own."""
    return replace(call, front=replace(call.front, fits=rules + call.front.fits))


def _case(spec: LookSpec, deriver: Deriver) -> _Case:
    return _Case(spec, deriver, deriver.alignment(spec), deriver.after_snap(spec))


def _unsound(look: Look) -> int:
    return sum(f.severity is Severity.UNSOUND for f in look.findings)


def _by_rules(call: Call, case: _Case, look: Look) -> list[Repair]:
    beam = [_Try((), (), 0.0, look)]
    for size in range(1, LARGEST + 1):
        tried: list[_Try] = []
        for start in beam:
            tried += _one_more(call, case, start, look)
        tried = _distinct(tried)
        found: list[Repair] = []
        for t in tried:
            if t.look.sound and len(found) < MOST:
                proof = case.derive(with_rules(call, t.rules))
                if proof.sound:
                    kind, text = " and ".join(dict.fromkeys(k for k, _ in t.words)), " ".join(w for _, w in t.words)
                    found.append(Repair(kind, text, size, t.rules, call.name, proof))
        if found:
            return found
        tried.sort(key=lambda t: _unsound(t.look))
        beam = tried[:BEAM]
    return []


def _distinct(tried: list[_Try]) -> list[_Try]:
    """Cheapest first, each set of changes once."""
    seen: set[frozenset[tuple[str, str]]] = set()
    out = []
    for t in sorted(tried, key=lambda t: t.cost):
        same = frozenset((r.who, r.fit) for r in t.rules)
        if same not in seen:
            seen.add(same)
            out.append(t)
    return out


def _one_more(call: Call, case: _Case, start: _Try, first: Look) -> Iterator[_Try]:
    changed = {r.who for r in start.rules}
    aligned = {d.name: d for d in case.alignment.men}
    for man in start.look.defenders:
        if man.role in changed:
            continue
        d = aligned[man.role]
        for phrase, lane, leverage in _choices(d, man, case.situation, start.look):
            rule = FitRule(_rule_id(call, man, start), man.role, _when(d, man, case.situation), phrase, leverage, "")
            try:
                look = case.try_rules((*start.rules, rule))
            except FitsError:
                continue
            if _unsound(look) > _unsound(start.look) or not _keeps_numbers(first, look):
                continue
            word = _words(man, look.defender(man.role), lane, start.look)
            yield _Try((*start.rules, rule), (*start.words, word), start.cost + _cost(d, man, lane, start.look), look)


def _choices(
    d: Aligned, man: Defender, s: AfterSnap, look: Look
) -> Iterator[tuple[str, int | None, Leverage | Literal[""]]]:
    """Phrases that take this man somewhere else: one for each lane he can be sent to, and the duties without a lane."""
    codes = {f.code for f in look.findings}
    wanted = {f.lane for f in look.findings if f.lane is not None}
    for lane in range(len(look.lanes)):
        if abs(look.lanes[lane].x - d.x) > WAY[man.group]:
            continue
        if lane == man.lane:
            if codes & {"no-force"} and lane in wanted:
                yield _phrase(d, lane, s) or "", lane, Leverage.FORCE
            continue
        if lane in wanted or "late" in codes or not look.lanes[lane].owners or len(look.lanes[lane].owners) == 1:
            phrase = _phrase(d, lane, s)
            if phrase:
                yield phrase, lane, Leverage.FORCE if lane in (0, len(look.lanes) - 1) and "no-force" in codes else ""
    if codes & {"no-qb-player"}:
        yield "quarterback", None, ""
    if codes & {"no-pitch-player"}:
        yield "pitch", None, ""
    if codes & {"outnumbered", "conflict"} and man.lane is not None and d.side is s.plan.eyes:
        yield "stay in conflict", None, ""


_PHRASES = (
    *(f"{g} gap" for g in "ABCDE"),
    *(f"outer {g} gap" for g in "BCDE"),
    "inside key",
    "outside key",
    *(f"{w} the {k}" for k in ("puller", "lead", "crosser", "kick", "wrap", "crack") for w in ("inside", "outside")),
    "force",
    "cutback",
    *(f"{g} gap away" for g in "ABCDE"),
    *(f"{w} {g}" for g in "ABC" for w in ("frontside", "backside")),
)


def _phrase(d: Aligned, lane: int, s: AfterSnap) -> str | None:
    """The plainest phrase that sends this man to that lane in this look."""
    for phrase in _PHRASES:
        if d.side is None and phrase.endswith((" gap", " away")):
            continue
        found = TARGETS.compile(phrase).find(s, d)
        if found is not None and found != NO_LANE and found == lane:
            return phrase
    return None


def _when(d: Aligned, man: Defender, s: AfterSnap) -> str:
    """Conditions that hold here: the ones of the rule he would follow, what his key showed, which way the run went."""
    steps = s.steps
    out = [f"I play {d.technique}"] if " " not in d.technique else []
    if d.keys and d.keys[0] in steps:
        out.append(f"key steps {steps[d.keys[0]]}")
    if d.side is not None:
        out.append("run to my side" if s.play is d.side else "run away")
    kinds = {"rpo": "run-pass option", "read": "quarterback read", "pitch": "pitch", "draw": "pass set"}
    out += [phrase for flag, phrase in kinds.items() if flag in s.flags]
    for kind in ("puller", "lead", "crosser", "crack"):
        if TARGETS.compile(f"inside the {kind}").find(s, d) is not None:
            out.append(kind)
    return " and ".join(out)


def _rule_id(call: Call, man: Defender, start: _Try) -> str:
    taken = {r.id for r in call.fits} | {r.id for r in start.rules}
    base = f"{man.role.replace(' ', '-')}-fix"
    n = 1
    while f"{base}-{n}" in taken:
        n += 1
    return f"{base}-{n}"


def _keeps_numbers(before: Look, after: Look) -> bool:
    return all(
        len(b.defenders) >= min(len(a.defenders), len(a.receivers))
        for a, b in zip(before.passes, after.passes, strict=True)
    )


def _cost(d: Aligned, man: Defender, lane: int | None, look: Look) -> float:
    """What a change asks of a man: ground to cover, more for one who leaves a lane to others or belongs to the pass."""
    far = 0.0 if lane is None else abs(look.lanes[lane].x - d.x) + d.y / 2
    leaves = 4.0 if man.lane is not None and len(look.lanes[man.lane].owners) == 1 else 0.0
    return far + leaves + (24.0 if d.takes == "#1" else 8.0 if d.takes.startswith("#") else 0.0)


def _words(man: Defender, now: Defender | None, lane: int | None, look: Look) -> tuple[str, str]:
    fit = now.fit if now else ""
    if lane is not None and lane == man.lane:
        return "force", f"{man.role} becomes the force in {fit}."
    if man.group == Group.LINE.value:
        return "slant", f"{man.role} slants to {fit}."
    if man.lane is None:
        return "fold", f"{man.role} folds into {fit}."
    if lane is not None and look.lanes[lane].owners:
        return "swap", f"{man.role} goes from {man.fit} to {fit} ({' and '.join(look.lanes[lane].owners)} was there)."
    return "move", f"{man.role} goes from {man.fit} to {fit}."


def could_reach(spec: LookSpec, deriver: Deriver | None = None) -> Reach:
    """Whether any fit of these eleven, where they line up, could be at every lane in time.

    False means that no rule can help: line up elsewhere. True and unsound means that the rules are wrong.
    """
    deriver = deriver or Deriver()
    s = deriver.after_snap(spec)
    lanes, men = s.lanes, deriver.alignment(spec).men
    late = [
        [max(0.0, -margin_s(d, arrival_s(d, space.x, s, spec.pace, spec.roster), ball_s)) for d in men]
        for space, ball_s in zip(lanes.spaces, s.ball_s, strict=True)
    ]
    if len(late) > len(men):
        return Reach(False, 99.0, (None,) * len(late), f"{len(late)} lanes for {len(men)} men.")
    picks = least_cost(late)
    total = sum(late[i][j] for i, j in enumerate(picks))
    names = tuple(men[j].name for j in picks)
    text = (
        "Every lane can be reached in time: a fit exists."
        if total == 0
        else (f"No fit of these eleven gets to every lane in time: {total:.2f} s short in all. Line up elsewhere.")
    )
    return Reach(total == 0, total, names, text)


def least_cost(cost: Sequence[Sequence[float]]) -> list[int]:
    """For each row the column of a least-cost assignment (rows <= columns), by shortest augmenting paths.

    Source: Kuhn 1955; Jonker and Volgenant 1987 (the method; checked against scipy in the tests).
    """
    rows, columns = len(cost), len(cost[0]) if cost else 0
    u, v = [0.0] * (rows + 1), [0.0] * (columns + 1)
    row_of = [0] * (columns + 1)
    for i in range(1, rows + 1):
        row_of[0], j0 = i, 0
        least, back, used = [float("inf")] * (columns + 1), [0] * (columns + 1), [False] * (columns + 1)
        while row_of[j0]:
            used[j0], i0, j1, delta = True, row_of[j0], 0, float("inf")
            for j in range(1, columns + 1):
                if not used[j]:
                    spare = cost[i0 - 1][j - 1] - u[i0] - v[j]
                    if spare < least[j]:
                        least[j], back[j] = spare, j0
                    if least[j] < delta:
                        delta, j1 = least[j], j
            for j in range(columns + 1):
                if used[j]:
                    u[row_of[j]] += delta
                    v[j] -= delta
                else:
                    least[j] -= delta
            j0 = j1
        while j0:
            row_of[j0], j0 = row_of[back[j0]], back[j0]
    out = [0] * rows
    for j in range(1, columns + 1):
        if row_of[j]:
            out[row_of[j] - 1] = j - 1
    return out
