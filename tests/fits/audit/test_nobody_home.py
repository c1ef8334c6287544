"""nobody-home: the flow goes away and nobody stays for the bootleg or the reverse."""

from fits.audit.checks import nobody_home
from tests.fits.audit.paper import paper

# Common practice. The run goes right. The back side end who stays in C, or a backer outside him, has the bootleg.
# A middle safety who is sent to the back side edge from over the ball flows first: nobody is there in time.


def test_a_middle_safety_sent_to_the_back_side_edge_is_not_home():
    men = {"E": (-3.6, 1.0, "left B", "inside", "gap"), "MS": (0.0, 9.5, "left C", "hip", "free")}
    (finding,) = nobody_home.check(paper(men))
    assert (finding.severity, finding.roles) == ("warning", ("MS",))
    assert finding.text == "Nobody is home on the left when the flow goes away: a bootleg or a reverse has the edge."


def test_the_end_who_stays_or_a_backer_outside_him_is_home():
    stays = {"E": (-3.6, 1.0, "left C", "gap", "gap")}
    assert nobody_home.check(paper(stays)) == []
    outside = {"MS": (0.0, 9.5, "left C", "hip", "free"), "W": (-6.0, 4.0, None, "pass", "conflict")}
    assert nobody_home.check(paper(outside)) == []


def test_a_deep_corner_is_not_and_an_open_edge_is_another_code():
    men = {"MS": (0.0, 9.5, "left C", "hip", "free"), "CB": (-15.0, 8.0, None, "pass", "pass")}
    assert len(nobody_home.check(paper(men, takes={"CB": "deep third"}))) == 1
    assert nobody_home.check(paper({"E": (-3.6, 1.0, "left B", "inside", "gap")})) == []


def test_who_stands_inside_the_tackle_or_too_deep_is_not_home():
    edge = {"MS": (0.0, 9.5, "left C", "hip", "free")}
    for x, y, codes in ((-3.4, 4.0, 0), (-2.0, 4.0, 1), (-6.0, 8.0, 0), (-6.0, 9.0, 1)):
        men = edge | {"W": (x, y, None, "pass", "conflict")}
        assert len(nobody_home.check(paper(men))) == codes, (x, y)
