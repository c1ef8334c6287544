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


@pytest.mark.parametrize(("call", "cracker", "end"), [
    ("odd-three-safety", "K", "S"), ("over-quarters", "R", "right E"), ("under-cover-3", "R", "E"),
    ("okie-two-gap", "K", "S"),
])  # fmt: skip
def test_52_on_toss_the_inmost_receiver_with_a_man_inside_him_cracks(see, call, cracker, end):
    """Nobody cracks across the man inside him, or a man who stands outside him."""
    look = see(call, "10-trips", "toss-crack")
    assert look.on(cracker) == [end]
    assert [role for role, b in look.blocks().items() if b.does == "crack"] == [cracker]


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


def test_57_a_doubled_man_in_his_own_gap_is_a_warning_at_the_ball_and_by_the_way_elsewhere(see):
    """Every inside run doubles somebody. It is a danger where the ball is aimed, and nobody else is there."""
    look = see("under-cover-3", "11-doubles", "inside-zone")
    assert look.on("C", "RG") == ["N", "N"] and ("right A", "warning") in look.findings("driven")
    look = see("over-quarters", "11-doubles", "power")
    assert look.on("RG", "RT") == ["T", "T"]
    assert {severity for _, severity in look.findings("driven")} <= {"hint"}


def test_58_who_is_doubled_from_inside_does_not_fill_the_gap_inside_the_double(see):
    """Draw: the guard helps the tackle on the end and leaves the A gap, where the ball is aimed. The end is on the far
    side of him. Where the nose comes into that gap, nothing is said."""
    look = see("odd-three-safety-short", "10-bunch", "qb-draw", hash_=Hash.LEFT)
    assert look.on("RG", "RT") == ["right E", "right E"]
    assert look.findings("driven") == {("right A+B", "unsound")} and look.look.band == "not sound"
    look = see("odd-three-safety", "10-bunch", "veer")
    assert look.on("RG", "RT") == ["right E", "right E"] and look.lane("right E") == look.lane("N")
    assert not look.findings("driven")


def test_59_a_tight_end_who_crosses_to_trap_is_followed_just_outside_him(see):
    """Wham: the nose is trapped and squeezes inside, so the ball runs outside the tight end: the safety over him and
    the free safety meet it there. On split zone the fullback crosses, not the tight end: the safety stays outside."""
    look = see("under-cover-3", "22-unbalanced", "wham")
    assert look.blocks()["Y"].step == "cross" and look.on("Y") == ["N"]
    assert [look.name(look.lane(r).name) for r in ("N", "SS", "FS")] == ["inside Y", "outside Y", "outside Y"]
    assert look.look.band == "sound"
    look = see("under-cover-3", "22-unbalanced", "split-zone")
    assert look.blocks()["Y"].step == "out" and (look.lane("SS"), look.man("SS").duty) == (None, "overlap")


def test_60_the_ends_pinch_the_backer_away_from_the_ball_goes_over_the_top_where_nobody_can_hurt_his_gap(see):
    """No tight end on his side: end and strong backer have B and C, he is inside the first man who pulls. With a tight
    end there the strong backer is in D and C is his."""
    look = see("under-cover-3-pinch", "20-split", "pin-pull", LEFT)
    assert look.name(look.lane("M").name) == "inside C" and not look.findings("open-lane")
    look = see("under-cover-3-pinch", "11-doubles", "pin-pull", LEFT)
    assert look.name(look.lane("M").name) == "right C"


def test_61_a_tackle_who_comes_around_to_him_takes_the_two_gap_backer_over_the_top(see):
    """Toss with a crack: the tackle pulls round to his side, so the A gap is far behind the ball; he is just inside the
    pulling tackle, and the safety who is cracked is not alone there. Where the tackle only steps out, he is not."""
    look = see("okie-two-gap", "11-ace", "toss-crack")
    assert look.blocks()["RT"].step == "pull" and look.name(look.lane("M").name) == "inside RT"
    assert look.man("M").leverage == "inside" and look.look.band == "sound"
    look = see("okie-two-gap", "11-ace", "outside-zone")
    assert look.blocks()["RT"].step == "out" and look.name(look.lane("M").name) != "inside RT"


def test_62_a_draw_gets_to_the_bubble_that_shows_or_the_next_one(see):
    """Three lanes from the ball nobody is needed on a draw: he would cross two lanes that are held. A back who leads
    takes the ball with him: the lanes on either side of him count however far they are. A zone run bends back."""
    look = see("odd-three-safety", "01-empty", "qb-draw")
    assert look.findings("open-lane") == {("left C", "warning")} and look.look.band == "sound"
    look = see("over-quarters-slant", "21-offset", "qb-draw")
    assert {("inside T", "unsound"), ("outside T", "unsound")} <= look.findings("open-lane")
    look = see("okie-two-gap-slant", "23-goal-line", "inside-zone")
    assert ("left C", "unsound") in look.findings("open-lane")
