"""driven: the only man of a lane is doubled, or moved out of it by the man who comes for him."""

from fits.audit.checks import driven
from fits.field import LEFT
from tests.fits.audit.paper import paper

# Common practice. A nose head up whom centre and right guard double holds the A away from the double; sent into the
# A between the two he is driven off. A three-technique doubled by guard and tackle stands in his B: he must hold it.
NOSE = (0.0, 1.0)


def test_a_nose_sent_past_the_double():
    """Common practice: two men on him, and his gap lies beyond both of them."""
    men = {"N": (*NOSE, "right B", "gap", "gap")}
    (finding,) = driven.check(paper(men, blocks={"N": ["C", "LG"]}, climbs=["C"]))
    assert (finding.severity, finding.roles) == ("unsound", ("N",))
    assert finding.text == "C and LG double N, who is alone in right B: the two drive him off it."


def test_a_nose_in_the_seam_must_hold_it():
    """Common practice: down and back block on the nose, he holds the front side A; it opens when one goes up."""
    men = {"N": (*NOSE, "right A", "gap", "gap")}
    (finding,) = driven.check(paper(men, blocks={"N": ["C", "RG"]}, climbs=["C"]))
    assert finding.severity == "warning"


def test_while_both_stay_on_him_their_seam_is_shut():
    men = {"N": (*NOSE, "right A", "gap", "gap")}
    (finding,) = driven.check(paper(men, blocks={"N": ["C", "RG"]}))
    assert finding.severity == "warning"


def test_a_nose_who_lags_behind_a_zone_stays_beside_the_man_from_the_back_side():
    men = {"N": (*NOSE, "left A", "cutback", "gap")}
    (finding,) = driven.check(paper(men, blocks={"N": ["C", "LG"]}, climbs=["C"]))
    assert finding.severity == "hint"


def test_a_slant_takes_him_where_he_belongs():
    """An end over the tackle whose gap is two men away is driven off it; slanted into B he holds it."""
    far = {"E": (3.2, 1.0, "left A", "gap", "gap")}
    near = {"E": (3.2, 1.0, "right B", "gap", "gap")}
    blocks, held = {"E": ["RG", "RT"]}, {"E": 2.4}
    driven_off = paper(far, blocks=blocks, climbs=["RG"], play=LEFT)
    slanted = paper(near, blocks=blocks, climbs=["RG"], play=LEFT, moved=held)
    assert [f.severity for f in driven.check(driven_off)] == ["unsound"]
    assert [f.severity for f in driven.check(slanted)] == ["hint"]


def test_who_holds_the_gap_away_from_the_double_is_a_hint():
    men = {"N": (*NOSE, "left A", "gap", "gap")}
    (finding,) = driven.check(paper(men, blocks={"N": ["C", "RG"]}, climbs=["C"]))
    assert finding.severity == "hint" and finding.text.endswith("alone in left A: he must hold it.")


def test_a_three_technique_in_his_own_gap_is_a_warning_where_the_ball_is_aimed():
    """Common practice: every run doubles somebody; it matters at the point of attack, elsewhere it is by the way."""
    men = {"T": (2.1, 1.0, "right B", "gap", "gap")}
    for where, severity in (("right B", "warning"), ("right A", "hint"), ("right C", "hint")):
        (finding,) = driven.check(paper(men, blocks={"T": ["RG", "RT"]}, threats=(("run", "T", where),)))
        assert finding.severity == severity, where


def test_a_double_that_stands_in_the_lane_keeps_him_out_of_its_other_half():
    """A lead turns up beside the centre, guard and tackle double the man over the tackle: between the two is room
    for the ball, and the man is on the far side of the guard."""
    men = {"E": (2.8, 1.0, "outside T", "gap", "gap")}
    said = {"kicks": {"T": ("M", 0.6)}, "threats": (("run", "QB", "outside T"),)}
    look = paper(men, blocks={"E": ["RG", "RT"]}, **said)
    lane = look.lanes[look.by_role["E"].lane]
    lane.right = "RT"  # the guard stays on the double: he makes no lane of his own
    (finding,) = driven.check(look)
    assert finding.severity == "unsound" and finding.text.endswith("outside T: RG keeps him out of half of it.")
    lane.right = "RG"
    (finding,) = driven.check(look)
    assert not finding.text.endswith("half of it.")


def test_one_blocker_or_another_man_in_the_lane_or_two_gaps_are_nothing():
    alone = {"N": (*NOSE, "right A", "gap", "gap")}
    assert driven.check(paper(alone, blocks={"N": ["C"]})) == []
    with_m = alone | {"M": (0.5, 4.5, "right A", "gap", "gap")}
    assert driven.check(paper(with_m, blocks={"N": ["C", "RG"]})) == []
    two = {"N": (*NOSE, "right A", "head up", "two-gap")}
    assert driven.check(paper(two, blocks={"N": ["C", "RG"]})) == []


# A kick comes from inside and moves the end out. Who has the lane inside it has to spill (wrong-arm) or squeeze it.
def test_a_kicked_end_with_the_lane_inside_the_kick_must_spill():
    men = {"E": (4.6, 1.0, "inside T", "gap", "gap")}
    (finding,) = driven.check(paper(men, kicks={"T": ("E", 4.4)}))
    assert finding.severity == "unsound" and finding.roles == ("E",)
    assert finding.text == "T takes on E, who is alone inside him: he has to squeeze or spill."
    spilled = {"E": (4.6, 1.0, "inside T", "spill", "gap")}
    assert driven.check(paper(spilled, kicks={"T": ("E", 4.4)})) == []
    boxed = {"E": (4.6, 1.0, "outside T", "box", "gap")}
    assert driven.check(paper(boxed, kicks={"T": ("E", 4.4)})) == []


def test_a_backer_meets_a_lead_head_on():
    men = {"M": (4.0, 4.5, "inside T", "gap", "gap")}
    assert driven.check(paper(men, kicks={"T": ("M", 4.4)})) == []


def test_on_the_line_he_is_moved_and_behind_it_he_meets_him_head_on():
    """Common practice: linemen stand within two yards of the ball, backers do not."""
    for y, codes in ((2.0, 1), (2.5, 0)):
        men = {"E": (4.6, y, "inside T", "gap", "gap")}
        assert len(driven.check(paper(men, kicks={"T": ("E", 4.4)}))) == codes, y


def test_a_man_beside_the_double_whose_gap_is_past_both_is_driven_off():
    inside = {"T": (1.0, 1.0, "right B", "gap", "gap")}
    (finding,) = driven.check(paper(inside, blocks={"T": ["RG", "RT"]}))
    assert finding.severity == "unsound"
    outside = {"T": (4.0, 1.0, "right B", "gap", "gap")}
    (finding,) = driven.check(paper(outside, blocks={"T": ["RG", "RT"]}))
    assert finding.severity == "unsound"
