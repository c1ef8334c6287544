"""Over seeded looks of the four systems: what is offered is football, holds when it is applied, and costs what it says.

Facts are looked up here anew, from the derived looks and the sights of conditions; nothing is taken from the search.
"""

import random
import re

import pytest

import fits
from fits.defense.system import FitRule
from fits.repair import PriceList, library_looks, repair_look, with_rules
from fits.repair.plausible import Change, broken
from fits.rules.conditions import CONDITIONS
from fits.rules.targets import TARGETS
from fits.terms import Duty, Sight
from fits.values import replace

LIB = fits.load_library()
EACH = 9  # looks of a system
LINE_SIGHTS = {Sight.BEFORE, Sight.KEY, Sight.HAT, Sight.FELT, Sight.TOLD}
BACK_SIGHTS = {Sight.BEFORE, Sight.KEY, Sight.HAT, Sight.FLOW, Sight.TOLD}
WAITS = (Duty.QUARTERBACK, Duty.PITCH, Duty.CONFLICT)


def not_sound(system, how_many, seed):
    """So many looks of that system that are not sound, drawn by that seed."""
    draw, deriver, found = random.Random(seed), fits.Deriver(), []
    calls = list(LIB.systems[system].calls().values())
    formations, concepts = list(LIB.formations.values()), list(LIB.concepts.values())
    while len(found) < how_many:
        spec = fits.LookSpec(
            call=draw.choice(calls), formation=draw.choice(formations), concept=draw.choice(concepts),
            to=draw.choice([fits.LEFT, fits.RIGHT]),
        )  # fmt: skip
        try:
            if not deriver.verdict(spec).sound:
                found.append(spec)
        except fits.NotRunnable:
            continue
    return found


@pytest.fixture(scope="module")
def offered():
    """(spec, repair) for every repair of the drawn looks."""
    out = []
    for number, system in enumerate(LIB.systems):
        for spec in not_sound(system, EACH, 4200 + number):
            others = LIB.systems[system].calls().values()
            out += [(spec, repair) for repair in repair_look(spec, tuple(others))]
    assert len({spec.call.system for spec, _ in out}) == 4
    assert sum(bool(r.rules) for _, r in out) >= 20, "enough to say something"
    return out


def men(spec, repair):
    """The men who follow a new rule: how they line up, what they did and do."""
    deriver = fits.Deriver()
    before = deriver.look(spec)
    after = deriver.look(replace(spec, call=with_rules(spec.call, repair.rules)))
    rules = {rule.id: rule for rule in repair.rules}
    for d in deriver.alignment(spec).men:
        now = after.defender(d.name)
        if now.rule.id in rules:
            yield d, before.defender(d.name), now, rules[now.rule.id], after, deriver


def test_no_repair_breaks_a_plausibility_rule(offered):
    for spec, repair in offered:
        for d, was, now, rule, after, deriver in men(spec, repair):
            reads = tuple(man for role, man in repair.reads if role == d.name)
            change = Change(d, was, now, rule, reads, after, deriver.alignment(spec), deriver.after_snap(spec))
            assert broken(change) == (), (spec.call.name, spec.formation.name, spec.concept.name, rule)


def test_no_rule_asks_what_cannot_be_seen(offered):
    for spec, repair in offered:
        for d, _, _, rule, _, _ in men(spec, repair):
            can = LINE_SIGHTS if d.group.value == "line" else BACK_SIGHTS
            for atom in filter(None, rule.when.split(" and ")):
                assert CONDITIONS.compile(atom.removeprefix("not ")).sight in can, (rule.who, atom)
            target = TARGETS.compile(rule.fit)
            assert target.duty in WAITS or target.sight in can or (target.sight is Sight.FELT and d.y <= 3), rule


def test_nobody_fills_a_lane_because_it_is_open(offered):
    """Who fits another lane than before has a rule for it, or goes by what he sees."""
    for spec, repair in offered:
        if not repair.rules:
            continue
        before = fits.Deriver().look(spec)
        new = {rule.id for rule in repair.rules}
        for was, now in zip(before.defenders, repair.look.defenders, strict=True):
            if now.lane is not None and now.lane != was.lane and now.rule.id not in new:
                assert all(TARGETS.compile(t).sight is not None for t in now.rule.rule.fit.split(" else "))


def test_no_repair_only_adds_men_to_a_smaller_one(offered):
    by_look = {}
    for spec, repair in offered:
        if repair.rules:
            assert repair.men and repair.kind and repair.text
            for other in by_look.setdefault(id(spec), []):
                assert not set(other.men) <= set(repair.men)
            by_look[id(spec)].append(repair)


def test_linemen_and_the_widest_men_stay_where_they_belong(offered):
    seen = set()
    for spec, repair in offered:
        for d, was, now, _, after, deriver in men(spec, repair):
            if now.lane is None or now.lane == was.lane:
                continue
            if d.group.value == "line":
                seen.add("line")
                assert abs(d.x) <= 0.5 or now.fit_x * d.x > 0, "to the other side of the ball"
            mates = [o.x for o in deriver.alignment(spec).men if o.group.value == "secondary" and o.side is d.side]
            if d.group.value == "secondary" and d.side is not None and abs(d.x) == max(map(abs, mates)):
                seen.add("corner")
                assert now.lane in (0, len(after.lanes) - 1)
    assert "line" in seen


