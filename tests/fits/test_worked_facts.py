"""Facts worked by hand before the output was looked at, on the shipped library. Common practice.

To the right, ball in the middle, unflipped, unless said; each is asked of the mirror image as well.
"""

import re

import pytest

import fits
from fits.field import LEFT, RIGHT, Hash
from tests.fits.plays import LIB

SWAP = {"LT": "RT", "LG": "RG", "RG": "LG", "RT": "LT", "left": "right", "right": "left"}
WORD = re.compile(r"\b(?:left|right|LG|RG|LT|RT)\b")


class Seen:
    """A look, or its mirror image read in the mirror: every name is the one of the unflipped look."""

    def __init__(self, look, mirrored):
        self.look, self.mirrored = look, mirrored

    def name(self, text):
        return WORD.sub(lambda m: SWAP[m[0]], text) if self.mirrored and text else text

    def blocks(self):
        return {self.name(b.role): b for b in self.look.blocks}

    def on(self, *roles):
        return [self.name(self.blocks()[r].on) for r in roles]

    def up(self, *roles):
        return {self.name(to) for r in roles if (to := self.blocks()[r].climbs_to)}

    def man(self, role):
        return next(d for d in self.look.defenders if self.name(d.role) == role)

    def x(self, x):
        return -x if self.mirrored else x

    def lane(self, role):
        d = self.man(role)
        return None if d.lane is None else self.look.lanes[d.lane]

    def findings(self, code):
        """Lane and severity of each finding of that code."""
        look = self.look
        return {(self.name(look.lanes[f.lane].name), f.severity.value) for f in look.findings if f.code == code}

    def left(self):
        return {self.name(m.name): m.why for m in self.look.left_alone}


@pytest.fixture(params=[False, True], ids=["", "mirrored"])
def see(request):
    def derive(call, formation, concept, to=RIGHT, hash_=Hash.MIDDLE):
        flip = request.param
        mirror = {Hash.LEFT: Hash.RIGHT, Hash.RIGHT: Hash.LEFT}
        look = fits.derive_look(
            LIB.call(call), LIB.formation(formation), LIB.concept(concept), flip=flip,
            to=to.other if flip else to, hash=mirror.get(hash_, hash_) if flip else hash_,
        )  # fmt: skip
        return Seen(look, flip)

    return derive


def test_1_power_against_over_the_guard_pulls_to_the_middle_backer(see):
    look = see("over-quarters", "21-pro-i", "power")
    assert look.on("LG") == ["M"] and look.blocks()["LG"].step == "pull"


def test_2_power_against_two_gap_wraps_and_the_end_man_spills(see):
    look = see("okie-two-gap", "21-pro-i", "power")
    assert look.on("LG", "F") == ["M", "S"]
    assert look.man("S").leverage == "spill"
    corner, s = look.man("right CB"), look.man("S")
    assert look.x(corner.fit_x) > look.x(s.fit_x)


def test_3_counter_kicks_the_end_man(see):
    assert see("odd-three-safety", "12-h-back", "counter").on("LG") == ["S"]


def test_4_iso_against_odd_leads_in_b(see):
    look = see("odd-three-safety", "21-pro-i", "iso")
    assert look.on("F", "RT", "Y", "LG", "C", "RG") == ["M", "right E", "S", "W", "N", "N"]
    assert 1.6 < look.x(look.blocks()["F"].x) < 3.2
    assert "left A" in [look.name(g) for g in look.lane("N").gaps]  # the A away from the double
    assert look.lane("MS").name == "outside F"
    m = look.lane("M")
    assert m.name == "inside F" or "right A" in [look.name(g) for g in m.gaps]


def test_5_iso_against_under_leads_in_b(see):
    look = see("under-cover-3", "21-pro-i", "iso")
    assert look.on("F", "C", "RG", "RT", "Y") == ["M", "N", "N", "E", "S"] and look.up("C", "RG") == {"W"}
    assert 1.6 < look.x(look.blocks()["F"].x) < 3.2


def test_6_duo_against_odd(see):
    look = see("odd-three-safety", "11-ace", "duo")
    assert look.on("Y", "RT", "C", "RG", "LG", "LT") == ["S", "right E", "N", "N", "left E", "left E"]


