import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fits.errors import BadRequest
from fits.timing import (
    FIELD_TAU,
    FIELD_TOP,
    LEVELS,
    PROFESSIONAL,
    STANDS_FOR,
    Speed,
    elapsed_tau,
    first_s,
    level_pace,
    on_field,
    read_s,
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


@given(speeds, st.floats(0, 0.99))
def test_a_run_up_is_the_distance_to_a_speed(speed, share):
    run_up = speed.run_up_yd(share * speed.v_yd_s)
    assert speed.speed_yd_s(speed.time_to_s(run_up)) == pytest.approx(share * speed.v_yd_s, rel=1e-6, abs=1e-9)


def test_every_group_has_a_speed_at_every_level():
    for level, factor in LEVELS.items():
        pace = level_pace(level)
        assert set(pace.speeds) == set(STANDS_FOR)
        for group, speed in pace.speeds.items():
            track = PROFESSIONAL[STANDS_FOR[group]].speed
            assert speed.v_yd_s == pytest.approx(track.v_yd_s * factor * FIELD_TOP)
            assert speed.tau_s == pytest.approx(track.tau_s * FIELD_TAU)


def test_slower_levels_run_longer():
    runs = [level_pace(level).speed("linebacker").time_to_s(8) for level in ("professional", "college", "high-school")]
    assert runs == sorted(set(runs))


def test_a_mans_own_track_speed_comes_before_his_groups():
    pace, slow = level_pace(), Speed(7.0, 0.9)
    assert pace.speed("line") == pace.speeds["line"]
    assert pace.speed("line", slow) == on_field(slow) == Speed(7.0 * FIELD_TOP, 0.9 * FIELD_TAU)


def test_who_stands_deeper_moves_later_up_to_a_limit():
    times = [first_s("secondary", y) for y in (0, 3.64, 6, 9, 13.08, 20)]
    assert times == sorted(times) and times[0] == times[1] and times[-1] == times[-2]
    assert first_s("linebacker", 4) == first_s("linebacker", 9)


def test_every_further_key_takes_time_up_to_a_picture_of_three():
    times = [read_s("linebacker", n) for n in range(6)]
    assert times == sorted(times) and times[0] == 0 and len(set(times)) == 4


def test_a_level_is_known_or_a_sane_factor():
    assert level_pace(factor=0.9).speeds["line"].v_yd_s < level_pace().speeds["line"].v_yd_s
    with pytest.raises(BadRequest, match="expected one of professional, college, high-school"):
        level_pace("backyard")
    for factor in (0, 3, math.nan):
        with pytest.raises(BadRequest, match=r"from 0\.3 to 1\.2"):
            level_pace(factor=factor)
