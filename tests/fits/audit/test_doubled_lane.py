"""doubled-lane: two men in one lane while another lane is open."""

from fits.audit.checks import doubled_lane
from tests.fits.audit.looks import RIGHT, derive, found, lane
from tests.fits.audit.paper import paper


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
    names = ("left C", "left B", "left A", "right A", "right B", "right C")
    full = {n: (i * 1.5 - 4, 1.0, n, "gap", "gap") for i, n in enumerate(names)}
    more = full | {"M": (0.5, 4.5, "right A", "gap", "gap")}
    assert doubled_lane.check(paper(more)) == []
    del more["left C"]
    (finding,) = doubled_lane.check(paper(more))
    assert finding.text == "M and right A are both in right A while left C is open."
