"""Where a man fits when lanes are open, on lanes put up by hand: whoever of two equal ones comes first.

The words are those of the fits' own meaning: nearest to the ball, in front of it else behind it, mine first.
"""

from types import SimpleNamespace

import pytest

from fits.defense.roles import Group
from fits.field import LEFT, RIGHT
from fits.rules.snap import Aligned
from fits.rules.targets import NO_LANE, compile_fit


def fit(words, lanes, play=RIGHT, aim=0.0, side=None, owned=()):
    """The place of the lane that he finds, of lanes in those places, some with owners; None when he has none."""
    spaces = [SimpleNamespace(x=x) for x in lanes]
    owners = [["somebody"] if x in owned else [] for x in lanes]
    now = SimpleNamespace(lanes=SimpleNamespace(spaces=spaces), owners=owners, play=play, aim_x=aim)
    (target,) = compile_fit(words)
    found = target.find(now, SimpleNamespace(side=side))
    return None if found == NO_LANE else lanes[found]


LANES = (-4.0, -2.0, 2.0, 4.0)


@pytest.mark.parametrize(("side", "inner"), [(LEFT, -2.0), (RIGHT, 2.0)])
def test_of_two_open_lanes_on_his_side_as_near_to_the_ball_the_inner_one(side, inner):
    assert fit("open lane on my side", LANES, aim=3.0 * side, side=side) == inner
    assert fit("open lane on my side", LANES, aim=3.0 * side, side=side, owned=(inner,)) == 2 * inner


@pytest.mark.parametrize("play", [LEFT, RIGHT])
def test_a_lane_straight_over_the_ball_is_in_front_of_it(play):
    """The ball aims behind it, and the lane there is open too."""
    assert fit("open lane to the play side", (-2.0 * play, 0.0)[::play], play, aim=-2.0 * play) == 0.0
    assert fit("open lane to the play side", (-2.0 * play, 0.0)[::play], play, owned=(0.0,)) == -2.0 * play


@pytest.mark.parametrize("play", [LEFT, RIGHT])
def test_who_scrapes_gets_as_far_as_the_last_lane_to_the_play_side(play):
    """Everything inside it has an owner."""
    assert fit("scrape", LANES, play, owned=[x for x in LANES if x != 4.0 * play]) == 4.0 * play
    assert fit("scrape", LANES, play) == 2.0 * play
    assert fit("scrape", LANES, play, owned=(2.0 * play, 4.0 * play)) is None


@pytest.mark.parametrize("play", [LEFT, RIGHT])
def test_with_nothing_open_ahead_the_cutback_is_the_first_lane_behind_the_ball(play):
    assert fit("scrape or cutback", LANES, play) == 2.0 * play
    assert fit("scrape or cutback", LANES, play, owned=(2.0 * play, 4.0 * play)) == -2.0 * play
    assert fit("scrape or cutback", LANES, play, owned=LANES) is None


@pytest.mark.parametrize(("x", "side"), [(0.8, RIGHT), (-0.8, LEFT), (0.0, None)])
def test_a_man_of_the_middle_has_his_gap_where_he_stands(x, side):
    nose = Aligned("N", "N", Group.LINE, None, "1", "A", x, 0.9, (), "", False, 0, to_x=x)
    assert nose.gap_side is side
