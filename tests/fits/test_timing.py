import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fits.errors import BadRequest
from fits.timing import (
    LEVELS,
    PROFESSIONAL,
    REACTION_S,
    STANDS_FOR,
    Speed,
    elapsed_tau,
    lambert_w0,
    level_pace,
    speed_from_splits,
)

speeds = st.builds(Speed, st.floats(4, 14), st.floats(0.3, 1.6))


@given(speeds, st.floats(0, 60))
def test_time_and_distance_are_inverse(speed, distance):
    assert speed.distance_yd(speed.time_to_s(distance)) == pytest.approx(distance, rel=1e-12, abs=1e-12)


@given(speeds, st.floats(0, 10))
def test_distance_and_time_are_inverse(speed, time_s):
    assert speed.time_to_s(speed.distance_yd(time_s)) == pytest.approx(time_s, abs=1e-7)


@given(st.floats(1e-12, 1e4), st.floats(1.0001, 2))
def test_farther_takes_longer(distance, factor):
    assert elapsed_tau(distance * factor) > elapsed_tau(distance)


@pytest.mark.parametrize("seam", [0.002, 1.0])
def test_no_step_where_the_start_values_change(seam):
    below, above = elapsed_tau(math.nextafter(seam, 0)), elapsed_tau(seam)
    assert above == pytest.approx(below, rel=1e-13)


def test_a_man_who_has_arrived_needs_no_time():
    assert Speed(9.0, 0.8).time_to_s(0) == Speed(9.0, 0.8).time_to_s(-1) == 0
    assert Speed(9.0, 0.8).distance_yd(-1) == 0


def test_speed_starts_at_nothing_and_ends_at_the_top():
    speed = Speed(9.0, 0.8)
    assert speed.speed_yd_s(0) == 0
    assert speed.speed_yd_s(0.8) == pytest.approx(9 * (1 - 1 / math.e))
    assert speed.speed_yd_s(30) == pytest.approx(9)


@pytest.mark.parametrize("bad", [0, -1, math.nan, math.inf])
def test_a_speed_is_two_positive_numbers(bad):
    with pytest.raises(BadRequest, match="v_yd_s: expected a positive number"):
        Speed(bad, 0.8)
    with pytest.raises(BadRequest, match="tau_s: expected a positive number"):
        Speed(9.0, bad)


@pytest.mark.parametrize("z", [-0.4, 0.1, math.nan])
def test_w0_outside_its_range(z):
    with pytest.raises(ValueError, match="from -1/e to 0"):
        lambert_w0(z)


@given(speeds)
def test_splits_give_the_sprinter_back(speed):
    fitted = speed_from_splits(speed.time_to_s(10), speed.time_to_s(40))
    assert fitted.v_yd_s == pytest.approx(speed.v_yd_s, rel=1e-7)
    assert fitted.tau_s == pytest.approx(speed.tau_s, rel=1e-7)


@pytest.mark.parametrize(
    ("ten", "forty", "expected"),
    [
        (1.6, 3.2, "between about 2 and 4 times"),
        (1.6, 6.5, "between about 2 and 4 times"),
        (4.6, 1.6, "between about 2 and 4 times"),  # swapped columns
        (0, 4.6, "10-yard time: expected a positive"),
        (1.6, math.nan, "40-yard time: expected a positive"),
        (math.inf, 4.6, "10-yard time: expected a positive"),
    ],
)
def test_impossible_splits_are_refused(ten, forty, expected):
    with pytest.raises(BadRequest, match=expected):
        speed_from_splits(ten, forty)


def test_every_group_has_a_speed_at_every_level():
    for level, factor in LEVELS.items():
        pace = level_pace(level)
        assert set(pace.speeds) == set(STANDS_FOR) and set(REACTION_S) <= set(STANDS_FOR)
        for group, speed in pace.speeds.items():
            assert speed.v_yd_s == pytest.approx(PROFESSIONAL[STANDS_FOR[group]].speed.v_yd_s * factor)


def test_slower_levels_arrive_later():
    arrivals = [level_pace(level).arrival_s("linebacker", 8) for level in ("professional", "college", "high-school")]
    assert arrivals == sorted(set(arrivals))


def test_arrival_is_reaction_then_sprint_and_the_roster_comes_first():
    pace, slow = level_pace(), Speed(7.0, 0.9)
    assert pace.arrival_s("line", 0) == REACTION_S["line"]
    assert pace.arrival_s("line", 5, slow) == REACTION_S["line"] + slow.time_to_s(5)


def test_a_level_is_known_or_a_sane_factor():
    assert level_pace(factor=0.9).speeds["line"].v_yd_s < level_pace().speeds["line"].v_yd_s
    with pytest.raises(BadRequest, match="expected one of professional, college, high-school"):
        level_pace("backyard")
    for factor in (0, 3, math.nan):
        with pytest.raises(BadRequest, match=r"from 0\.3 to 1\.2"):
            level_pace(factor=factor)
