"""What a man can know: looks that are the same to him, near misses, and the shape of the study."""

import json
import time
from pathlib import Path

import jsonschema
import pytest

import fits
import fits.notation.know_json
from fits.defense.system import FitRule
from fits.errors import UnknownName
from fits.know.ladder import ladder
from fits.know.study import NEVER, Demand, differ, split_fits, study, study_looks
from fits.notation.know_json import know_json

LIB = fits.load_library()
CALL = LIB.call("odd-three-safety")
SCHEMA = json.loads((Path(fits.notation.know_json.__file__).parent / "know.schema.json").read_text())
CHECK = jsonschema.Draft202012Validator(SCHEMA, format_checker=jsonschema.FormatChecker())


def taught(role, *rules, formations=("10-doubles",), concepts=("inside-zone", "power"), **settings):
    """What that man can know when he is taught only those rules, each a pair of `when` and `fit`."""
    made = tuple(FitRule(f"T{i}", role, when, fit) for i, (when, fit) in enumerate(rules))
    call = fits.with_rules(CALL, made)
    chosen = [LIB.formation(f) for f in formations], [LIB.concept(c) for c in concepts]
    (man,) = study(call, *chosen, roles=[role], **settings).men
    return man


class TestTwoPlaysThatLookAlike:
    def test_a_fit_that_hangs_on_what_he_cannot_see_is_found(self):
        """The read is the only difference between the two plays, and it comes after the handoff."""
        man = taught(
            "M", ("run-pass option", "frontside C"), ("", "frontside A"), concepts=("inside-zone", "inside-zone-rpo")
        )
        assert man.cannot_know == 1.0 and len(man.unknown) == len(man.seen) == 2
        for unknown in man.unknown:
            assert unknown.extra == NEVER and unknown.differs == ()
            assert {p.look.concept for p in unknown.plays} == {"inside-zone", "inside-zone-rpo"}
            assert len({p.look.to for p in unknown.plays}) == 1
        assert man.would_settle == () and man.at_best_wrong == 0.5

    def test_a_near_miss_the_same_rules_asking_for_places_close_together(self):
        man = taught(
            "M", ("run-pass option", "frontside A"), ("", "frontside A"), concepts=("inside-zone", "inside-zone-rpo")
        )
        assert man.cannot_know == 0.0 and man.unknown == () and man.at_best_wrong == 0.0

    def test_a_near_miss_his_key_tells_the_plays_apart(self):
        man = taught("M", ("a guard pulls", "frontside C"), ("", "frontside A"))
        assert man.cannot_know == 0.0 and len(man.seen) == 4

    def test_the_smallest_further_read_is_named(self):
        """One tackle's step is all that differs, and the middle backer reads the guards."""
        rules = FitRule("T0", "M", "tackle steps set", "frontside C"), FitRule("T1", "M", "", "frontside A")
        call = fits.with_rules(CALL, rules)
        play = call, LIB.formation("10-doubles"), LIB.concept("inside-zone")
        looks = [fits.derive_look(*play, to=fits.RIGHT, first_steps=s) for s in ({}, {"RT": "set"})]
        (man,) = study_looks(call, looks, roles=["M"]).men
        (unknown,) = man.unknown
        assert unknown.extra == "RT: steps out or pass sets" and unknown.differs == (unknown.extra,)
        assert man.would_settle == ("RT",)
        (end,) = study_looks(call, looks, roles=["right E"]).men  # he reads that tackle
        assert end.unknown == () and len(end.seen) == 2

    def test_a_fit_and_none_differ_and_the_quarterback_can_be_waited_for(self):
        zone = ("inside-zone", "inside-zone-rpo")
        assert taught("MS", ("run-pass option", "frontside A"), ("", "free"), concepts=zone).cannot_know == 1.0
        assert taught("MS", ("run-pass option", "quarterback"), ("", "free"), concepts=zone).cannot_know == 0.0
        assert taught("MS", ("run-pass option", "quarterback"), ("", "frontside A"), concepts=zone).cannot_know == 1.0

    def test_linemen_see_no_flow(self):
        """Duo to the left and to the right: the nose is doubled by the same men, only the backs go another way."""
        backers = taught("M", ("", "frontside C"), concepts=("duo",))
        assert backers.cannot_know == 0.0 and all(s.picture.flow is not None for s in backers.seen)
        nose = taught("N", ("", "frontside C"), concepts=("duo",))
        assert all(s.picture.flow is None and s.picture.felt is not None for s in nose.seen)

    def test_what_never_comes_is_left_out_and_what_comes_often_weighs_more(self):
        rules = ("run-pass option", "frontside C"), ("", "frontside A")
        zone = ("inside-zone", "inside-zone-rpo")

        def often(look):
            return 3.0 if look.concept == "inside-zone" else 1.0

        man = taught("M", *rules, concepts=zone, weigh=often)
        assert man.at_best_wrong == 0.25 and {u.weight for u in man.unknown} == {1.0}
        never = taught("M", *rules, concepts=zone, weigh=lambda look: float(look.concept == "inside-zone"))
        assert never.cannot_know == 0.0