def test_7_duo_leaves_the_tackle_on_a_man_head_up(see):
    look = see("okie-two-gap", "11-ace", "duo")
    assert look.on("RT") == ["right E"] and look.up("RT") == set()


def test_8_pin_and_pull_blocks_the_end(see):
    look = see("okie-two-gap", "11-ace", "pin-pull")
    assert "right E" in [look.name(b.on) for b in look.look.blocks]


def test_9_a_covered_tight_end_blocks_the_man_on_him(see):
    assert see("over-quarters", "11-doubles", "inside-zone").on("Y") == ["right E"]


def test_10_trap_takes_the_three(see):
    look = see("over-quarters", "21-pro-i", "trap")
    assert look.on("LG", "C") == ["T", "N"]


def test_11_midline_reads_the_three(see):
    look = see("over-quarters", "21-pro-i", "midline")
    assert look.left()["T"] == "read" and "T" not in look.on(*look.blocks())
    assert look.on("T", "RG") == ["M", "W"]


def test_12_toss_cracks_the_overhang_and_never_the_end_inside(see):
    look = see("odd-three-safety", "11-h-back", "toss-crack")
    assert look.on("R", "RG") == ["S", "right E"]
    crack = look.x(look.blocks()["R"].x)
    assert all(look.x(b.x) > crack for r, b in look.blocks().items() if b.step == "pull")


def test_13_buck_sweep_against_under(see):
    look = see("under-cover-3", "21-pro-i", "buck-sweep")
    assert look.on("RT", "Y", "C", "RG", "LG") == ["N", "E", "T", "S", "M"]


def test_14_the_curl_man_against_trips_with_a_tight_end(see):
    look = see("under-cover-3", "11-trey", "inside-zone")
    ss, s = look.x(look.man("SS").x), look.x(look.man("S").x)
    second = sorted(look.x(p.x) for p in look.look.offense if look.x(p.x) > 5)[-2]
    assert s < ss < second


def test_15_a_bubble_away_from_two_gap_is_unsound(see):
    look = see("okie-two-gap", "20-split", "inside-zone-rpo", LEFT, Hash.LEFT)
    assert look.man("S").duty == "conflict" and not look.look.sound
    assert "no-qb-player" in [f.code for f in look.look.findings]


def test_16_nobody_is_deep_at_the_goal_line(see):
    look = see("over-quarters-two", "23-goal-line", "power")
    assert max(d.y for d in look.look.defenders) <= 8


def test_17_power_against_odd(see):
    look = see("odd-three-safety", "11-doubles", "power")
    assert look.on("Y", "RT", "LG") == ["right E", "right E", "S"]
    assert look.lane("MS").name == look.name("inside LG") and look.lane("S").name == look.name("outside LG")
    assert look.lane("W") is None or "left C" not in [look.name(g) for g in look.lane("W").gaps]


def test_18_inside_zone_against_over(see):
    look = see("over-quarters", "10-doubles", "inside-zone")
    fits_ = {r: [look.name(g) for g in look.lane(r).gaps] for r in ("M", "T", "N", "W", "left E", "right E")}
    assert fits_ == {
        "M": ["right A"], "T": ["right B"], "N": ["left A"], "W": ["left B"],
        "left E": ["left C"], "right E": ["right C"],
    }  # fmt: skip


def test_19_zone_read_leaves_the_rush_end_and_he_has_the_quarterback(see):
    look = see("under-cover-3", "11-doubles", "zone-read")
    assert look.left()["R"] == "read" and look.man("R").duty == "quarterback"


def test_20_a_wide_corner_owns_no_run_lane_on_a_draw(see):
    look = see("okie-two-gap", "11-pistol", "draw", hash_=Hash.LEFT)
    assert look.look.concept == "draw"
    for d in look.look.defenders:
        if d.position == "CB" and abs(d.x) > 10:
            assert d.lane is None


# --- of the second reading of the contact sheets, worked on paper before the blocks were mended ----------------------


