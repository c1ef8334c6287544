"""Fronts put up by hand, each to the right and in the mirror: what a blocker sees there, and who takes whom.

Right means to the side of the run or of the man meant; common practice unless it says otherwise.
"""

from typing import NamedTuple

import pytest

import fits
from fits.blocking.build import build_concept
from fits.blocking.cast import plan_concept
from fits.blocking.conditions import compile_block_when
from fits.blocking.levels import read_front
from fits.blocking.resolve import resolve_blocks
from fits.blocking.seek import Claims, alley_man
from fits.derive.pipeline import snap_offense
from fits.field import LEFT, RIGHT
from tests.fits.plays import LIB, mirror_text

SIDES = pytest.mark.parametrize("side", [RIGHT, LEFT], ids=["right", "mirrored"])


class Spot(NamedTuple):
    """A defender who stays where he is."""

    name: str
    x: float
    y: float

    @property
    def to_x(self):
        return self.x

    @property
    def path(self):
        return ()


def put_up(side, formation, **men):
    """The offense and the front, as drawn to the right or in the mirror; a man at the line is just his x."""
    offense = snap_offense(LIB.formation(formation), flip=side is LEFT).offense
    places = {name: at if isinstance(at, tuple) else (at, 0.9) for name, at in men.items()}
    return offense, read_front([Spot(name, x * side, y) for name, (x, y) in places.items()], offense)


def blocks_of(side, concept, formation, **men):
    """What everybody does when the run goes to that side, by what he is called when it goes to the right."""
    offense, front = put_up(side, formation, **men)
    jobs = resolve_blocks(plan_concept(concept, offense, side), front).jobs
    return {role if side is RIGHT else mirror_text(role): job for role, job in jobs.items()}


def on(jobs, *roles):
    """Whom those men have."""
    return tuple(None if jobs[role].on is None else jobs[role].on.name for role in roles)


def changed(concept, **does):
    """A shipped concept in which men with those labels (`back_guard`) do something else."""
    shape = LIB.concept(concept).as_dict()
    first = [{"who": who.replace("_", " "), "when": "", "does": what} for who, what in does.items()]
    return build_concept(shape | {"rules": first + shape["rules"]})


# --- what a blocker sees ------------------------------------------------------------------------------------

SEES = [  # tight end on the right; the guard stands at 1.6, the tackle at 3.2, the tight end at 4.8
    ("man well inside", "RT", (2.5, 4.8), True),
    ("man well inside", "RT", (2.5,), False),  # nobody outside him
    ("man well inside", "RT", (1.9, 4.8), False),  # the guard reaches him
    ("man inside", "RT", (2.4,), True),
    ("man inside", "RT", (3.2,), False),  # head up
    ("man inside", "RG", (0.2,), False),  # a nose
    ("man outside", "RT", (4.0,), True),
    ("man outside", "RT", (3.2,), False),
    ("man outside", "RT", (2.4,), False),
    ("man outside", "RT", (5.2,), False),  # over the tight end's outside: two yards away
    ("covered or reached", "RG", (1.6,), True),
    ("covered or reached", "RG", (3.0,), True),  # up to the inside of the tackle
    ("covered or reached", "RG", (3.6,), False),  # the tackle's
    ("covered or reached", "RG", (0.4,), False),  # the centre's
    ("covered outside", "RG", (2.1,), True),
    ("covered outside", "RG", (1.1,), False),
    ("covered inside", "RG", (1.1,), True),
    ("covered inside", "RG", (2.1,), False),
    ("covered head up", "RG", (1.7,), True),
    ("covered head up", "RG", (2.1,), False),
    ("covered head up", "RG", (3.2,), False),  # over the tackle: nobody is over the guard
]


@SIDES
@pytest.mark.parametrize(("when", "role", "line", "holds"), SEES)
def test_what_he_sees_at_the_line(when, role, line, holds, side):
    offense, front = put_up(side, "11-doubles", **{f"D{i}": x for i, x in enumerate(line)})
    plan = plan_concept(LIB.concept("power"), offense, side)
    man = offense.by_role[role if side is RIGHT else mirror_text(role)]
    (test,) = compile_block_when(when)
    assert test(plan, front, man) is holds


@SIDES
def test_an_end_three_yards_outside_the_tight_end_is_at_the_line(side):
    _, front = put_up(side, "11-doubles", E=7.8, CB=(12.0, 0.9))
    assert [m.name for m in front.first] == ["E"]


# --- who takes whom -----------------------------------------------------------------------------------------


