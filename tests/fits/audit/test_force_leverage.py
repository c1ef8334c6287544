"""force-leverage: the only force where the ball can go plays a gap, or stays with the pass."""

from fits.audit.checks import force_leverage
from tests.fits.audit.paper import paper

# Common practice. The ball goes to the right edge. An end with C gap fights through the tackle's outside half and
# can be hooked; nobody outside him turns a bounce in. A safety whose key does not send him down is not a force.
WIDE = (("run", "T", "right C"),)


def test_an_end_with_a_gap_is_the_only_force():
    men = {"E": (3.6, 1.0, "right C", "gap", "gap")}
    (finding,) = force_leverage.check(paper(men, threats=WIDE))
    assert (finding.severity, finding.roles) == ("unsound", ("E",))
    assert finding.text == "The force on the right is soft: E has a gap to play; a bounce is not turned in."


def test_a_force_player_who_stays_with_the_pass_is_none():
    men = {"E": (3.6, 1.0, "right C", "gap", "gap"), "CB": (15.0, 7.0, None, "force", "pass")}
    (finding,) = force_leverage.check(paper(men, threats=WIDE, force=["CB"]))
    assert finding.roles == ("CB", "E")
    assert "E has a gap to play and CB stays with the pass" in finding.text


def test_a_safety_down_outside_him_is_a_force():
    men = {"E": (3.6, 1.0, "right C", "gap", "gap"), "SS": (7.0, 7.0, None, "force", "alley")}
    assert force_leverage.check(paper(men, threats=WIDE, force=["SS"])) == []
    outside = {"S": (6.0, 4.0, "right C", "outside", "gap")}
    assert force_leverage.check(paper(outside, threats=WIDE)) == []


def test_the_back_side_edge_of_a_run_inside_is_another_matter():
    """There the end is the cutback man; whether somebody stays for a bootleg is `nobody-home`."""
    men = {"E": (-3.6, 1.0, "left C", "gap", "gap"), "S": (6.0, 4.0, "right C", "outside", "gap")}
    assert force_leverage.check(paper(men)) == []


def test_an_edge_two_lanes_from_the_ball_is_a_warning():
    men = {"E": (3.6, 1.0, "right C", "gap", "gap")}
    (finding,) = force_leverage.check(paper(men))
    assert finding.severity == "warning"


def test_a_carrier_who_goes_straight_up_one_lane_inside_does_not_get_there():
    """Common practice: a dive does not bounce. A run that may is another matter."""
    men = {"E": (3.6, 1.0, "right C", "gap", "gap")}
    (finding,) = force_leverage.check(paper(men, threats=(("dive", "F", "right B"),)))
    assert finding.severity == "warning"
    (finding,) = force_leverage.check(paper(men, threats=(("run", "T", "right B"),)))
    assert finding.severity == "unsound"
