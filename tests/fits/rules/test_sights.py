"""How a man can know what a rule asks: the sight of every phrase, the phrases for what he sees, and `saw`."""

from itertools import groupby

import pytest

import fits
from fits.defense.align import KEYS
from fits.defense.system import FitRule
from fits.derive.pipeline import snap_offense
from fits.matrix import NotRun
from fits.notation.phrase import PhraseError
from fits.rules.conditions import CONDITIONS, After, compile_when
from fits.rules.targets import TARGETS, compile_fit
from fits.terms import Sight

LIB = fits.load_library()
CALL = LIB.call("odd-three-safety")
UNSEEN_CONDITIONS = {"my gap is open", "open beside the lead", "quarterback is open"}
UNSEEN_TARGETS = {
    "open A gap", "off the crosser", "scrape", "scrape or cutback", "open lane on my side",
    "open lane to the play side", "open lane", "open edge", "open gap on my side",
}  # fmt: skip


def test_every_condition_has_its_sight_and_what_nobody_can_see_has_none():
    for entry in CONDITIONS.entries:
        (condition,) = compile_when(entry.example)
        assert (condition.sight is None) == (entry.example in UNSEEN_CONDITIONS), entry.example
        assert compile_when(f"not {entry.example}")[0].sight is condition.sight
        if isinstance(condition, After):
            assert condition.sight is not Sight.BEFORE or entry.example in ("option box chosen", "I am the force")
        else:
            assert condition.sight in (Sight.BEFORE, Sight.TOLD)


def test_every_target_has_its_sight_and_whatever_is_open_has_none():
    for entry in TARGETS.entries:
        (target,) = compile_fit(entry.example)
        assert (target.sight is None) == (entry.example in UNSEEN_TARGETS), entry.example


@pytest.mark.parametrize(
    ("when", "sight"),
    [
        ("key steps in", Sight.KEY), ("second key steps set", Sight.HAT), ("pass set", Sight.HAT),
        ("unblocked", Sight.FELT), ("blocked from outside", Sight.FELT), ("flow away", Sight.FLOW),
        ("run to my side", Sight.FLOW), ("kick to my side", Sight.LATE), ("pitch on my side", Sight.LATE),
        ("crack called", Sight.TOLD), ("gun", Sight.BEFORE),
    ],
)  # fmt: skip
def test_sights(when, sight):
    assert compile_when(when)[0].sight is sight


class TestTold:
    def test_it_has_the_word_and_who_says_it(self):
        (told,) = compile_when("told jersey by FS: 3 or more receivers on the other side")
        assert (told.sight, told.word, told.teller) == (Sight.TOLD, "jersey", "FS")

    def test_only_what_can_be_seen_before_the_snap_can_be_told(self):
        with pytest.raises(PhraseError, match="seen before the snap"):
            compile_when("told jersey by FS: flow away")

    def test_it_holds_when_the_fact_does(self):
        fact = "told trips by MS: 3 or more receivers on the other side"
        assert fires("W", fact, formation="10-trips") and not fires("W", fact)


def taught(role, *rules, formation="10-doubles", concept="inside-zone", to=fits.RIGHT, **changes):
    made = tuple(FitRule(f"T{i}", role, when, fit) for i, (when, fit) in enumerate(rules))
    call = fits.with_rules(CALL, made)
    return fits.derive_look(call, LIB.formation(formation), LIB.concept(concept), to=to, **changes)


def fires(role, when, **settings):
    return taught(role, (when, "free"), **settings).defender(role).rule.id == "T0"


@pytest.mark.parametrize("to", [fits.LEFT, fits.RIGHT])
def test_flow_is_the_backs_way(to):
    here = taught("W", ("flow to my side", "free"), to=to).defender("W")
    assert (here.rule.id == "T0") == (here.side is to)
    assert fires("W", "flow away", to=to) == (here.side is not to)
    assert not fires("W", "no flow", to=to) and not fires("W", "split flow", to=to)


def test_a_crosser_against_the_ball_splits_the_flow():
    assert fires("M", "split flow", formation="20-pistol", concept="split-zone")


def test_no_flow_behind_a_pass_set():
    assert fires("M", "no flow", concept="draw")


def test_second_and_third_keys():
    """The middle safety reads guard, centre, guard."""
    assert fires("MS", "second key steps out") and not fires("MS", "second key steps in")
    assert fires("MS", "third key steps out") and fires("MS", "first key steps in")
    assert not fires("W", "second key steps in or out or straight or pull or cross or arc or crack or set")
    assert fires("MS", "a key pulls", concept="power") and not fires("MS", "a key pulls")


def test_where_a_key_goes():
    left, right = "left E", "right E"  # guard through tackle
    assert fires(left, "key goes away", concept="power", to=fits.RIGHT)
    assert not fires(right, "key goes away", concept="power", to=fits.RIGHT)
    assert fires(left, "a key pulls away", concept="power")
    assert not fires(left, "a key pulls to my side", concept="power")


