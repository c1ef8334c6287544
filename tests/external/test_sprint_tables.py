"""The sprint model against published tables and against scipy."""

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import lambertw

from fits.timing import PROFESSIONAL, YARD_M, Speed, elapsed_tau, speed_from_splits


def metres(v_m_s, tau_s):
    return Speed(v_m_s / YARD_M, tau_s)


# Source: README of the R package `shorts` (M. Jovanovic, MIT licence): V = 9 m/s, a0 = 7 m/s2,
# timing starts 0.3 m after the start of the sprint.
SHIFTED = {5: 1.158, 10: 1.893, 15: 2.541, 20: 3.149, 30: 4.313, 40: 5.444}
# Source: computed from the model: V = 9 m/s, tau = 1 s.
COURSE = {1: (5.6891, 3.3109), 2: (7.7820, 10.2180), 5: (8.9394, 36.0606)}
# Source: computed from the model: V = 8 m/s, a0 = 7.5 m/s2.
YARDS = {10: 2.0542, 20: 3.3045, 40: 5.6332}


@pytest.mark.parametrize(("metre", "time_s"), SHIFTED.items())
def test_times_of_the_shorts_readme(metre, time_s):
    runner = metres(9, 9 / 7)
    start = runner.time_to_s(0.3 / YARD_M)
    assert runner.time_to_s((metre + 0.3) / YARD_M) - start == pytest.approx(time_s, abs=5e-4)


@pytest.mark.parametrize(("time_s", "expected"), COURSE.items())
def test_speed_and_distance_in_time(time_s, expected):
    runner = metres(9, 1)
    assert runner.speed_yd_s(time_s) * YARD_M == pytest.approx(expected[0], abs=5e-5)
    assert runner.distance_yd(time_s) * YARD_M == pytest.approx(expected[1], abs=5e-5)


@pytest.mark.parametrize(("yard", "time_s"), YARDS.items())
def test_times_in_yards(yard, time_s):
    assert metres(8, 8 / 7.5).time_to_s(yard) == pytest.approx(time_s, abs=5e-5)


@pytest.mark.parametrize(("position", "splits"), PROFESSIONAL.items())
def test_professional_medians(position, splits):
    """Source: combine medians (secondary), V and tau computed from them."""
    fitted = speed_from_splits(splits.ten_yd_s, splits.forty_yd_s)
    assert fitted.v_yd_s * YARD_M == pytest.approx(splits.v_m_s, abs=5e-4)
    assert fitted.tau_s == pytest.approx(splits.tau_s, abs=5e-4)
    assert splits.speed.time_to_s(40) == pytest.approx(splits.forty_yd_s, abs=5e-3)


def test_median_tau_is_near_the_published_one():
    """Source: doi 10.1519/jsc.0000000000002081 (abstract): combine 2016, tau 0.768-0.773 s, sd 0.07."""
    taus = [s.tau_s for s in PROFESSIONAL.values()]
    assert abs(np.mean(taus) - 0.77) < 0.07


def test_time_is_the_formula_with_lambertw():
    """Source: `scipy.special.lambertw`; t(d) = tau W0(-exp(-d/(V tau) - 1)) + d/V + tau (Samozino et al.; `shorts`)."""
    for v, tau in ((7.0, 0.6), (9.5, 0.8), (11.0, 1.3)):
        runner = Speed(v, tau)
        distances = np.linspace(0.01, 60, 2000)
        w = lambertw(-np.exp(-distances / (v * tau) - 1)).real
        expected = tau * w + distances / v + tau
        ours = [runner.time_to_s(d) for d in distances.tolist()]
        np.testing.assert_allclose(ours, expected, rtol=0, atol=1e-9)


def test_the_root_is_scipys_lambert_w():
    """Source: `scipy.special.lambertw`, principal branch, away from its branch point where it loses digits."""
    d = np.logspace(-2, 2.5, 500)
    expected = d + 1 + lambertw(-np.exp(-1 - d)).real
    np.testing.assert_allclose([elapsed_tau(x) for x in d.tolist()], expected, rtol=1e-9)


def test_root_is_the_one_a_bracketing_solver_finds():
    """Source: `scipy.optimize.brentq` on the distance equation itself."""
    for distance in (0.05, 0.5, 0.999, 1.0, 1.7, 6.0, 40.0):
        root = brentq(lambda s, d=distance: s + np.expm1(-s) - d, 0, distance + 2, xtol=1e-14)
        assert elapsed_tau(distance) == pytest.approx(root, rel=1e-12)
