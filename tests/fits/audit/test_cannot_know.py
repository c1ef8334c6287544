"""`cannot-know` as a finding of one look: who, how bad, and what would tell."""

import fits
from fits.defense.system import FitRule
from fits.know import cannot_know, study, with_knowledge

LIB = fits.load_library()
CALL = LIB.call("odd-three-safety")
ZONE = ("inside-zone", "inside-zone-rpo")


def looks_of(role, *rules, formation="10-doubles", concepts=ZONE):
    made = tuple(FitRule(f"T{i}", role, when, fit) for i, (when, fit) in enumerate(rules))
    call = fits.with_rules(CALL, made)
    chosen = LIB.formation(formation), [LIB.concept(c) for c in concepts]
    known = study(call, chosen[:1], chosen[1], roles=[role])
    return known, [fits.derive_look(call, chosen[0], c, to=fits.RIGHT) for c in chosen[1]]


def test_both_plays_have_it_and_it_names_the_other():
    known, looks = looks_of("M", ("run-pass option", "frontside C"), ("", "frontside A"))
    for look, other in zip(looks, reversed(looks), strict=True):
        (finding,) = cannot_know(known, look)
        assert finding.code == "cannot-know" and finding.roles == ("M",)
        assert finding.lane == look.defender("M").lane
        assert other.labels.concept in finding.text and other.defender("M").fit in finding.text
        assert "until the handoff" in finding.text


def test_it_is_as_bad_as_the_lane_when_he_alone_has_it():
    known, (zone, throw) = looks_of("M", ("run-pass option", "free"), ("", "frontside A"))
    (with_lane,), (without,) = cannot_know(known, zone), cannot_know(known, throw)
    alone = zone.lanes[with_lane.lane].owners == ("M",)
    assert with_lane.severity == ("unsound" if alone else "warning") and alone
    assert without.severity == "warning" and without.lane is None


def test_a_near_miss_has_none():
    plays = ("power", "inside-zone")
    known, looks = looks_of("M", ("a guard pulls", "frontside C"), ("", "frontside A"), concepts=plays)
    assert [cannot_know(known, look) for look in looks] == [(), ()]


def test_a_look_of_another_call_has_none():
    known, _ = looks_of("M", ("run-pass option", "frontside C"), ("", "frontside A"))
    other = fits.derive_look(LIB.call("over-quarters"), LIB.formation("10-doubles"), LIB.concept("inside-zone"))
    assert cannot_know(known, other) == ()


def test_what_his_rules_ask_that_nothing_shows_him():
    known, _ = looks_of("N", ("flow away", "open lane"), ("", "frontside A else my gap"))
    asked = {asks for rule, asks in known.men[0].unseen if rule.startswith("T")}
    assert asked == {"flow away", "open lane", "frontside A"}  # a lineman has no flow
    known, _ = looks_of("M", ("flow away", "open lane"), ("", "frontside A else my gap"))
    assert {asks for rule, asks in known.men[0].unseen if rule.startswith("T")} == {"open lane"}


def test_a_study_adds_it_to_the_look_and_to_its_band():
    known, (zone, throw) = looks_of("M", ("run-pass option", "free"), ("", "frontside A"))
    bad, other = with_knowledge(known, zone), with_knowledge(known, throw)
    assert bad.band is fits.Band.NOT_SOUND and [f.code for f in bad.findings].count("cannot-know") == 1
    assert [f.severity for f in bad.findings] == sorted(
        (f.severity for f in bad.findings), key=list(fits.Severity).index
    )
    assert other.band is throw.band and len(other.findings) == len(throw.findings) + 1  # a warning changes no band
    settled, looks = looks_of("M", ("", "frontside A"))
    assert all(with_knowledge(settled, look) is look for look in looks)
