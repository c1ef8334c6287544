"""no-force: an edge where nobody keeps the ball from getting outside."""

from tests.fits.audit.looks import RIGHT, derive, found, lane


def test_an_edge_whose_only_man_plays_inside_is_found():
    look = derive("under-cover-3", "11-doubles", "pin-pull", RIGHT)
    (finding,) = found(look, "no-force")
    assert finding.severity == "unsound" and finding.lane == len(look.lanes) - 1
    assert lane(look, finding).owners == finding.roles == ("M",)
    assert finding.text == "No force on the right: M plays inside in outside RT."
    assert not look.sound


def test_the_same_edge_with_a_man_outside_is_forced():
    look = derive("odd-three-safety", "11-doubles", "pin-pull", RIGHT)
    assert look.lanes[-1].owners == ("S",)
    assert not found(look, "no-force") and look.sound
