"""post-vacated: a man with a deep part of the field is alone in a lane."""

import pytest

from fits.audit.checks import post_vacated
from fits.field import RIGHT
from tests.fits.audit.paper import paper

# Common practice. One safety in the middle, ten yards deep, comes down into the front side B because the end is
# washed inside: against a run he makes the tackle, against play action the post is open. That is a price, not a hole.
# On a draw the line sets to pass: he is gone to his deep middle before the ball is handed off.
ENDS = {"left E": (-3.6, 1.0, "left B", "gap", "gap"), "right E": (3.6, 1.0, "right C", "gap", "gap")}
FREE = {"FS": (0.0, 10.0, "right B", "alley", "free")}


def test_the_deep_middle_man_alone_in_a_lane_is_a_warning_with_its_price():
    (finding,) = post_vacated.check(paper(ENDS | FREE, takes={"FS": "deep middle"}))
    assert (finding.severity, finding.roles) == ("warning", ("FS",))
    assert finding.text == "FS comes down alone into right B: on play action nobody has the deep middle."


@pytest.mark.parametrize("part", ["deep half", "deep third"])
def test_so_is_a_half_or_a_third(part):
    (finding,) = post_vacated.check(paper(ENDS | FREE, takes={"FS": part}))
    assert part in finding.text


def test_with_another_man_in_the_lane_he_may_leave_it_again():
    both = ENDS | FREE | {"M": (1.5, 4.5, "right B", "inside", "scrape")}
    assert post_vacated.check(paper(both, takes={"FS": "deep middle"})) == []


def test_on_a_pass_set_he_is_gone_and_the_lane_is_nobodys():
    (finding,) = post_vacated.check(paper(ENDS | FREE, takes={"FS": "deep middle"}, flags=["draw"]))
    assert finding.severity == "unsound" and "drops to his deep middle" in finding.text


@pytest.mark.parametrize("takes", ["#2", "#2 and flat"])
def test_a_safety_nine_yards_deep_goes_with_his_receiver_on_a_pass_set(takes):
    """In quarters he has #2, who goes out, and keeps him when a pressure leaves him the flat as well."""
    men = ENDS | {"FS": (5.0, 9.0, "right B", "alley", "free")}
    (finding,) = post_vacated.check(paper(men, takes={"FS": takes}, flags=["draw"]))
    assert finding.severity == "unsound" and finding.text.endswith("goes out and he with him.")
    assert post_vacated.check(paper(men, takes={"FS": "#2"})) == []


def test_a_hook_dropper_comes_late_and_is_there():
    men = ENDS | {"M": (1.5, 4.5, "right B", "inside", "scrape")}
    assert post_vacated.check(paper(men, takes={"M": "hook"}, flags=["draw"])) == []


def test_a_corner_from_whom_nobody_goes_out_is_there_on_a_pass_set_too():
    """Common practice: three tight ends stay in to block; the corner over them reads it and forces."""
    men = {"CB": (7.0, 5.0, "right C", "force", "force")}
    how = {"takes": {"CB": "deep third"}, "flags": ["draw"]}
    (finding,) = post_vacated.check(paper(men, passes={RIGHT: ((), ())}, **how))
    assert finding.severity == "warning"
    (finding,) = post_vacated.check(paper(men, passes={RIGHT: ((), ("Z",))}, **how))
    assert finding.severity == "unsound"