def test_each_repair_holds_when_it_is_applied(offered):
    for spec, repair in offered:
        call = with_rules(spec.call, repair.rules) if repair.rules else LIB.call(repair.call)
        before, after = fits.Deriver().look(spec), fits.Deriver().look(replace(spec, call=call))
        assert after.band is repair.look.band
        assert after == repair.look
        if before.band is fits.Band.IF_ON_TIME or not repair.rules:
            assert after.sound
        else:
            assert after.band is not fits.Band.NOT_SOUND


def test_who_leaves_a_place_is_named_with_who_fills_it(offered):
    for spec, repair in offered:
        before = fits.Deriver().look(spec)
        left = {v.role: v for v in repair.vacancies}
        for d, was, now, _, after, _ in men(spec, repair):
            if was.lane == now.lane:
                assert d.name not in left
                continue
            vacancy = left[d.name]
            assert d.name in vacancy.text
            if was.lane is None:
                assert vacancy.by == () and vacancy.lane is None
            else:
                assert set(vacancy.by) == set(after.lanes[was.lane].owners) - {d.name}
                assert vacancy.by or vacancy.from_ball == abs(before.threats[0].lane - was.lane)
                assert before.lanes[was.lane].name in vacancy.text
                assert all(role in vacancy.text for role in vacancy.by)


def test_the_sentence_is_a_coachs(offered):
    engine_words = re.compile(r"key|flow to my|\bmy\b|steps|not |lane|_|None|when|\bleft\b|\bright\b|#0")
    for _, repair in offered:
        for rule in repair.rules:
            assert rule.say and not engine_words.search(rule.say), rule.say
            assert ": " in rule.say and len(rule.say) <= 200


@pytest.mark.parametrize("system", LIB.systems)
def test_the_price_is_what_deriving_everything_anew_says(system):
    """Each count against two plain loops over the looks, with other derivers and no filter."""
    formations = [LIB.formation(name) for name in ("11-doubles", "12-two-tight", "21-pro-i", "22-wing-i")]
    concepts = [LIB.concept(name) for name in ("power", "counter", "inside-zone", "outside-zone", "speed-option")]
    checked = 0
    for spec in not_sound(system, 12, 77):
        repairs = repair_look(spec, tuple(LIB.systems[system].calls().values()))
        if not repairs or checked == 4:
            continue
        checked += 1
        others = list(library_looks(spec, formations, concepts, fits.Deriver()))
        prices = PriceList(spec.call, others)
        for repair in repairs[:3]:
            call = with_rules(spec.call, repair.rules) if repair.rules else LIB.call(repair.call)
            price = prices.of(repair, None if repair.rules else call)
            counts, worse = {}, set()
            for other in others:
                try:
                    was = fits.Deriver().look(other).band
                    now = fits.Deriver().look(replace(other, call=call)).band
                except fits.NotRunnable:
                    continue
                counts[was, now] = counts.get((was, now), 0) + 1
                if ORDER.index(now) > ORDER.index(was):
                    worse.add((other.formation.name, other.concept.name, other.to))
            assert {(was, now): n for was, now, n in price.bands} == counts
            assert price.looks == sum(counts.values()) == price.better + price.worse + price.same
            assert price.better == sum(n for (a, b), n in counts.items() if ORDER.index(b) < ORDER.index(a))
            assert price.worse == len(worse)
            named = {(e.spec.formation.name, e.spec.concept.name, e.to) for e in price.worst}
            assert named <= worse and len(named) == min(3, len(worse))
    assert checked


ORDER = [fits.Band.SOUND, fits.Band.IF_ON_TIME, fits.Band.NOT_SOUND]


def test_the_look_itself_is_not_among_the_others():
    spec = fits.LookSpec(
        call=LIB.call("over-quarters"), formation=LIB.formation("11-doubles"), concept=LIB.concept("power")
    )
    deriver = fits.Deriver()
    own = deriver.plan(spec).play
    others = list(library_looks(spec, [spec.formation], [spec.concept], deriver))
    assert [o.to for o in others] == [own.other]


def test_shares_and_a_rule_that_never_fires():
    spec = fits.LookSpec(
        call=LIB.call("over-quarters"), formation=LIB.formation("11-doubles"), concept=LIB.concept("power")
    )
    quiet = fits.Repair(
        kind="fold", text="", size=1, rules=(FitRule("Q", "SS", "goal line", "B gap"),), call="over-quarters",
        look=fits.Deriver().look(spec),
    )  # fmt: skip
    price = PriceList(spec.call, [spec], shares=[0.25]).of(quiet)
    assert (price.looks, price.better, price.worse, price.same) == (1, 0, 0, 1)
    assert price.text == "Of 1 other look none gets better or worse." and price.changed == ()
    assert PriceList(spec.call, []).of(quiet).text == "There is no other look to compare."
