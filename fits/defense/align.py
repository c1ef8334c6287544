"""Where defenders line up: the phrases of `at`, and a whole call aligned to an offense."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache
from typing import Any, Generic, Protocol, TypeVar

from fits.blocking.levels import Levels, read_front
from fits.defense.checks import Check, compile_check, hold_back, motion_time_s
from fits.defense.duties import DutyGap, duty_gaps
from fits.defense.movement import Movement, compile_move, move_man
from fits.defense.pressure import gaps_of, settle
from fits.defense.roles import ORDER, Group, Role, concerns, label_list
from fits.defense.system import AlignRule, Call, CheckRule, FiredRule, FitRule, MoveRule, Part, Pressure
from fits.defense.techniques import BACKER_DEPTH, LINE_DEPTH, man_x, technique_x
from fits.errors import NoRule
from fits.field import LEFT, RIGHT, Side
from fits.notation.phrase import PhraseError, Vocabulary
from fits.offense.formation import Offense
from fits.rules.conditions import (
    AfterTest,
    BeforeTest,
    after_tests,
    asked_sights,
    before_tests,
    compile_when,
    late_tests,
)
from fits.rules.snap import Aligned, BeforeSnap
from fits.rules.targets import Alternative, compile_fit
from fits.terms import Leverage, Sight
from fits.values import field, value

Placer = Callable[[Offense, Side | None], tuple[float, str]]
LANDMARKS: Vocabulary[Placer] = Vocabulary("a landmark or technique")
KeyReader = Callable[[Offense, Side | None, float], tuple[str, ...]]
KEYS: Vocabulary[KeyReader] = Vocabulary("a key")
_AT = re.compile(
    r"(?P<mark>.+?)(?: (?P<way>inside|outside) by (?P<by>\d+(?:\.\d+)?))?(?:, (?P<deep>\d+(?:\.\d+)?) deep)?"
    r"(?: to (?P<to>strength|weak|run strength|run weak|field|boundary|back|away from back|motion|away from motion"
    r"|middle))?"
)
_TECHNIQUE = re.compile(r"\d{1,2}i?0?")
SHORT_YARDAGE = 3.0  # the yard line a short-yardage call lines up as on
END_ZONE = 9.0  # yards past the goal line where the deepest man stands, a yard inside the back line
T = TypeVar("T")


class Rule(Protocol):
    """Any rule about somebody."""

    @property
    def who(self) -> str:
        """Labels, comma separated."""


R = TypeVar("R", bound=Rule)


def _edge_x(offense: Offense, side: Side) -> float:
    return offense.view(side).surface[-1].x


@LANDMARKS.phrase(
    "apex", "apex", "half-way between the last man on the line and #2 (three yards outside when nobody is there)"
)
def _apex() -> Placer:
    def place(offense: Offense, side: Side | None) -> tuple[float, str]:
        way = side or RIGHT
        view, edge = offense.view(way), _edge_x(offense, way)
        wide = [p for p in view.receivers if p not in view.attached]
        x = (edge + wide[1].x) / 2 if len(wide) > 1 else edge + 3.0 * way
        return x, "apex"

    return place


@LANDMARKS.phrase(
    "over #(?P<n>[1-4])", "over #2", "over that receiver, outside in; the nearest one inside him when there are fewer"
)
def _over(n: str) -> Placer:
    def place(offense: Offense, side: Side | None) -> tuple[float, str]:
        way = side or RIGHT
        receivers = offense.view(way).receivers
        if not receivers:
            return _edge_x(offense, way) + 2.0 * way, f"over #{n}"
        return receivers[min(int(n), len(receivers)) - 1].x, f"over #{n}"

    return place


@LANDMARKS.phrase(
    "over (?P<man>centre|guard|tackle|tight end|end man)",
    "over tackle",
    "over that man of the surface (a ghost when he is not there)",
)
def _over_man(man: str) -> Placer:
    men = {"centre": -1, "guard": 0, "tackle": 1, "tight end": 2}

    def place(offense: Offense, side: Side | None) -> tuple[float, str]:
        way = side or RIGHT
        x = _edge_x(offense, way) if man == "end man" else man_x(offense, way, men[man])
        return x, f"over {man}"

    return place


@LANDMARKS.phrase("middle", "middle", "straight over the ball")
def _middle() -> Placer:
    return lambda offense, side: (0.0, "middle")


@LANDMARKS.phrase("half", "half", "the middle of that half of the field, at least outside the tackle")
def _half() -> Placer:
    def place(offense: Offense, side: Side | None) -> tuple[float, str]:
        way = side or RIGHT
        return way * max(offense.book.room(offense.hash, way) * 0.45, 5.0), "half"

    return place


@value
class At:
    """A compiled `at`: either a technique or a landmark, moved inside or outside, at a depth, on a side."""

    technique: str | None
    placer: Placer | None
    shift: float
    deep: float | None
    to: str | None


def compile_at(text: str) -> At:
    """The meaning of an `at` phrase. Raises PhraseError."""
    match = _AT.fullmatch(text.strip())
    if not match:
        raise PhraseError("an alignment", text, [e.example for e in LANDMARKS.entries][:3])
    mark, by = match["mark"], float(match["by"] or 0)
    shift = by if match["way"] == "outside" else -by
    deep = float(match["deep"]) if match["deep"] else None
    if _TECHNIQUE.fullmatch(mark):
        return At(mark, None, shift, deep, match["to"])
    return At(None, LANDMARKS.compile(mark), shift, deep, match["to"])


def _way(side: Side | None, x: float) -> Side:
    """His side; a man of the middle reads the side he stands on."""
    return side or (RIGHT if x >= 0 else LEFT)


@KEYS.phrase(
    "(?P<first>[^,]+), then (?P<rest>.+)", "guard, then near back", "the one, then the other: his second and third read"
)
def _key_then(first: str, rest: str) -> KeyReader:
    one, others = KEYS.compile(first), KEYS.compile(rest)
    return lambda o, side, x: tuple(dict.fromkeys((*one(o, side, x), *others(o, side, x))))


@KEYS.phrase("guard he is over|guard", "guard", "the guard on his side, nearest to him from the middle")
def _key_guard() -> KeyReader:
    return lambda o, side, x: (o.view(_way(side, x)).surface[0].role,)


@KEYS.phrase("centre", "centre", "the centre")
def _key_centre() -> KeyReader:
    return lambda o, side, x: ("C",)


@KEYS.phrase("both guards", "both guards", "the two guards, the one on his side first")
def _key_guards() -> KeyReader:
    return lambda o, side, x: tuple([o.view(to).surface[0].role for to in (_way(side, x), _way(side, x).other)])


@KEYS.phrase("guard, centre, guard", "guard, centre, guard", "the triangle inside")
def _key_triangle() -> KeyReader:
    return lambda o, side, x: ("LG", "C", "RG")


@KEYS.phrase("tackle", "tackle", "the man in the tackle's place on his side")
def _key_tackle() -> KeyReader:
    return lambda o, side, x: (o.view(_way(side, x)).tackle.role,)


@KEYS.phrase("guard through tackle", "guard through tackle", "the guard, then the tackle")
def _key_guard_tackle() -> KeyReader:
    return lambda o, side, x: tuple([p.role for p in o.view(_way(side, x)).surface[:2]])


@KEYS.phrase("tight end", "tight end", "the first attached man on his side")
def _key_tight_end() -> KeyReader:
    return lambda o, side, x: tuple(p.role for p in o.view(side).attached[:1]) if side else ()


@KEYS.phrase("end man", "end man", "the last man of the surface on his side")
def _key_end_man() -> KeyReader:
    return lambda o, side, x: (o.view(side).surface[-1].role,) if side else ()


@KEYS.phrase("#(?P<n>[1-4])", "#2", "that receiver, outside in, on his side")
def _key_receiver(n: str) -> KeyReader:
    i = int(n) - 1
    return lambda o, side, x: tuple(p.role for p in o.view(side).receivers[i : i + 1]) if side else ()


@KEYS.phrase("back", "back", "the deepest back")
def _key_back() -> KeyReader:
    return lambda o, side, x: tuple(p.role for p in sorted(o.backfield, key=lambda p: p.y)[:1])


@KEYS.phrase("near back", "near back", "the back nearest to his side")
def _key_near_back() -> KeyReader:
    def find(o: Offense, side: Side | None, x: float) -> tuple[str, ...]:
        return tuple(p.role for p in sorted(o.backfield, key=lambda p: (abs(p.x - x), p.y))[:1])

    return find


@KEYS.phrase("front back", "front back", "the back nearest to the line, where there are two or more and one is")
def _key_front_back() -> KeyReader:
    def find(o: Offense, side: Side | None, x: float) -> tuple[str, ...]:
        backs = sorted(o.backfield, key=lambda p: (-p.y, abs(p.x - x)))
        if len(backs) < 2 or (backs[0].y, abs(backs[0].x - x)) == (backs[1].y, abs(backs[1].x - x)):
            return ()  # neither of two beside each other is the front one
        return (backs[0].role,)

    return find


@KEYS.phrase("quarterback", "quarterback", "the quarterback")
def _key_quarterback() -> KeyReader:
    return lambda o, side, x: ("QB",)


@value
class LiveRule:
    """A fit rule whose formation phrases already hold in this alignment; `tests` are what is left to ask.

    `sights` are the ways in which he learns what it asks and where it sends him, `late` the tests of what shows late,
    in the rule's words.
    """

    fired: FiredRule
    tests: tuple[AfterTest, ...]
    alternatives: tuple[Alternative, ...]
    sights: frozenset[Sight] = frozenset()
    late: tuple[tuple[str, AfterTest], ...] = ()


@value
class Alignment:
    """A call lined up against an offense: eleven placed defenders, their remaining fit rules, the front they show.

    `turns` is the order in which fits are derived on a run to that side: from the ball outwards, play side first.
    `force` names the coverage's force players, `takes` the pass duty of each man, `coverage` the men on a side who
    have one. `replaced` says who takes what the men of a pressure leave. `stands` is where each man is across the
    field after the movement called for him, `duty_gaps` what the coverage leaves to nobody or to two men. `had` keeps
    the fits that men had in one play or another (`fits.derive.assign`).
    """

    call: Call
    offense: Offense
    strength: Side
    men: tuple[Aligned, ...]
    rules: dict[str, tuple[LiveRule, ...]]
    front: Levels
    turns: Mapping[Side, tuple[Aligned, ...]]
    force: frozenset[str]
    takes: Mapping[str, str]
    coverage: tuple[tuple[str, Side], ...]
    stands: Mapping[str, float]
    duty_gaps: tuple[DutyGap, ...]
    replaced: tuple[str, ...] = ()
    yard_line: float | None = None
    had: dict[Any, Any] = field(default_factory=dict, compare=False, repr=False)


@value
class _Branch(Generic[T]):
    """A rule of one man, compiled: what it asks of the formation, and what follows."""

    tests: tuple[BeforeTest, ...]
    then: T


@value
class _Fit:
    """A fit rule of one man, compiled."""

    before: tuple[BeforeTest, ...]
    live: LiveRule


@value
class _Drill:
    """All rules of a call that concern one role, compiled once."""

    role: Role
    align: tuple[_Branch[At], ...]
    keys: tuple[_Branch[KeyReader], ...]
    takes: tuple[_Branch[str], ...]
    force: tuple[_Branch[None], ...]
    fits: tuple[_Fit, ...]


@lru_cache(maxsize=256)
def _drills(call: Call) -> tuple[_Drill, ...]:
    """The rules of a call by role; a call never changes, so they are compiled once."""
    return tuple(_drill(call, role) for role in call.roles)


def live_rule(fired: FiredRule) -> LiveRule:
    """That rule, compiled, for a look in which its formation phrases hold. Raises PhraseError."""
    conditions = compile_when(fired.rule.when)
    targets = compile_fit(fired.rule.fit)
    sights = asked_sights(conditions) | {t.sight for t in targets if t.sight is not None}
    return LiveRule(fired, after_tests(conditions), targets, sights, late_tests(fired.rule.when))


def _drill(call: Call, role: Role) -> _Drill:
    def mine(rules: Iterable[R]) -> list[R]:
        return [r for r in rules if concerns(r.who, role.name, role.position)]

    fits = []
    for part, rule in call.parted_fits():
        if not concerns(rule.who, role.name, role.position):
            continue
        conditions = compile_when(rule.when)
        live = live_rule(FiredRule(role.name, part, rule))
        fits.append(_Fit(before_tests(conditions), live))
    return _Drill(
        role,
        tuple(_Branch(_tests(r.when), compile_at(r.at)) for r in mine(call.align)),
        tuple(_Branch(_tests(r.when), KEYS.compile(r.reads)) for r in mine(call.keys)),
        tuple(_Branch(_tests(r.when), r.takes) for r in mine(call.coverage.takes)),
        tuple(_Branch(_tests(r.when), None) for r in mine(call.coverage.force)),
        tuple(fits),
    )


def _tests(when: str) -> tuple[BeforeTest, ...]:
    return before_tests(compile_when(when))


def _hold(tests: tuple[BeforeTest, ...], setting: BeforeSnap, d: Aligned) -> bool:
    for test in tests:  # noqa: SIM110 - a generator costs more than the tests
        if not test(setting, d):
            return False
    return True


def align_call(call: Call, offense: Offense, yard_line: float | None = None) -> Alignment:
    """The call aligned to the offense on that yard line (None: midfield).

    Raises NoRule when a defender has no alignment rule that holds.
    """
    setting = _called(call, offense, yard_line)
    strength = setting.strength
    drills = _drills(call)
    men = [_align_man(call, drill, setting) for drill in drills]
    if offense.before is not None:
        drills = _answer_motion(call, drills, men, setting)
    if yard_line is not None:
        for d in men:
            d.y = min(d.y, yard_line + END_ZONE)
    replaced: tuple[str, ...] = ()
    if call.front.move:
        _move_men(_moves(call.front.move), men, setting)
    if call.pressure is not None:
        before = {d.name: gaps_of(call, d) for d in men}
        _move_men(_moves(call.pressure.move), men, setting, pressed=True)
        replaced = settle(call, offense, {d.name: d for d in men}, before)
    rules = {
        d.name: tuple([f.live for f in drill.fits if _hold(f.before, setting, d)])
        for d, drill in zip(men, drills, strict=True)
    }
    if call.pressure is not None:
        _rush_rules(call.pressure, men, rules, offense)
    men.sort(key=lambda d: (d.turn, abs(d.x), d.x * strength, d.y))
    turns = {play: tuple(sorted(men, key=lambda d: (d.turn, abs(d.x), -d.x * play, d.y))) for play in (LEFT, RIGHT)}
    return Alignment(
        call,
        offense,
        strength,
        tuple(men),
        rules,
        read_front(men, offense),
        turns,
        frozenset([d.name for d in men if d.force]),
        {d.name: d.takes for d in men},
        tuple([(d.name, d.side) for d in men if d.takes and d.side is not None]),
        {d.name: d.to_x for d in men},
        duty_gaps([rule.takes for rule in call.coverage.takes], men, offense),
        replaced,
        yard_line,
    )


def _called(call: Call, offense: Offense, yard_line: float | None) -> BeforeSnap:
    """What a man sees before the snap; strength is called to the formation as it was before a motion."""
    strength = call_strength(call, offense.before or offense)
    return BeforeSnap(offense, strength, SHORT_YARDAGE if call.short else yard_line)


@value
class _Move:
    """A movement rule, compiled."""

    labels: tuple[str, ...]
    tests: tuple[BeforeTest, ...]
    movement: Movement
    rule: MoveRule


@lru_cache(maxsize=256)
def _moves(rules: tuple[MoveRule, ...]) -> tuple[_Move, ...]:
    return tuple(_Move(label_list(r.who), _tests(r.when), compile_move(r.to), r) for r in rules)


def _move_men(moves: tuple[_Move, ...], men: list[Aligned], setting: BeforeSnap, pressed: bool = False) -> None:
    """Gives each man the path of the first of these rules that holds for him."""
    by_name, done = {d.name: d for d in men}, set()
    for move in moves:
        found = [
            d for d in men
            if d.name not in done and (d.position in move.labels or d.name in move.labels)
            and _hold(move.tests, setting, d)
        ]  # fmt: skip
        if move.rule.first:
            found.sort(key=lambda d: min(i for i, w in enumerate(move.labels) if w in (d.position, d.name)))
            del found[1:]
        for d in found:
            to = move.movement.to
            side = side_of(to, setting.strength, setting.offense) if to else None
            move_man(d, move.movement, side, setting.offense, by_name)
            d.in_pressure = pressed
            done.add(d.name)


def _rush_rules(
    pressure: Pressure, men: list[Aligned], rules: dict[str, tuple[LiveRule, ...]], offense: Offense
) -> None:
    """A man the pressure sends fits the gap it sends him through, behind what the pressure itself says of him.

    Off the edge as the force he is outside everything.
    """
    for d in men:
        if d.in_pressure:
            said = next((m.say for m in pressure.move if concerns(m.who, d.name, d.position) and m.say), "")
            edge = d.force and bool(d.path) and abs(d.to_x) > abs(offense.view(d.gap_side or RIGHT).surface[-1].x)
            live = _rush(pressure.name, d.name, d.position, said or f"{pressure.label}: my gap", edge)
            first = tuple(r for r in rules[d.name] if r.fired.part is Part.PRESSURE)
            rules[d.name] = (*first, live, *rules[d.name][len(first) :])


@lru_cache(maxsize=1024)
def _rush(pressure: str, name: str, position: str, say: str, edge: bool) -> LiveRule:
    fit, leverage = ("force", Leverage.FORCE) if edge else ("my gap else open edge else free", Leverage.GAP)
    rule = FitRule(f"{pressure}-{position}", position, "", fit, leverage, say)
    return LiveRule(FiredRule(name, Part.PRESSURE, rule), (), compile_fit(rule.fit))


def call_strength(call: Call, offense: Offense) -> Side:
    """The side the front is called to."""
    from_back = next((p.side for p in sorted(offense.backfield, key=lambda p: p.y) if p.side), None)
    table: dict[str, Side | None] = {
        "passing": offense.passing,
        "run": offense.run,
        "field": offense.field,
        "boundary": offense.field and offense.field.other,
        "back": from_back,
        "left": LEFT,
        "right": RIGHT,
    }
    return table[call.front.strength] or offense.passing


def side_of(rule: str, strength: Side, offense: Offense) -> Side | None:
    """The side a role belongs to in this look; None for the middle. A motion does not call the sides again."""
    motion = offense.by_role[offense.motion].side if offense.motion else None
    offense = offense.before or offense
    tie = strength if offense.field is None else offense.field
    back = next((p.side for p in sorted(offense.backfield, key=lambda p: p.y) if p.side), None) or strength
    table: dict[str, Side | None] = {
        "strength": strength,
        "weak": strength.other,
        "run strength": offense.run,
        "run weak": offense.run.other,
        "field": tie,
        "boundary": tie.other,
        "left": LEFT,
        "right": RIGHT,
        "middle": None,
        "back": back,
        "away from back": back.other,
        "motion": motion or strength,
        "away from motion": (motion or strength).other,
    }
    return table[rule]


def _align_man(call: Call, drill: _Drill, setting: BeforeSnap) -> Aligned:
    """One defender in his place, with key and pass duty."""
    offense, role = setting.offense, drill.role
    d = _newcomer(call, role, setting.strength, offense)
    for place in drill.align:
        if _hold(place.tests, setting, d):
            _put(d, place.then, call, setting)
            break
    else:
        raise NoRule(f"{call.called}: no alignment rule holds for {role.name} against {offense.formation.called}")
    d.to_x = d.x
    _learn(d, drill, setting)
    return d


def place_at(call: Call, role: Role, at: str, offense: Offense, yard_line: float | None = None) -> tuple[float, float]:
    """Where that phrase puts a man, in yards. Raises PhraseError, NoRule."""
    setting = _called(call, offense, yard_line)
    d = _newcomer(call, role, setting.strength, offense)
    _put(d, compile_at(at), call, setting)
    return d.x, d.y


def rule_that_places(call: Call, role: Role, offense: Offense, yard_line: float | None = None) -> AlignRule | None:
    """The alignment rule that puts a man where he stands, or none."""
    setting = _called(call, offense, yard_line)
    d = _newcomer(call, role, setting.strength, offense)
    his = [rule for rule in call.align if concerns(rule.who, role.name, role.position)]
    return next((rule for rule in his if _hold(_tests(rule.when), setting, d)), None)


def _newcomer(call: Call, role: Role, strength: Side, offense: Offense) -> Aligned:
    """A man before he has a place."""
    side, speed = side_of(role.side_rule, strength, offense), call.positions[role.position].speed
    return Aligned(
        role.name, role.position, role.group, side, "", None, 0.0, 0.0, (), "", False, ORDER[role.group], speed
    )


def _learn(d: Aligned, drill: _Drill, setting: BeforeSnap) -> None:
    """Whom he reads, what he has in coverage and whether he is the force, by those rules."""
    for key in drill.keys:
        if _hold(key.tests, setting, d) and (found := key.then(setting.offense, d.side, d.x)):
            d.keys, d.key = found, ", ".join(found)
            break
    d.takes = next((take.then for take in drill.takes if _hold(take.tests, setting, d)), "")
    d.force = any(_hold(force.tests, setting, d) for force in drill.force)


@value
class _Answer:
    """A motion check, compiled."""

    rule: CheckRule
    tests: tuple[BeforeTest, ...]
    check: Check
    at: At | None


@lru_cache(maxsize=256)
def _answers(rules: tuple[CheckRule, ...]) -> tuple[_Answer, ...]:
    out = []
    for rule in rules:
        check = compile_check(rule.does)
        out.append(_Answer(rule, _tests(rule.when), check, compile_at(check.at) if check.at else None))
    return tuple(out)


def _answer_motion(
    call: Call, drills: tuple[_Drill, ...], men: list[Aligned], setting: BeforeSnap
) -> tuple[_Drill, ...]:
    """Moves the men, who stand as if they had all the time they want, to where they really are after the motion.

    Returns whose rules each man has now.
    """
    offense = setting.offense
    assert offense.before is not None
    was = BeforeSnap(offense.before, setting.strength, setting.yard_line)
    time_s = motion_time_s(offense.before, offense)
    out = []
    for i, drill in enumerate(drills):
        old, d, now = _align_man(call, drill, was), men[i], drill
        answer = next(
            (
                a for a in _answers(call.checks)
                if concerns(a.rule.who, d.name, d.position) and _hold(a.tests, setting, old)
            ),
            None,
        )  # fmt: skip
        if answer is not None:
            verb = answer.check.verb
            if verb == "stay":
                d = men[i] = old
            elif verb == "run with him":
                _run_with(d, old, offense)
            elif answer.at is not None:
                d.side = old.side
                _put(d, answer.at, call, setting)
                if answer.check.plays:
                    now = next(x for x in drills if answer.check.plays in (x.role.position, x.role.name))
                    d.keys, d.key = (), ""
                _learn(d, now, setting)
            if answer.rule.takes:
                d.takes = answer.rule.takes
            d.to_x = d.x
            d.check = answer.rule.say or answer.rule.does
        hold_back(d, (old.x, old.y), time_s)
        out.append(now)
    return tuple(out)


def _run_with(d: Aligned, old: Aligned, offense: Offense) -> None:
    """Over the man in motion, a step inside him, at his own depth."""
    assert offense.motion is not None
    mover = offense.by_role[offense.motion]
    d.side = mover.side or old.side
    d.x, d.y = mover.x - (0 if mover.side is None else mover.side), old.y
    d.technique, d.gap = f"over {mover.role}", None
    d.keys, d.key = (mover.role,), mover.role
    receivers = offense.view(d.side).receivers if d.side is not None else ()
    d.takes = f"#{receivers.index(mover) + 1}" if mover in receivers else mover.role


def _put(d: Aligned, at: At, call: Call, setting: BeforeSnap) -> None:
    offense = setting.offense
    if at.to:
        d.side = side_of(at.to, setting.strength, offense)
    if at.technique is not None:
        found = call.scheme.look_up(at.technique)
        if found is None:  # checked when the system is built
            raise NoRule(f"{call.name}: technique {at.technique} is not in the scheme {call.scheme.name}")
        technique, backer = found
        d.x = technique_x(technique, offense, d.side)
        d.y = at.deep if at.deep is not None else BACKER_DEPTH if backer or d.group is not Group.LINE else LINE_DEPTH
        d.technique, d.gap = at.technique, technique.gap
    else:
        assert at.placer is not None
        d.x, d.technique = at.placer(offense, d.side)
        d.y = at.deep if at.deep is not None else BACKER_DEPTH
    d.x += at.shift * (1 if d.x > 0 else -1 if d.x < 0 else (d.side or 0))
    _inbounds(d, offense)


def _inbounds(d: Aligned, offense: Offense) -> None:
    book = offense.book
    d.x = min(max(d.x, -(book.room(offense.hash, LEFT) - 1)), book.room(offense.hash, RIGHT) - 1)
