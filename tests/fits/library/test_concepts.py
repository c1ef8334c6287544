"""What the shipped concepts, options and motions do that a coach would notice at once. Common practice."""

import pytest

import fits
from tests.fits.plays import LIB

LEFT, RIGHT = fits.Side.LEFT, fits.Side.RIGHT


def derive(call, formation, concept, to=None, options=(), motion=None):
    return fits.derive_look(
        LIB.call(call), LIB.formation(formation), LIB.concept(concept), to=to,
        options=tuple(LIB.option(o) for o in options), motion=LIB.motion(motion) if motion else None,
    )  # fmt: skip


def where(look):
    """Each threat's man and the name of his lane, by kind."""
    return {t.kind: (t.role, None if t.lane is None else look.lanes[t.lane].name) for t in look.threats}


@pytest.mark.parametrize("call", ["odd-three-safety", "over-quarters", "under-cover-3", "okie-two-gap"])
@pytest.mark.parametrize(("formation", "lead"), [("21-pro-i", "F"), ("20-split", "T")])
def test_the_quarterback_keeps_inside_the_lead_and_pitches_outside_him(call, formation, lead):
    look = derive(call, formation, "speed-option", RIGHT)
    assert where(look)["keep"] == ("QB", f"inside {lead}")
    assert where(look)["pitch"][1] == f"outside {lead}"
    assert look.band is not fits.Band.NOT_SOUND, [f.text for f in look.findings]


@pytest.mark.parametrize(("formation", "call"), [
    ("21-pro-i", "odd-three-safety"), ("21-offset", "odd-three-safety"), ("20-split", "odd-three-safety"),
    ("21-pro-i", "okie-two-gap"), ("20-split", "okie-two-gap"),
])  # fmt: skip
def test_on_iso_both_guards_step_in_against_an_odd_front(formation, call):
    look = derive(call, formation, "iso", RIGHT)
    blocks = {b.role: b for b in look.blocks}
    assert (blocks["LG"].step, blocks["RG"].step) == ("in", "in")
    assert blocks["RG"].on == blocks["C"].on == "N"
    assert look.band is not fits.Band.NOT_SOUND, [f.text for f in look.findings]


def test_on_iso_against_an_even_front_centre_and_back_side_guard_double():
    blocks = {b.role: b for b in derive("over-quarters", "21-pro-i", "iso", RIGHT).blocks}
    assert blocks["C"].on == blocks["LG"].on == "N" and blocks["RG"].step == "straight"


@pytest.mark.parametrize(("formation", "to", "role"), [
    ("10-doubles", LEFT, "K"), ("11-doubles", RIGHT, "R"), ("10-trips", RIGHT, "X"),
])  # fmt: skip
def test_the_bubble_goes_to_the_inside_receiver_on_the_eyes_side(formation, to, role):
    look = derive("odd-three-safety", formation, "inside-zone-rpo", to)
    assert where(look)["route"] == (role, None)


def test_bubble_and_glance_are_two_receivers():
    look = derive("odd-three-safety", "11-doubles", "inside-zone", RIGHT, ("bubble", "glance"))
    assert [t.role for t in look.threats if t.kind == "route"] == ["R", "Z"]


def test_an_option_twice_is_an_option_once():
    one, two = (derive("over-quarters", "10-doubles", "inside-zone", LEFT, ("read",) * n) for n in (1, 2))
    assert one.threats == two.threats and one.findings == two.findings


@pytest.mark.parametrize(("formation", "to", "role"), [("11-doubles", LEFT, "Y"), ("11-h-back", LEFT, "H")])
def test_an_arc_takes_the_back_side_man_out_of_the_count(formation, to, role):
    plain, arc = (derive("odd-three-safety", formation, "inside-zone", to, o) for o in ((), ("arc",)))
    block = next(b for b in arc.blocks if b.role == role)
    assert (block.step, block.counts) == ("arc", False)
    assert len(arc.lanes) == len(plain.lanes) - 1


def test_an_arc_with_nobody_on_the_back_side_is_refused():
    with pytest.raises(fits.NotRunnable, match="nobody for the arcing man"):
        derive("odd-three-safety", "11-doubles", "inside-zone", RIGHT, ("arc",))


def test_a_man_who_shifted_is_not_the_man_in_motion():
    with pytest.raises(fits.NotRunnable, match=r"R stands .* yd from the handoff .* send him in motion"):
        derive("odd-three-safety", "11-doubles", "jet-sweep", motion="trade")
    look = derive("odd-three-safety", "11-doubles", "jet-sweep", motion="jet")
    assert where(look)["sweep"] == ("R", "outside T") and look.to is RIGHT
