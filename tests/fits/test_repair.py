"""Repairs are proven: each one derived again from a call that really carries its rules."""

from types import SimpleNamespace

import pytest

import fits
from fits.defense.system import FitRule
from fits.repair import WAY, _keeps_numbers, could_reach, repair_look, with_rules

LIB = fits.load_library()
UNSOUND = [
    (call, formation, concept)
    for call in LIB.calls
    for formation, concept in (
        ("21-pro-i", "power"),
        ("22-heavy", "outside-zone"),
        ("12-two-tight", "qb-power"),
        ("13-three-tight", "duo"),
    )
    if not fits.derive_look(LIB.call(call), LIB.formation(formation), LIB.concept(concept)).sound
]


def holed_call():
    """The base call with its middle safety and middle backer out of every fit: some lane must be open."""
    call = LIB.call("odd-three-safety")
    return with_rules(call, (FitRule("X1", "MS, M", "", "free"),))


@pytest.fixture
def hole():
    return holed_call(), LIB.formation("11-doubles"), LIB.concept("power")


def spec(call, formation, concept, **how):
    return fits.LookSpec(call=call, formation=formation, concept=concept, **how)


KW = {"to": fits.RIGHT, "hash": fits.Hash.RIGHT}


def test_a_hole_is_found_and_closed(hole):
    call, formation, concept = hole
    look = fits.derive_look(call, formation, concept, **KW)
    assert "open-lane" in [f.code for f in look.findings if f.severity == "unsound"]
    first = repair_look(spec(call, formation, concept, **KW))[0]
    assert first.size <= 2
    assert first.look.sound
    assert "inside LG" in first.text


def test_each_repair_holds_when_its_rules_are_put_in_the_call(hole):
    call, formation, concept = hole
    found = repair_look(spec(call, formation, concept, **KW))
    assert found
    for repair in found:
        again = fits.derive_look(with_rules(call, repair.rules), formation, concept, **KW)
        assert again.sound
        assert again == repair.look


def test_repairs_come_smallest_first_and_never_twice(hole):
    call, formation, concept = hole
    others = tuple(LIB.systems["odd-three-safety"].calls().values())
    found = repair_look(spec(call, formation, concept, **KW), others)
    assert [r.size for r in found] == sorted(r.size for r in found)
    assert len({(*((x.who, x.fit) for x in r.rules), r.call) for r in found}) == len(found)


def test_a_sound_look_needs_no_repair():
    call, formation, concept = LIB.call("over-quarters"), LIB.formation("10-doubles"), LIB.concept("inside-zone")
    assert fits.derive_look(call, formation, concept, **KW).sound
    assert repair_look(spec(call, formation, concept, **KW)) == []


def _is_sound(call, formation, concept):
    try:
        return fits.derive_look(call, formation, concept, **KW).sound
    except fits.NotRunnable:
        return False


def test_another_call_is_offered_when_it_is_sound(hole):
    call, formation, _ = hole
    base = LIB.call("odd-three-safety")
    concept = next(c for c in LIB.concepts.values() if _is_sound(base, formation, c))
    other = type(base)("other", base.system, base.front, base.coverage, base.scheme, base.roles, base.positions)
    found = repair_look(spec(call, formation, concept, **KW), (other,))
    assert any(r.kind == "other call" and r.call == "other" and r.look.sound for r in found)


@pytest.mark.parametrize("case", UNSOUND, ids="/".join)
def test_no_man_is_sent_farther_than_his_group_can_go(case):
    call, formation, concept = case
    for repair in repair_look(spec(LIB.call(call), LIB.formation(formation), LIB.concept(concept))):
        for rule in repair.rules:
            d = repair.look.defender(rule.who)
            assert d is not None
            if d.rule.id == rule.id and d.lane is not None and d.duty not in ("quarterback", "pitch"):
                assert abs(repair.look.lanes[d.lane].x - d.x) <= WAY[d.group] + 1e-9


def test_slow_men_cannot_reach_and_no_rule_is_offered():
    slow = {p.name: fits.Speed(1.0, 1.5) for p in LIB.systems["odd-three-safety"].positions}
    made = LIB.call("odd-three-safety"), LIB.formation("11-doubles"), LIB.concept("power")
    asked = spec(*made, roster=slow, **KW)
    reach = could_reach(asked)
    assert not reach.possible
    assert reach.late_s > 0
    assert repair_look(asked) == []


def sides(*numbers):
    """A look's pass numbers: (defenders, receivers) left and right."""
    return SimpleNamespace(passes=[SimpleNamespace(defenders="x" * d, receivers="x" * r) for d, r in numbers])


@pytest.mark.parametrize(("before", "after", "keeps"), [
    (((3, 2), (2, 2)), ((2, 2), (2, 2)), True),  # three for two may become two for two
    (((3, 2), (2, 2)), ((1, 2), (2, 2)), False),  # not one for two
    (((3, 2), (2, 2)), ((3, 2), (1, 2)), False),  # on neither side
    (((1, 2), (2, 2)), ((1, 2), (2, 2)), True),  # who was short may stay short
    (((1, 2), (2, 2)), ((0, 2), (2, 2)), False),  # and not shorter
])  # fmt: skip
def test_a_repair_takes_no_man_from_the_pass_who_is_needed_there(before, after, keeps):
    """Common practice: a fit is not repaired by leaving a receiver uncovered."""
    assert _keeps_numbers(sides(*before), sides(*after)) is keeps