def test_whom_he_follows_or_the_edge_is_one_place_wherever_it_ends():
    def at(x, beside):
        return Demand(look=None, weight=1.0, x=x, waits=False, beside=beside, fit="", say="", rule="")

    assert len(split_fits([at(3.0, "left edge"), at(7.0, "left edge")])) == 1
    assert len(split_fits([at(3.0, "left edge"), at(7.0, "")])) == 2
    assert len(split_fits([at(-3.0, "left edge"), at(3.0, "right edge")])) == 2
    assert not differ(at(3.0, "left of LG"), at(7.0, "left of LG"))
    assert differ(at(3.0, "left of LG"), at(7.0, "right of LG")) and differ(at(3.0, ""), at(7.0, ""))


def plays(*wanted):
    return [Demand(look=None, weight=1.0, x=x, waits=waits, beside="", fit="", say="", rule="") for x, waits in wanted]


@pytest.mark.parametrize(
    ("wanted", "fits_"),
    [
        ([(0.0, False), (1.5, False)], 1),
        ([(0.0, False), (1.6, False)], 2),
        ([(0.0, False), (1.4, False), (2.8, False)], 2),
        ([(None, False), (0.0, False)], 2),
        ([(None, False), (4.0, True)], 1),
        ([(0.0, False), (4.0, True)], 2),
        ([(None, False), (0.0, False), (4.0, True)], 2),
        ([(None, False), (None, True)], 1),
    ],
)
def test_places_a_yard_and_a_half_apart_are_two_fits(wanted, fits_):
    found = split_fits(plays(*wanted))
    assert len(found) == fits_ and sum(len(f) for f in found) == len(wanted)


def test_every_look_is_in_one_picture_of_every_man_and_the_shares_are_counts():
    formations = [f for f in LIB.formations.values() if f.personnel == "12"]
    known = study(CALL, formations, LIB.concepts.values())
    assert len(known.men) == 11
    for man in known.men:
        assert sum(len(fit) for seen in man.seen for fit in seen.fits) == known.looks
        assert man.cannot_know == len({u.picture for u in man.unknown}) / len(man.seen)
        assert len({s.picture for s in man.seen}) == len(man.seen)
        for unknown in man.unknown:
            assert differ(*unknown.plays)
        assert [u.weight for u in man.unknown] == sorted((u.weight for u in man.unknown), reverse=True)


def test_the_json_keeps_to_its_schema():
    CHECK.validate(know_json(study(CALL, [LIB.formation("11-trey")], LIB.concepts.values())))


def test_a_role_nobody_has_is_refused_with_the_roles_there_are():
    with pytest.raises(fits.UnknownName, match="unknown role 'Q'"):
        study(CALL, [LIB.formation("11-trey")], [LIB.concept("power")], roles=["Q"])


def test_a_study_of_all_formations_takes_a_few_seconds():
    start = time.process_time()
    study(CALL, LIB.formations.values(), LIB.concepts.values())
    assert time.process_time() - start < 15


def test_a_pressure_and_the_yard_line_are_studied_as_called():
    formations, concepts = [LIB.formation("11-doubles")], LIB.concepts.values()
    plain = study(CALL, formations, concepts)
    sent = study(CALL, formations, concepts, pressure="inside-cross")
    assert all(play.look.pressure == "inside-cross" for m in sent.men for s in m.seen for f in s.fits for play in f)
    assert sent.men != plain.men
    near = study(CALL, formations, concepts, yard_line=3)
    assert near.men != plain.men
    with pytest.raises(UnknownName, match="nearest: "):
        study(CALL, formations, concepts, pressure="nope")
    with pytest.raises(UnknownName, match="nearest: "):
        ladder(CALL, "M", formations, concepts, pressure="nope")
    assert ladder(CALL, "M", formations, concepts, pressure="inside-cross").cannot_know == 0