@pytest.mark.parametrize("concept", ["inside-zone", "outside-zone", "power", "counter", "duo"])
def test_21_a_third_backer_over_the_end_man_is_not_counted_with_those_inside(see, concept):
    """Tackle over: J stands over Y, outside B; M and B are the men for the line, J is nobody's or Y's."""
    look = see("okie-two-gap", "12-tackle-over", concept)
    for name in ("B", "M"):
        (man,) = [r for r, b in look.blocks().items() if name in (look.name(b.on) if b.climbs_to is None else "",
                                                                   look.name(b.climbs_to))]  # fmt: skip
        assert man in ("C", "LG", "RG", "RT") or (concept, name, man) == ("counter", "M", "Y")  # Y wraps as the tackle
    on_j = [r for r, b in look.blocks().items() if "J" in (look.name(b.on), look.name(b.climbs_to))]
    assert on_j in ([], ["Y"])


@pytest.mark.parametrize("formation", ["10-trips", "11-trips"])
@pytest.mark.parametrize(("concept", "puller", "wrapper"), [
    ("power", "LG", None), ("counter", "LG", "LT"), ("buck-sweep", "RG", "LG"), ("pin-pull", "RG", None),
])  # fmt: skip
def test_22_the_slot_has_the_man_over_him_and_the_puller_the_backer(see, formation, concept, puller, wrapper):
    look = see("okie-two-gap", formation, concept)
    (slot,) = [r for r, b in look.blocks().items() if b.does == "stalk" and 5 < look.x(b.start_x) < 8]
    assert look.on(slot, puller) == ["S", "M"]
    if wrapper:
        assert look.on(wrapper) == ["B"]
    else:
        assert "B" in look.up("C", "LG", "RG")


@pytest.mark.parametrize(("call", "end"), [
    ("odd-three-safety", "S"), ("over-quarters", "NB"), ("under-cover-3", "S"), ("okie-two-gap", "S"),
])  # fmt: skip
def test_23_on_wham_the_outside_tight_end_has_the_man_whom_the_trapper_leaves(see, call, end):
    assert see(call, "22-unbalanced", "wham").on("Y", "U") == ["N", end]


def test_24_on_wham_a_fullback_has_him_when_there_is_no_other_tight_end(see):
    assert see("odd-three-safety", "21-pro-i", "wham").on("Y", "F") == ["N", "S"]
    assert see("under-cover-3", "21-gun-near", "wham").on("Y", "F") == ["N", "S"]


def test_25_on_trap_the_man_beside_the_end_blocks_him(see):
    """The tackle goes inside to a backer; a lineman is nobody's only where nobody stands beside him."""
    assert see("under-cover-3", "12-h-back", "trap", LEFT).on("H", "LT", "RG") == ["R", "W", "T"]
    assert see("over-quarters", "11-h-back", "trap").on("H", "RT", "LG") == ["right E", "M", "T"]
    assert see("over-quarters", "12-wing", "trap").on("Y", "U") == ["right E", "NB"]


@pytest.mark.parametrize(("formation", "concept"), [
    ("12-h-back", "outside-zone"), ("21-pro-i", "outside-zone"), ("11-doubles", "speed-option"),
])  # fmt: skip
def test_26_the_centre_does_not_leave_a_shade_to_climb_back_past_the_ball(see, formation, concept):
    """Under, to the left: N is on the right guard's inside, T on the left guard, M four yards behind the run."""
    look = see("under-cover-3", formation, concept, LEFT)
    assert look.on("C", "RG", "LG") == ["N", "N", "T"] and look.up("C", "RG") == {"M"}


@pytest.mark.parametrize("concept", ["counter", "qb-counter", "dart"])
@pytest.mark.parametrize("formation", ["12-ace", "12-two-tight", "13-gun"])
def test_27_where_the_tackle_pulled_the_tight_end_has_the_inside_one_of_two(see, formation, concept):
    look = see("okie-two-gap", formation, concept)
    assert look.on("U") == ["left E"] and look.left()["J"] == "back side"


def test_28_with_a_throw_outside_an_end_whom_nobody_reads_is_blocked(see):
    look = see("over-quarters", "10-doubles", "inside-zone-rpo")
    assert look.on("LT") == ["left E"] and look.left() == {"NB": "read"}  # W, off the line, is the free man
    look = see("under-cover-3", "11-doubles", "inside-zone-rpo")
    assert look.on("LT", "LG") == ["R", "T"] and look.left() == {"SS": "read"}
    assert see("over-quarters", "12-two-tight", "inside-zone-rpo").on("U") == ["left E"]  # his tight end has him


