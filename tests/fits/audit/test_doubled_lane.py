"""doubled-lane: two men in one lane while another lane is open."""

from tests.fits.audit.looks import RIGHT, derive, found, lane


def test_two_men_in_one_lane_while_another_is_open_are_found():
    look = derive("odd-three-safety-slant", "10-doubles", "pin-pull", RIGHT)
    (finding,) = found(look, "doubled-lane")
    assert (finding.severity, lane(look, finding).name, finding.roles) == ("warning", "right A+B", ("N", "right E"))
    assert finding.text == "N and right E are both in right A+B while left A is open."


def test_three_men_and_two_open_lanes_are_said_in_good_order():
    look = derive("odd-three-safety-slant", "10-doubles", "counter", RIGHT.other)
    (finding,) = found(look, "doubled-lane")
    assert finding.text == "N, S and right E are all in right A+B+C while inside RG is open."


def test_two_men_in_one_lane_with_none_open_are_no_waste():
    look = derive("odd-three-safety", "11-doubles", "trap", RIGHT)
    assert any(len(x.owners) > 1 for x in look.lanes) and all(x.owners for x in look.lanes)
    assert not found(look, "doubled-lane")
