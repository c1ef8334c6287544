"""no-force: an edge where nobody keeps the ball from getting outside."""

from fits.audit.checks import no_force
from tests.fits.audit.paper import paper

# Common practice. The ball goes to the right edge, which belongs to one man; who spills it or plays it from inside
# sends it outside, where nobody is. A force player who is cracked is blocked down: he forces nothing.
WIDE = (("run", "T", "right C"),)
HOME = {"left E": (-4.0, 1.0, "left C", "outside", "gap")}


def test_an_edge_whose_only_man_plays_inside_is_found():
    men = HOME | {"M": (2.0, 4.5, "right C", "inside", "scrape")}
    (finding,) = no_force.check(paper(men, threats=WIDE))
    assert (finding.severity, finding.roles) == ("unsound", ("M",))
    assert finding.text == "No force on the right: M plays inside in right C."


def test_the_same_edge_with_a_man_outside_is_forced():
    assert no_force.check(paper(HOME | {"S": (5.0, 4.0, "right C", "outside", "gap")}, threats=WIDE)) == []


def test_a_free_force_player_is_enough_and_a_cracked_one_is_not():
    men = HOME | {"M": (2.0, 4.5, "right C", "inside", "scrape"), "SS": (8.0, 7.0, None, "pass", "alley")}
    assert no_force.check(paper(men, threats=WIDE, force=["SS"])) == []
    (finding,) = no_force.check(paper(men, threats=WIDE, force=["SS"], cracked=["SS"]))
    assert finding.text == "No force on the right: M plays inside in right C."
    (finding,) = no_force.check(paper(men, threats=WIDE))
    assert finding.lane == 5


def test_a_free_man_of_the_other_side_forces_nothing_here():
    men = HOME | {"M": (2.0, 4.5, "right C", "inside", "scrape"), "SS": (-8.0, 7.0, None, "force", "alley")}
    assert len(no_force.check(paper(men, threats=WIDE, force=["SS"]))) == 1


def test_nobody_at_all_and_far_behind_a_sweep():
    men = {"S": (5.0, 4.0, "right C", "outside", "gap")}
    (finding,) = no_force.check(paper(men, threats=(("sweep", "T", "right C"),)))
    assert (finding.severity, finding.text) == ("warning", "No force on the left: nobody is outside in left C.")