def test_29_on_power_read_the_tackle_inside_the_man_who_is_read_goes_to_the_backer(see):
    """C and LG stay on the nose: the tackle has nobody else, and the guard has the first backer."""
    look = see("odd-three-safety", "12-ace", "power-read", LEFT)
    assert look.left() == {"left E": "read"}
    assert look.on("LT", "RG", "C", "LG") == ["M", "W", "N", "N"]


@pytest.mark.parametrize("formation", ["12-ace", "12-two-tight"])
def test_30_split_zone_away_from_a_man_outside_the_crosser_is_run_to_the_other_side(see, formation):
    """Between two tight ends the one with a man outside him cannot leave; the other one can."""
    for call in ("odd-three-safety", "over-quarters", "under-cover-3", "okie-two-gap"):
        with pytest.raises(fits.NotRunnable, match="checked off"):
            see(call, formation, "split-zone")
    with pytest.raises(fits.NotRunnable, match="checked off"):
        see("okie-two-gap", formation, "split-zone", LEFT)
    look = see("under-cover-3", formation, "split-zone", LEFT)
    assert look.on("U", "LT") == ["S", "R"]


# --- of sixteen fresh sheets, four of each system, drawn with the seed 1606 ------------------------------------------


def test_31_on_toss_the_first_man_out_has_the_man_who_comes_free_by_the_crack(see):
    """The slot cracks the outside backer; the safety over him is the force, the backer inside is for the next man."""
    assert see("odd-three-safety", "20-split", "toss-crack").on("K", "RT", "T") == ["S", "SS", "M"]
    look = see("odd-three-safety", "10-doubles", "toss-crack")
    assert look.on("K", "RT") == ["S", "SS"] and look.up("C", "LG") == {"M"}


def test_32_on_toss_a_man_beside_a_wing_is_the_wings_and_the_crack_goes_to_the_safety(see):
    assert see("over-quarters", "13-gun", "toss-crack").on("H", "X", "RT") == ["NB", "SS", "right CB"]
    assert see("odd-three-safety", "12-tackle-over", "toss-crack").on("U", "Z", "RT") == ["S", "SS", "right CB"]


@pytest.mark.parametrize("concept", ["duo", "dart", "outside-zone"])
def test_33_of_two_men_at_the_edge_the_fullback_has_the_one_outside(see, concept):
    """Over: the end stands on the tight end, the nickel outside him at the line."""
    assert see("over-quarters", "22-heavy", concept).on("Y", "F") == ["right E", "NB"]


# --- of 120 looks read with the verdict hidden ------------------------------------------------------------------------


def test_34_a_two_gapper_whom_two_men_block_does_not_get_around_the_outside_one(see):
    """Tackle and tight end down on the end head up on the tackle: he has what is inside the tight end, and the weak
    backer comes over the top inside the guard who wraps."""
    look = see("okie-two-gap-sky", "13-three-tight", "power")
    assert look.on("RT", "Y") == ["right E", "right E"]
    assert look.name(look.lane("right E").name) == "right B+C"
    assert look.name(look.lane("B").name) == "inside LG"
    # one man on him: he falls off on either side, here outside the tackle
    look = see("okie-two-gap", "10-doubles", "power")
    assert look.on("RT") == ["right E"] and look.name(look.lane("right E").name) == "inside LG"


def test_35_on_iso_a_nose_doubled_from_the_play_side_keeps_the_a_and_the_backer_is_inside_the_lead(see):
    look = see("okie-two-gap", "21-offset", "iso", LEFT)
    assert look.on("LG", "C", "F", "RG") == ["N", "N", "B", "M"]
    assert look.name(look.lane("N").name) in ("left A+right A", "right A+left A")
    assert [look.name(look.lane(r).name) for r in ("B", "left E")] == ["inside F", "outside F"]