def test_what_he_feels():
    d = taught("right E", ("unblocked", "free")).defender("right E")
    assert d.sights[-1].startswith("blocked by ") and d.rule.id != "T0"
    where = d.sights[-1].split(" and ")[0].removeprefix("blocked by ").split(" ", 1)[1]
    assert fires("right E", f"blocked {where}")


def test_keys_one_after_the_other():
    o = snap_offense(LIB.formation("11-trey")).offense
    assert KEYS.compile("guard, then tackle")(o, fits.RIGHT, 1.0) == ("RG", "RT")
    assert KEYS.compile("guard, then near back")(o, fits.LEFT, -1.0)[0] == "LG"
    assert len(KEYS.compile("guard, then near back, then quarterback")(o, fits.LEFT, -1.0)) in (2, 3)


def test_the_front_back_is_the_one_nearest_to_the_line_and_one_back_is_none():
    reader = KEYS.compile("front back, then guard, centre, guard")
    assert reader(snap_offense(LIB.formation("21-pro-i")).offense, None, 0.0) == ("F", "LG", "C", "RG")
    assert reader(snap_offense(LIB.formation("11-trey")).offense, None, 0.0) == ("LG", "C", "RG")


def test_the_lane_beside_the_key_on_the_side_the_run_goes_to():
    for to in (fits.LEFT, fits.RIGHT):
        for where, sign in (("frontside", 1), ("backside", -1)):
            look = taught("N", ("", f"{where} of the key"), to=to)
            assert look.lanes[look.defender("N").lane].x * to * sign > 0


class TestSaw:
    def test_who_has_a_gap_does_not_follow_the_man_who_turns_up_beside_it(self):
        """Counter, F wraps into the C gap: who fits by F has seen where he turns up, who has the gap need not."""
        how = {"formation": "21-offset", "concept": "counter-h", "to": fits.LEFT}
        gap, eyes = taught("W", ("", "C gap"), **how), taught("W", ("", "inside the wrap"), **how)
        assert gap.defender("W").lane == eyes.defender("W").lane
        assert any("F" in sight.split() for sight in eyes.defender("W").sights)
        assert not any("F" in sight.split() for sight in gap.defender("W").sights)

    def test_it_is_the_sights_in_one_text(self):
        for look in some_looks():
            for d in look.defenders:
                assert d.saw == (", ".join(d.sights) or "the ball")
                assert len(set(d.sights)) == len(d.sights)

    def test_linemen_see_no_flow_and_deep_men_feel_nothing(self):
        for look in some_looks():
            for d in look.defenders:
                text = d.saw
                assert d.group != "line" or "flow" not in text
                assert d.y <= 3.0 or d.group == "line" or "blocked by" not in text

    def test_a_man_on_the_edge_sees_where_the_mover_turns_up_whom_he_keeps_inside(self):
        for look in some_looks():
            movers = {b.role for b in look.blocks if b.mover}
            for d in look.defenders:
                if d.lane in (0, len(look.lanes) - 1):
                    lane = look.lanes[d.lane]
                    beside = {lane.left, lane.right} & movers
                    assert {s.split(" turns up ")[0] for s in d.sights if " turns up " in s} == beside

    def test_his_keys_come_first_in_reading_order(self):
        for look in some_looks():
            for d in look.defenders:
                keys = d.key.split(", ") if d.key else []
                assert [s.split(" ")[0] for s in d.sights[: len(keys)]] == keys

    def test_who_fits_by_what_he_sees_fits_the_same_when_he_sees_the_same(self):
        """Rules of keys, flow and touch alone: formation and `saw` settle the rule."""
        rules = (
            ("second key pulls", "frontside C"), ("split flow", "frontside A"), ("no flow", "free"),
            ("third key steps out and flow to my side", "frontside B"), ("key steps in", "backside A"), ("", "free"),
        )  # fmt: skip
        made = tuple(FitRule(f"T{i}", "MS", when, fit) for i, (when, fit) in enumerate(rules))
        call = fits.with_rules(CALL, made)
        rows = []
        for look in fits.derive_matrix([call], LIB.formations.values(), LIB.concepts.values(), flips=(False,)):
            if not isinstance(look, NotRun):
                d = look.defender("MS")
                rows.append(((look.formation, d.saw), d.rule.id))
        rows.sort()
        seen = {key: {rule for _, rule in group} for key, group in groupby(rows, key=lambda row: row[0])}
        assert len(seen) > 100 and all(len(ids) == 1 for ids in seen.values())


def some_looks():
    formations = [LIB.formation(n) for n in ("11-trey", "12-ace", "20-pistol")]
    for made in fits.derive_matrix(LIB.calls.values(), formations, list(LIB.concepts.values())[::4], flips=(False,)):
        if not isinstance(made, NotRun):
            yield made
