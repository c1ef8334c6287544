"""late: every man who owns a lane gets there after the ball can."""

import fits
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
    assert not [f for f in found(look, "late") if f.severity == "unsound"]


def test_the_roster_decides():
    slow = {"FS": Speed(5.0, 1.6)}
    look = derive("over-quarters", "10-doubles", "trap", LEFT, roster=slow)
    assert [f.roles for f in found(look, "late") if f.severity == "unsound"] == [("FS",)]


def test_a_slow_read_that_would_be_too_late_is_a_warning_and_takes_the_look_out_of_the_first_band():
    """A safety with less to spare than the quarter of a second a slow read takes: sound if on time."""
    look = derive("over-quarters", "10-doubles", "trap", LEFT)
    spare = look.defender("FS").margin_s
    slower = found(look, "late")
    assert (0 <= spare < 0.25) == bool(slower)
    assert all(f.severity == "warning" for f in slower)
    assert look.band is (fits.Band.IF_ON_TIME if slower else fits.Band.SOUND) and look.sound == (not slower)