def test_36_a_safety_behind_the_backers_is_the_last_whom_a_lineman_goes_up_to(see):
    """Short yardage: the safety stands five yards behind the nose, the backers three yards deep beside him."""
    look = see("odd-three-safety-short", "12-h-back", "draw")
    assert look.on("LG", "C", "RG", "H") == ["W", "N", "MS", "M"]
    look = see("under-cover-3-short", "12-ace", "buck-sweep")
    assert look.on("C", "RG", "RT", "Y", "LG") == ["T", "S", "N", "E", "M"]
    look = see("under-cover-3-short", "21-pro-i", "dart")
    assert look.up("C") == {"W"}
    look = see("okie-two-gap-short", "21-pro-i", "inside-zone-rpo", hash_=Hash.LEFT)  # both backers have their man
    assert look.on("F") == ["M"] and look.up("C", "LG") == {"B"} and look.up("RG", "RT") == {"FS"}


def test_37_who_leaves_his_place_and_finds_nobody_at_the_edge_takes_the_first_man_to_come(see):
    """Under, the line pinched, to the weak side: every lineman is blocked down, the fullback has the backer there, so
    the guard who wraps meets the other one, who flows; who kicks out has the safety outside before the one inside."""
    look = see("under-cover-3-pinch", "21-pro-i", "power", LEFT)
    assert look.on("LT", "LG", "C", "RT", "F", "RG") == ["R", "T", "N", "E", "W", "M"]
    assert see("odd-three-safety", "21-pro-i", "dart", LEFT).on("RT", "F") == ["W", "BS"]
    assert see("over-quarters", "22-wing-i", "dart", LEFT).on("RT", "F") == ["W", "FS"]
    look = see("under-cover-3-pinch", "23-goal-line", "qb-draw", LEFT)  # both lead through a gap: nobody out wide
    assert look.on("T", "F") == ["W", "FS"]


def test_38_on_power_read_a_safety_in_the_alley_is_nobodys_read(see):
    """To the side without a tight end the end inside the tackle is the last man near the line: he is read, his tackle
    goes up. An end outside the tackle, or a man walked up outside him, stays the one who is read."""
    look = see("odd-three-safety-one-high", "21-pro-i", "power-read", LEFT)
    assert look.left()["left E"] == "read" and look.on("LT", "RG", "LG", "C") == ["M", "W", "N", "N"]
    assert see("under-cover-3", "21-pro-i", "power-read", LEFT).left()["R"] == "read"
    assert see("okie-two-gap", "21-pro-i", "power-read", LEFT).left()["J"] == "read"


# --- of the same 120 looks, of the verdict ----------------------------------------------------------------------------


def test_39_two_lanes_behind_a_run_that_does_not_bend_back_nobody_is_missed(see):
    """Power, counter, duo and midline: a lane nobody has there is said and loses nothing; beside the ball it does, and
    on a zone run, which bends back, it does as far as the man who comes across to kick."""
    for call, formation, concept, to, lane in (
        ("under-cover-3-short", "12-tackle-over", "qb-power", LEFT, "right E"),
        ("odd-three-safety", "22-unbalanced", "qb-counter", RIGHT, "right D"),
        ("odd-three-safety-one-high", "23-goal-line", "duo", LEFT, "right A"),
        ("under-cover-3", "12-tackle-over", "midline", LEFT, "right E"),
    ):
        look = see(call, formation, concept, to)
        assert look.findings("open-lane") == {(lane, "warning")} and look.look.sound
    look = see("under-cover-3-pinch", "21-offset", "dart")
    assert ("outside LT", "unsound") in look.findings("open-lane")
    look = see("okie-two-gap-slant", "23-goal-line", "inside-zone", RIGHT, Hash.LEFT)
    assert ("left C", "unsound") in look.findings("open-lane")


def test_40_the_ball_of_a_midline_does_not_bounce_to_a_soft_force(see):
    """Dive or keep, both straight up inside the tackle: an end with C outside the man in the keep's lane is enough."""
    look = see("over-quarters-short", "11-ace", "midline", RIGHT, Hash.LEFT)
    assert look.findings("force-leverage") == {("right C+D", "warning")} and look.look.sound
    look = see("under-cover-3-short", "11-trips", "power-read", LEFT, Hash.LEFT)  # the sweep is right there
    assert ("outside RG", "unsound") in look.findings("force-leverage")


def test_41_on_a_draw_a_corner_over_men_who_all_stay_in_is_the_force(see):
    look = see("under-cover-3", "13-three-tight", "draw")
    assert look.name(look.lane("right CB").name) == "right E" and look.look.sound
    assert look.findings("post-vacated") == {("right E", "warning")}


