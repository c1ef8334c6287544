"""The lane just inside or outside a blocker. Common practice: over the centre, outside is where the run goes."""

import pytest

from fits.blocking.lanes import LaneMap
from fits.field import LEFT, RIGHT


def lanes(**end_x):
    """Lanes between blockers who end there, from left to right."""
    line_up = tuple(sorted(end_x, key=end_x.__getitem__))
    return LaneMap((), line_up, {role: i for i, role in enumerate(line_up)}, end_x, (), 0, (), {})


@pytest.mark.parametrize(("x", "play", "outside", "inside"), [
    (0.0, RIGHT, 2, 1), (0.0, LEFT, 1, 2), (0.2, LEFT, 1, 2), (-0.2, RIGHT, 2, 1),  # over the ball: by the play
    (0.3, LEFT, 2, 1), (-0.3, RIGHT, 1, 2),  # beside it: by his own side
])  # fmt: skip
def test_over_the_centre_the_play_says_which_side_is_outside(x, play, outside, inside):
    made = lanes(LG=-1.6, C=x, RG=1.6)
    assert made.beside("C", True, play) == outside
    assert made.beside("C", False, play) == inside


def test_elsewhere_outside_is_away_from_the_ball_whichever_way_the_run_goes():
    made = lanes(LG=-1.6, C=0.0, RG=1.6)
    for play in (LEFT, RIGHT):
        assert (made.beside("RG", True, play), made.beside("RG", False, play)) == (3, 2)
        assert (made.beside("LG", True, play), made.beside("LG", False, play)) == (0, 1)
    assert made.beside("Z", True, RIGHT) is None


def test_the_lane_at_a_place_lies_between_the_men_on_both_sides_of_it():
    made = lanes(LG=-1.6, C=0.0, RG=1.6)
    assert [made.at(x) for x in (-3.0, -0.8, 0.8, 3.0)] == [0, 1, 2, 3]
