"""two-duties: a man has a lane and a receiver, or two ball carriers, and nothing he reads settles it in time."""

from fits.audit.checks import two_duties
from fits.field import LEFT, RIGHT
from tests.fits.audit.looks import derive, found
from tests.fits.audit.paper import paper

# Common practice. A bubble to #2 goes off in under two seconds. The backer over #2 who also folds into C cannot do
# both; when he stays out, or the safety comes down on #2, each has one job.
APEX = {"S": (5.5, 4.0, "right C", "outside", "gap"), "CB": (14.0, 7.0, None, "pass", "pass")}
BUBBLE = {"threats": (("run", "T", "left A"), ("route", "R", None)), "flags": ["rpo"], "eyes": RIGHT}


def bubble(men, defenders, takes):
    offense = paper(men).offense
    second = offense.view(RIGHT).receivers[1].role
    threats = (("run", "T", "left A"), ("route", second, None))
    both = {RIGHT: (defenders, tuple(p.role for p in offense.view(RIGHT).receivers))}
    return paper(men, threats=threats, flags=["rpo"], eyes=RIGHT, passes=both, takes=takes)


def test_the_backer_over_the_bubble_who_also_has_c():
    men = APEX | {"FS": (6.0, 12.0, None, "pass", "pass")}
    takes = {"S": "hook and curl", "CB": "deep third", "FS": "deep middle"}
    (finding,) = two_duties.check(bubble(men, ("CB", "FS"), takes))
    assert (finding.severity, finding.roles) == ("unsound", ("S",))
    assert finding.text.startswith("S has hook and curl and right C: the throw to ")


def test_when_the_safety_has_the_second_receiver_the_backer_has_one_job():
    men = APEX | {"SS": (6.0, 8.0, None, "pass", "pass")}
    takes = {"S": "flat", "CB": "#1", "SS": "#2"}
    assert two_duties.check(bubble(men, ("CB", "SS"), takes)) == []


# The end who is left alone on a read has the quarterback; who has the dive as well can be wrong only twice.
def test_one_man_cannot_have_the_dive_and_the_quarterback():
    men = {"E": (3.6, 1.0, "right B", "gap", "quarterback"), "W": (-2.0, 4.5, "left B", "gap", "gap")}
    (finding,) = two_duties.check(paper(men, threats=(("dive", "F", "right B"), ("keep", "QB", "right B"))))
    assert (finding.severity, finding.roles) == ("unsound", ("E",))
    assert finding.text == "E alone has F and QB: whichever he takes, the other has the ball."


def test_with_a_backer_on_the_dive_each_has_one():
    men = {"E": (3.6, 1.0, "right C", "gap", "quarterback"), "W": (2.0, 4.5, "right B", "gap", "gap")}
    assert two_duties.check(paper(men, threats=(("dive", "F", "right B"), ("keep", "QB", "right C")))) == []


# A corner fifteen yards wide: on a draw his receiver runs a route, and he with him. On a plain run his receiver
# blocks him, and a cloud corner may have the edge.
def test_a_wide_corner_owns_no_lane_on_a_draw():
    men = {"CB": (-15.0, 7.0, "left C", "force", "force"), "E": (-3.6, 1.0, "left B", "gap", "gap")}
    (finding,) = two_duties.check(paper(men, takes={"CB": "flat"}, flags=["draw"]))
    assert (finding.severity, finding.roles) == ("unsound", ("CB",))
    assert "runs his route and takes him off" in finding.text
    assert two_duties.check(paper(men, takes={"CB": "flat"})) == []


def test_an_end_who_rushes_owns_his_lane_on_a_draw():
    men = {"E": (-3.6, 1.0, "left C", "gap", "gap"), "CB": (-15.0, 7.0, None, "pass", "pass")}
    assert two_duties.check(paper(men, takes={"CB": "flat"}, flags=["draw"])) == []


def test_a_safety_inside_the_corner_may_have_a_lane_on_a_draw():
    for side, lane in ((-1, "left C"), (1, "right C")):
        men = {"SS": (side * 6.0, 7.0, lane, "force", "force"), "CB": (side * 15.0, 7.0, None, "pass", "pass")}
        assert two_duties.check(paper(men, takes={"SS": "flat", "CB": "deep third"}, flags=["draw"])) == []


def test_a_throw_to_the_other_side_is_not_his():
    """The backer on the right gives up nobody when the bubble goes to the left."""
    offense = paper(APEX).offense
    away = offense.view(LEFT).receivers[1].role
    threats = (("run", "T", "left A"), ("route", away, None))
    both = {RIGHT: (("CB", "FS"), tuple(p.role for p in offense.view(RIGHT).receivers))}
    takes = {"S": "hook and curl", "CB": "deep third"}
    evidence = paper(APEX, threats=threats, flags=["rpo"], eyes=RIGHT, passes=both, takes=takes)
    assert two_duties.check(evidence)  # thrown to his side
    evidence.threats[1].side = LEFT
    assert two_duties.check(evidence) == []


def test_the_unblocked_end_of_a_zone_read_has_the_quarterback_and_nothing_else():
    assert not found(derive("under-cover-3", "11-doubles", "zone-read", LEFT.other), "two-duties")