def test_42_a_tackle_whom_a_man_comes_to_trap_squeezes_and_spills(see):
    look = see("over-quarters-slant", "21-offset", "wham", hash_=Hash.LEFT)
    assert look.on("Y") == ["T"] and look.man("T").leverage == "spill"
    assert look.name(look.lane("T").name) == "inside Y" and look.look.sound
    assert see("over-quarters-slant", "21-offset", "duo", hash_=Hash.LEFT).man("T").leverage == "gap"


def test_43_who_replaces_a_cracked_force_has_to_be_there(see):
    """The weak backer runs out to the edge from inside, with the corner late behind the crack the toss is outside
    everybody; where the man cracked is no force, nobody has to replace him."""
    look = see("under-cover-3-cloud", "11-trey", "toss-crack", LEFT, Hash.LEFT)
    assert look.findings("late") == {("outside LT", "unsound")}
    assert not see("under-cover-3-cloud", "11-ace", "toss-crack", LEFT).findings("late")


# --- blocks of the same 120 looks, read by line coaches ---------------------------------------------------------------


def test_44_backers_come_before_a_safety_close_behind_them(see):
    """Short yardage: the safety stands a yard and a half behind the weak backer, inside him."""
    look = see("under-cover-3-short", "12-tackle-over", "qb-power", LEFT)
    assert look.on("RG", "T") == ["W", "R"] and look.up("LG", "Y") == {"M"}
    assert see("odd-three-safety-short", "12-tackle-over", "pin-pull").up("C", "LG") == {"W"}


def test_45_who_has_nobody_on_him_takes_the_backer_and_not_the_safety(see):
    """Odd, a safety in the box on the play side: guard and tackle have the end to M, W is the back side's."""
    look = see("odd-three-safety-one-high", "13-gun", "split-zone", hash_=Hash.LEFT)
    assert look.on("LT", "RG", "RT") == ["W", "right E", "right E"] and look.up("RG", "RT") == {"M"}
    look = see("odd-three-safety-short", "12-ace", "split-zone", LEFT)
    assert look.up("C", "RG") == {"M"} and look.up("LG", "LT") == {"W"} and look.on("Y") == ["right E"]


def test_46_the_second_who_leads_leaves_the_backer_across_the_ball_to_the_man_in_front_of_him(see):
    look = see("over-quarters-short", "21-gun-near", "qb-draw", LEFT)
    assert look.on("T", "C", "LG", "F") == ["W", "M", "N", "FS"]
    look = see("okie-two-gap", "20-pistol", "qb-draw", LEFT)  # F has nobody in the box: he has the end man
    assert look.on("T", "RG", "F") == ["B", "M", "J"]


@pytest.mark.parametrize(("formation", "concept", "wing", "kicker"), [
    ("22-wing-i", "qb-counter", "U", "LG"), ("13-three-tight", "counter-h", "H", "LG"),
    ("22-wing-i", "power", "U", "F"), ("12-wing", "buck-sweep", "U", "RG"),
])  # fmt: skip
def test_47_a_wing_goes_down_on_the_man_inside_him_and_the_corner_over_him_is_kicked(
    see, formation, concept, wing, kicker
):
    look = see("odd-three-safety", formation, concept)
    assert look.on(wing, kicker) == ["S", "right CB"]


def test_48_a_tackle_whose_man_slants_inside_sets_out_on_the_end_man(see):
    """Two backs lead on the backers, the guard has the end who comes to him."""
    look = see("okie-two-gap-slant", "11-h-back", "qb-draw")
    assert look.on("LG", "LT") == ["left E", "J"] and "J" not in look.left()


def test_49_a_man_who_turns_out_washes_an_end_down_who_crosses_his_face(see):
    """Under, the line pinched: the tackle has the end alone, so guard and centre have one man more for the backers."""
    look = see("under-cover-3-pinch", "21-offset", "dart", hash_=Hash.LEFT)
    assert look.on("RT", "RG", "LT") == ["E", "N", "M"] and look.up("C", "LG") == {"W"}
    look = see("under-cover-3-pinch", "22-heavy", "iso", LEFT, Hash.LEFT)
    assert look.on("LT", "LG") == ["R", "T"]
    # an end who slants out stays the tackle's: no backer in the alley comes before him
    look = see("okie-two-gap-slant", "11-bunch", "dart", hash_=Hash.LEFT)
    assert look.on("RT") == ["right E"] and look.left() == {"J": "back side"}


