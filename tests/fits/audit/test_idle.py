"""idle: a man without a job stands near a lane that nobody has."""

from fits.audit.checks import idle
from tests.fits.audit.paper import paper

# Common practice. Right B is open and the backer over the guard has nothing to do: he is three and a half yards off.
ENDS = {"left E": (-3.6, 1.0, "left B", "gap", "gap")}


def test_a_free_backer_beside_an_open_lane_is_a_hint():
    men = {n: (x, 1.0, n, "gap", "gap") for n, x in (("left C", -4), ("left B", -2.4), ("left A", -1), ("right A", 1))}
    men |= {"right C": (4.0, 1.0, "right C", "gap", "gap"), "M": (1.6, 4.5, None, "hip", "free")}
    (finding,) = idle.check(paper(men))
    assert (finding.severity, finding.roles) == ("hint", ("M",))
    assert finding.text == "M has no job and stands 3 yards from right B, which is open."


def test_a_safety_ten_yards_deep_a_man_in_coverage_and_a_look_without_an_open_lane_are_nothing():
    assert idle.check(paper(ENDS | {"MS": (0.0, 10.0, None, "hip", "free")})) == []
    assert idle.check(paper(ENDS | {"M": (1.6, 4.5, None, "pass", "pass")})) == []
    names = ("left C", "left B", "left A", "right A", "right B", "right C")
    full = {n: (i * 1.5 - 4, 1.0, n, "gap", "gap") for i, n in enumerate(names)}
    assert idle.check(paper(full | {"M": (1.6, 4.5, None, "hip", "free")})) == []
