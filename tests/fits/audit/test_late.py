"""late: every man who owns a lane gets there after the ball can."""

from fits.timing import Speed
from tests.fits.audit.looks import LEFT, derive, found, lane


def test_a_lane_left_to_a_man_too_far_away_is_found():
    look = derive("over-quarters-two", "10-doubles", "trap", LEFT)
    (finding,) = found(look, "late")
    assert (finding.severity, lane(look, finding).name, finding.roles) == ("unsound", "outside RG", ("left CB",))
    late = -look.defender("left CB").margin_s
    assert late > 0 and finding.text == f"left CB is {late:.2f} s late to outside RG."
    assert not look.sound


def test_a_nearer_man_is_in_time():
    look = derive("over-quarters", "10-doubles", "trap", LEFT)
    owners = next(x for x in look.lanes if x.name == "outside RG").owners
    assert owners == ("FS",) and look.defender("FS").margin_s >= 0
    assert not found(look, "late")


def test_the_roster_decides():
    slow = {"FS": Speed(5.0, 1.6)}
    look = derive("over-quarters", "10-doubles", "trap", LEFT, roster=slow)
    assert [f.roles for f in found(look, "late")] == [("FS",)]