def test_50_no_down_block_passes_a_man_for_whom_the_next_blocker_stands_there(see):
    """Under, the line pinched: the guard has the nose inside him; the far backer, behind the play, is the free man."""
    look = see("under-cover-3-pinch", "11-trey", "qb-power")
    assert look.on("C", "RG", "RT", "Y", "LG", "T") == ["T", "N", "E", "E", "M", "S"]


def test_51_receivers_have_the_man_over_them_and_no_backer_in_the_box(see):
    """Trips: the safety over the inside one is his, and no one runs to the middle safety to make room."""
    assert see("under-cover-3", "11-trips-nub", "zone-read", LEFT, Hash.LEFT).on("X") == ["SS"]
    look = see("over-quarters-two", "10-bunch", "toss-crack", LEFT, Hash.LEFT)
    assert not {"M", "W"} & set(look.on("R", "K", "Z"))
    # whose own man is read goes in on the safety in the middle
    assert see("odd-three-safety", "10-trips", "zone-read", LEFT).on("R") == ["MS"]


@pytest.mark.parametrize(("call", "end"), [
    ("odd-three-safety", "S"), ("over-quarters", "right E"), ("under-cover-3", "E"), ("okie-two-gap", "S"),
])  # fmt: skip
def test_52_on_toss_from_trips_the_inside_receiver_cracks(see, call, end):
    """Nobody cracks across the man inside him."""
    assert see(call, "10-trips", "toss-crack").on("R") == [end]


def test_53_on_wham_away_from_the_trapper_the_fullback_kicks_an_end_man_whom_nobody_has(see):
    look = see("okie-two-gap", "21-pro-i", "wham", LEFT)
    assert look.on("Y", "F", "LT") == ["N", "J", "left E"]


@pytest.mark.parametrize("call", ["odd-three-safety", "under-cover-3", "okie-two-gap"])
def test_54_midline_with_nobody_on_the_guard_is_checked_off(see, call):
    with pytest.raises(fits.NotRunnable, match="checked off"):
        see(call, "21-pro-i", "midline")
    assert see("under-cover-3", "21-pro-i", "midline", LEFT).left()["T"] == "read"


def test_56_inside_a_box_the_free_safety_is_inside_the_kick(see):
    """Two-gap to the side without a tight end: the end man, the force there, boxes the kick and turns the ball in; the
    middle backer is inside the man who wraps, so the safety has the lane between the two. To a tight end the end man
    spills and the safety runs the alley."""
    look = see("okie-two-gap-sky", "20-pistol", "counter-h", LEFT)
    assert [look.man(r).leverage for r in ("J", "FS")] == ["box", "inside"]
    assert [look.name(look.lane(r).name) for r in ("J", "FS", "M")] == ["outside RG", "inside RG", "inside F"]
    assert not look.findings("open-lane") and not look.findings("crossed-neighbours")
    look = see("okie-two-gap-slant", "11-h-back", "power", LEFT)
    assert [look.name(look.lane(r).name) for r in ("J", "FS", "M")] == ["outside H", "inside H", "inside RG"]
    look = see("okie-two-gap-sky", "11-ace", "power")
    assert look.man("FS").leverage == "alley"


@pytest.mark.parametrize("concept", ["inside-zone", "power", "outside-zone"])
def test_55_who_runs_through_the_backfield_and_does_not_get_the_ball_fakes_and_blocks_nobody(concept):
    look = fits.derive_look(
        LIB.call("odd-three-safety"), LIB.formation("11-doubles"), LIB.concept(concept), motion=LIB.motions["orbit"]
    )
    (fake,) = [b for b in look.blocks if b.role == "R"]
    assert (fake.does, fake.on) == ("fake", None)
    veer = fits.derive_look(
        LIB.call("odd-three-safety"), LIB.formation("10-doubles"), LIB.concept("veer"), motion=LIB.motions["orbit"]
    )
    assert [b.does for b in veer.blocks if b.role == "R"] == ["carry"]  # there he is the man for the pitch
