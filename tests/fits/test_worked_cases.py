"""Looks worked out by hand, lane by lane. Common practice; the call is `odd-three-safety`."""

import pytest

import fits
from fits.field import LEFT, RIGHT, Hash

LIB = fits.load_library()


def derive(formation, concept, to, hash_=Hash.MIDDLE, *options, **more):
    return fits.derive_look(
        LIB.call("odd-three-safety"), LIB.formation(formation), LIB.concept(concept), to=to, hash=hash_,
        options=tuple(LIB.option(o) for o in options), **more,
    )  # fmt: skip


def owners(look):
    return {lane.name: set(lane.owners) for lane in look.lanes}


def test_inside_zone_with_a_bubble():
    look = derive("10-doubles", "inside-zone-rpo", LEFT)
    assert [lane.name for lane in look.lanes] == ["left C", "left B", "left A", "right A", "right B", "right C"]
    assert owners(look) == {
        "left C": {"W"}, "left B": {"left E"}, "left A": {"M"}, "right A": {"N"}, "right B": {"right E"},
        "right C": {"MS"},
    }  # fmt: skip
    assert look.eyes is RIGHT
    assert look.defender("MS").duty == "quarterback"
    assert look.defender("N").leverage == "cutback"
    slow = look.defender("S")
    assert slow.lane is None and slow.duty == "conflict"
    left, right = look.passes
    assert (left.text, right.text) == ("two for two", "three for two")
    assert right.conflict == ("S",) and "S" in right.defenders
    assert not [f for f in look.findings if f.severity == "unsound"]


def test_power_with_the_guard_around():
    """Tackle and tight end stay on the end, the guard turns up on W: the double closes C, so one lane holds B and C.

    M, whose guard pulls away, goes over the top with him: inside the man who kicks, where the middle safety helps him.
    """
    look = derive("11-doubles", "power", RIGHT, Hash.RIGHT)
    assert [lane.name for lane in look.lanes] == [
        "left C", "left A+B", "right A", "right B+C", "inside LG", "outside LG",
    ]  # fmt: skip
    assert owners(look) == {
        "left C": {"S"}, "left A+B": {"left E"}, "right A": {"N"}, "right B+C": {"W", "right E"},
        "inside LG": {"M", "MS"}, "outside LG": {"BS"},
    }  # fmt: skip
    assert look.defender("W").leverage == "outside" and look.defender("MS").leverage == "spill"
    assert [lane.gaps for lane in look.lanes][1] == ("left B", "left A")
    assert look.sound


@pytest.mark.parametrize("options", [(), ("box",)])
def test_split_zone_kicks_the_apex_backer_past_an_end_inside_the_tackle(options):
    """A 4i is the tackle's man: the tight end goes past him to S. S stays outside the kick, the middle safety
    inside it. M, whose guard steps in as the ball goes away, has no tight end on his side: over the top to the far B.
    """
    look = derive("11-doubles", "split-zone", RIGHT, Hash.RIGHT, *options)
    assert [lane.name for lane in look.lanes] == [
        "outside Y", "inside Y", "left B", "left A", "right A", "right B", "right C+D",
    ]  # fmt: skip
    assert owners(look) == {
        "outside Y": {"S"}, "inside Y": {"MS"}, "left B": {"left E"}, "left A": {"N"}, "right A": {"W"},
        "right B": {"BS", "M"}, "right C+D": {"right E"},
    }  # fmt: skip
    assert next(b for b in look.blocks if b.role == "Y").on == "S"
    assert look.sound


@pytest.mark.parametrize("to", [LEFT, RIGHT])
def test_inside_zone_from_doubles_fits_from_the_nose_out(to):
    """Ends own B, the nose lags behind the ball, the middle backer has the frontside A, the apex away folds into C."""
    look = derive("10-doubles", "inside-zone", to)
    here, there = to.word, to.other.word
    got = owners(look)
    assert got[f"{here} B"] == {f"{here} E"} and got[f"{there} B"] == {f"{there} E"}
    assert got[f"{here} A"] == {"M"} and got[f"{there} A"] == {"N"}
    assert look.sound


@pytest.mark.parametrize("hash_", list(Hash))
def test_the_hash_moves_no_fit_of_a_balanced_look(hash_):
    """With two receivers and the back the same on both sides only the pass strength can turn with the hash."""
    look = derive("10-doubles", "inside-zone", LEFT, hash_)
    here = {name: {r.removeprefix("left ").removeprefix("right ") for r in who} for name, who in owners(look).items()}
    assert here["left A"] == {"M"} and here["right A"] == {"N"} and here["left B"] == here["right B"] == {"E"}


def test_the_nose_holds_against_power_and_lags_against_zone():
    assert derive("11-doubles", "power", RIGHT, Hash.RIGHT).defender("N").fit == "right A"
    assert derive("11-doubles", "inside-zone", RIGHT, Hash.RIGHT).defender("N").fit == "left A"


def test_a_first_step_is_a_what_if_the_defense_reacts_to():
    """W at 30 fits outside a guard who steps in and just inside one who steps out."""
    plain = derive("11-doubles", "power", RIGHT, Hash.RIGHT)
    lied = derive("11-doubles", "power", RIGHT, Hash.RIGHT, first_steps={"RG": "out"})
    assert plain.defender("W").saw.startswith("RG steps in") and plain.defender("W").fit == "right B+C"
    assert lied.defender("W").saw.startswith("RG steps out") and lied.defender("W").fit == "right A"
    assert next(b for b in lied.blocks if b.role == "RG").step == "out"
    assert [(b.role, b.on, b.x) for b in lied.blocks] == [(b.role, b.on, b.x) for b in plain.blocks]
    assert owners(lied)["right B+C"] == {"right E"} and lied.band is not fits.Band.NOT_SOUND  # the end is there alone


def test_the_end_inside_a_tight_end_plays_5_and_the_other_4i():
    look = derive("11-doubles", "power", RIGHT, Hash.RIGHT)
    assert look.defender("right E").technique == "5" and look.defender("left E").technique == "4i"
    assert {look.defender("M").technique, look.defender("W").technique} == {"30"}
    assert derive("10-doubles", "inside-zone", LEFT).defender("M").technique == "00"