@SIDES
def test_who_wraps_has_the_inside_backer_not_the_one_outside_the_last_blocker(side):
    """No tight end on that side: a third backer on the tackle's outside is not the inside backer."""
    line = {"LE": -4.0, "N": -0.8, "T": 2.0, "RE": 4.0}
    jobs = blocks_of(side, LIB.concept("counter"), "10-doubles", **line, W=(-2.5, 4.5), M=(1.0, 4.5), S=(3.3, 4.5))
    assert jobs["LT"].verb.text == "pull and wrap"
    assert on(jobs, "LT") == ("M",)


@SIDES
def test_who_wraps_chooses_before_who_leads_outside(side):
    """With nobody outside, the man who leads around the end goes up on the next backer after the wrap has his."""
    concept = changed("counter-h", back_guard="pull and kick", tailback="lead outside", quarterback="carry")
    jobs = blocks_of(side, concept, "12-h-back", LE=-3.6, N=0.0, RE=3.6, W=(-1.8, 4.5), M=(1.8, 4.5))
    assert on(jobs, "H") == ("M",)


@SIDES
def test_a_puller_goes_around_a_crack(side):
    """The receiver comes in on his man, so the guard who turns up ends outside that block."""
    concept = changed("power", play_receiver="crack")
    men = {"LE": -3.6, "N": 0.0, "T": 2.4, "E": 4.0}
    jobs = blocks_of(side, concept, "21-pro-i", **men, S=(6.5, 3.0), M=(1.5, 4.5), W=(-1.5, 4.5))
    cracks = [job for job in jobs.values() if job.verb.text == "crack"]
    assert len(cracks) == 1 and cracks[0].on.name == "S"
    assert jobs["LG"].verb.text == "pull and wrap"
    assert abs(jobs["LG"].end_x) > abs(cracks[0].end_x)


@SIDES
def test_a_tight_end_with_nobody_at_the_line_has_the_near_man_of_the_alley(side):
    """Of a man near the line and one deep he takes the near one, also when the deep man stands nearer to him inside."""
    for deep_x in (7.0, 6.0):
        offense, front = put_up(side, "11-doubles", E=3.6, S=(7.0, 4.0), SS=(deep_x, 9.0))
        plan = plan_concept(LIB.concept("power-read"), offense, side)
        found = alley_man(Claims(plan, front, {}), offense.by_role["Y"], side)
        assert min(found)[1].name == "S"


@SIDES
def test_a_receiver_gets_the_man_over_him_back_from_a_puller(side):
    """The inmost of three would have nobody: the guard leaves him his man and goes up on the play side backer."""
    how = {"to": side, "flip": side is LEFT}
    look = fits.derive_look(LIB.call("okie-two-gap"), LIB.formation("00-empty"), LIB.concept("qb-counter"), **how)
    has = {b.role if side is RIGHT else mirror_text(b.role): b.on for b in look.blocks}
    assert (has["J"], has["LG"], has["LT"]) == ("S", "M", "B")


@SIDES
def test_the_second_who_leads_leaves_the_other_backer_to_the_guard_in_front_of_him(side):
    """Quarterback draw: the H-back has the play side backer, the guard the other one; the tailback goes on inside, to
    the safety over the ball and not to one outside."""
    how = {"to": side, "flip": side is LEFT}
    look = fits.derive_look(LIB.call("okie-two-gap-sky"), LIB.formation("11-h-back"), LIB.concept("qb-draw"), **how)
    has = {b.role if side is RIGHT else mirror_text(b.role): b.on for b in look.blocks}
    assert (has["H"], has["LG"], has["T"]) == ("M", "B", "FS")


@SIDES
def test_two_who_lead_have_two_backers_who_both_went_away_from_the_run(side):
    """Nobody is in front of them on the play side, so nobody there comes first: each goes on one of the two."""
    men = {"LE": -3.6, "N": 0.0, "RE": 3.6, "W": (-2.4, 4.5), "M": (-1.0, 4.5)}
    jobs = blocks_of(side, LIB.concept("qb-draw"), "11-h-back", **men)
    assert set(on(jobs, "T", "H")) == {"W", "M"}


@SIDES
def test_every_gap_is_in_a_lane_up_to_both_edges(side):
    how = {"to": side, "flip": side is LEFT}
    call = LIB.call("odd-three-safety")
    look = fits.derive_look(call, LIB.formation("11-doubles"), LIB.concept("inside-zone"), **how)
    gaps = [gap if side is RIGHT else mirror_text(gap) for lane in look.lanes for gap in lane.gaps]
    assert sorted(gaps) == ["left A", "left B", "left C", "right A", "right B", "right C", "right D"]
