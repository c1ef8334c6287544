"""crosses-face: a man at the line must get across the man who blocks him, and no movement was called."""

from fits.audit.checks import crosses_face
from tests.fits.audit.paper import paper

# Common practice. An end outside the tackle's shoulder has C. To have B he must cross the tackle's face: he is
# reached on the way, unless a slant is called and he is gone before the tackle has his hands on him.
END = (3.6, 1.0)


def test_an_end_outside_the_tackle_who_has_b():
    (finding,) = crosses_face.check(paper({"E": (*END, "right B", "inside", "gap")}, blocks={"E": ["RT"]}))
    assert (finding.severity, finding.roles) == ("unsound", ("E",))
    assert finding.text == "E must cross RT's face to get to right B, with no slant called."


def test_far_from_the_ball_or_with_help_it_is_a_warning():
    left = {"E": (-3.6, 1.0, "left B", "inside", "gap")}
    away = (("run", "T", "right B"),)
    (finding,) = crosses_face.check(paper(left, blocks={"E": ["LT"]}, threats=away))
    assert finding.severity == "warning"
    helped = {"E": (*END, "right B", "inside", "gap"), "W": (2.2, 4.5, "right B", "gap", "gap")}
    (finding,) = crosses_face.check(paper(helped, blocks={"E": ["RT"]}))
    assert finding.severity == "warning"


def test_a_slant_takes_him_there():
    men = {"E": (*END, "right B", "inside", "gap")}
    assert crosses_face.check(paper(men, blocks={"E": ["RT"]}, moved={"E": 2.4})) == []


def test_his_own_gap_head_up_two_gaps_and_a_man_over_the_top_are_nothing():
    assert crosses_face.check(paper({"E": (*END, "right C", "gap", "gap")}, blocks={"E": ["RT"]})) == []
    assert crosses_face.check(paper({"N": (0.0, 1.0, "left A", "gap", "gap")}, blocks={"N": ["C"]})) == []
    assert crosses_face.check(paper({"E": (*END, "right B", "head up", "two-gap")}, blocks={"E": ["RT"]})) == []
    assert crosses_face.check(paper({"W": (3.8, 4.5, "right A", "inside", "scrape")}, blocks={"W": ["RT"]})) == []
    assert crosses_face.check(paper({"E": (*END, "right B", "inside", "gap")})) == []


def test_a_nose_who_leans_a_little_may_still_go_either_way():
    def crossing(x, lane):
        return crosses_face.check(paper({"N": (x, 1.0, lane, "gap", "gap")}, blocks={"N": ["C"]}))

    assert crossing(0.2, "left A") == crossing(-0.2, "right A") == []
    assert [f.roles for f in crossing(0.5, "left A") + crossing(-0.5, "right A")] == [("N",), ("N",)]
