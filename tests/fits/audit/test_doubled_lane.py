"""doubled-lane: two men in one lane while another lane is open."""

from fits.audit.checks import doubled_lane
from tests.fits.audit.paper import paper

# Common practice. Six lanes and six men: whoever is the second in one is missing in another.
NAMES = ("left C", "left B", "left A", "right A", "right B", "right C")
FULL = {f"man in {n}": (i * 1.5 - 4, 1.0, n, "gap", "gap") for i, n in enumerate(NAMES)}


def without(*names):
    return {role: man for role, man in FULL.items() if man[2] not in names}


def test_two_men_in_one_lane_while_another_is_open_are_found():
    men = without("left A") | {"M": (0.5, 4.5, "right B", "gap", "gap")}
    (finding,) = doubled_lane.check(paper(men))
    assert (finding.severity, finding.roles) == ("warning", ("M", "man in right B"))
    assert finding.text == "M and man in right B are both in right B while left A is open."


def test_three_men_and_two_open_lanes_are_said_in_good_order():
    extra = {"M": (0.5, 4.5, "right B", "gap", "gap"), "S": (4.5, 4.5, "right B", "gap", "gap")}
    (finding,) = doubled_lane.check(paper(without("left A", "left C") | extra))
    assert finding.text == "M, S and man in right B are all in right B while left C and left A are open."


def test_two_men_in_one_lane_with_none_open_are_no_waste():
    assert doubled_lane.check(paper(FULL | {"M": (0.5, 4.5, "right A", "gap", "gap")})) == []
