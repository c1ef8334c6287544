"""Repairs are proven: each one derived again from a call that really carries its rules."""

import pytest

import fits
from fits.defense.system import FitRule
from fits.repair import could_reach, repair_look, with_rules
from fits.repair.plausible import WAY

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


def test_a_goal_line_call_is_no_repair_in_the_open_field(hole):
    call, formation, concept = hole
    others = tuple(LIB.systems["odd-three-safety"].calls().values())
    short = {c.name for c in others if c.short}
    assert short
    found = repair_look(spec(call, formation, concept, **KW), others)
    assert not short & {r.call for r in found}
    assert any(r.kind == "other call" for r in found)


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
        new = {rule.id for rule in repair.rules}
        men = [d for d in repair.look.defenders if d.rule.id in new]
        assert {d.rule.id for d in men} == new, "every rule is somebody's"
        for d in men:
            if d.lane is not None and d.duty not in ("quarterback", "pitch"):
                assert abs(d.fit_x - d.x) <= WAY[d.group] + 1e-9


def test_slow_men_cannot_reach_and_no_rule_is_offered():
    slow = {p.name: fits.Speed(1.0, 1.5) for p in LIB.systems["odd-three-safety"].positions}
    made = LIB.call("odd-three-safety"), LIB.formation("11-doubles"), LIB.concept("power")
    asked = spec(*made, roster=slow, **KW)
    reach = could_reach(asked)
    assert not reach.possible
    assert reach.late_s > 0
    assert repair_look(asked) == []
