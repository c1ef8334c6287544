"""Where defenders line up: the phrases of `at`, and a whole call aligned to an offense."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Generic, Protocol, TypeVar

from fits.blocking.front import Front, read_front
from fits.defense.roles import ORDER, Group, Role
from fits.defense.system import Call, FiredRule
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
from fits.rules.situation import Aligned, BeforeSnap
from fits.rules.targets import Alternative, compile_fit
from fits.terms import Sight

Placer = Callable[[Offense, Side | None], tuple[float, str]]
LANDMARKS: Vocabulary[Placer] = Vocabulary("a landmark or technique")
KeyReader = Callable[[Offense, Side | None, float], tuple[str, ...]]
KEYS: Vocabulary[KeyReader] = Vocabulary("a key")
_AT = re.compile(
    r"(?P<mark>.+?)(?: (?P<way>inside|outside) by (?P<by>\d+(?:\.\d+)?))?(?:, (?P<deep>\d+(?:\.\d+)?) deep)?"
    r"(?: to (?P<to>strength|weak|run strength|run weak|field|boundary|back|away from back))?"
)
_TECHNIQUE = re.compile(r"\d{1,2}i?0?")
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


@dataclass(frozen=True, slots=True)
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


@KEYS.phrase("both guards", "both guards", "the two guards")
def _key_guards() -> KeyReader:
    return lambda o, side, x: ("LG", "RG")


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


@KEYS.phrase("quarterback", "quarterback", "the quarterback")
def _key_quarterback() -> KeyReader:
    return lambda o, side, x: ("QB",)


@dataclass(frozen=True, slots=True)
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


@dataclass(frozen=True, slots=True)
class Alignment:
    """A call lined up against an offense: eleven placed defenders, their remaining fit rules, the front they show.

    `turns` is the order in which fits are derived on a run to that side: from the ball outwards, play side first.
    `force` names the coverage's force players, `takes` the pass duty of each man, `coverage` the men on a side who
    have one.
    """

    call: Call
    offense: Offense
    strength: Side
    men: tuple[Aligned, ...]
    rules: dict[str, tuple[LiveRule, ...]]
    front: Front
    turns: Mapping[Side, tuple[Aligned, ...]]
    force: frozenset[str]
    takes: Mapping[str, str]
    coverage: tuple[tuple[str, Side], ...]


@dataclass(frozen=True, slots=True)
class _Branch(Generic[T]):
    """A rule of one man, compiled: what it asks of the formation, and what follows."""

    tests: tuple[BeforeTest, ...]
    then: T


@dataclass(frozen=True, slots=True)
class _Fit:
    """A fit rule of one man, compiled."""

    before: tuple[BeforeTest, ...]
    live: LiveRule


@dataclass(frozen=True, slots=True)
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
    strength = call_strength(call, offense)
    setting = BeforeSnap(offense, strength, yard_line)
    men = []
    rules: dict[str, tuple[LiveRule, ...]] = {}
    for drill in _drills(call):
        d = _align_man(call, drill, setting)
        rules[d.name] = tuple([f.live for f in drill.fits if _hold(f.before, setting, d)])
        men.append(d)
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
    )


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
    """The side a role belongs to in this look; None for the middle."""
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
    }
    return table[rule]


def concerns(who: str, name: str, position: str) -> bool:
    """True when a rule's `who` (one or more labels, comma separated) names this man."""
    labels = _labels(who)
    return position in labels or name in labels


@lru_cache(maxsize=1024)
def _labels(who: str) -> frozenset[str]:
    return frozenset(w.strip() for w in who.split(","))


def _align_man(call: Call, drill: _Drill, setting: BeforeSnap) -> Aligned:
    """One defender in his place, with key and pass duty."""
    offense, role = setting.offense, drill.role
    side = side_of(role.side_rule, setting.strength, offense)
    speed = call.positions[role.position].speed
    d = Aligned(role.name, role.position, role.group, side, "", None, 0.0, 0.0, (), "", False, ORDER[role.group], speed)
    for place in drill.align:
        if _hold(place.tests, setting, d):
            _put(d, place.then, call, setting)
            break
    else:
        raise NoRule(f"{call.name}: no alignment rule holds for {role.name} against {offense.formation.name}")
    for key in drill.keys:
        if _hold(key.tests, setting, d) and (found := key.then(offense, d.side, d.x)):
            d.keys, d.key = found, ", ".join(found)
            break
    d.takes = next((take.then for take in drill.takes if _hold(take.tests, setting, d)), "")
    d.force = any(_hold(force.tests, setting, d) for force in drill.force)
    return d


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
