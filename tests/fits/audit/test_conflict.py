"""conflict: a man on the eyes side has a receiver and is the only one in his lane."""

from tests.fits.audit.looks import RIGHT, derive, found, lane


def test_a_man_with_a_receiver_and_a_lane_of_his_own_is_found():
    look = derive("under-cover-3-cloud", "11-doubles", "inside-zone-rpo", RIGHT)
    (finding,) = found(look, "conflict")
    assert (finding.severity, lane(look, finding).owners, finding.roles) == ("unsound", ("W",), ("W",))
    assert finding.text == "W has curl and flat and left A: he cannot do both, and nobody else is there."
    assert not look.sound


def test_a_slow_player_whose_lane_another_man_has_is_in_no_trouble():
    look = derive("odd-three-safety", "10-doubles", "inside-zone-rpo", RIGHT.other)
    assert look.defender("S").duty == "conflict" and look.defender("MS").lane == len(look.lanes) - 1
    assert not found(look, "conflict")
