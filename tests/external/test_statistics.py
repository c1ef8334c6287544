"""Our statistics against scipy, statsmodels, an apportionment package and published tables."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest

from playbook.tendencies.stats import (
    binomial_p_value,
    count_testable,
    least_p_value,
    round_to_total,
    smooth_shares,
    two_share_p_value,
    wilson_interval,
)

stats = pytest.importorskip("scipy.stats")


# Source: Newcombe 1998, Statistics in Medicine 17:857-872, table I, method 3 (score, no continuity correction), 95 %;
# read in a secondary source that quotes the table.
@pytest.mark.parametrize(
    ("hits", "n", "low", "high"),
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0000, 0.1611), (1, 29, 0.0061, 0.1718)],
)
def test_wilson_as_published(hits, n, low, high):
    interval = wilson_interval(hits, n)
    assert (round(interval.low, 4), round(interval.high, 4)) == (low, high)


# Source: scipy.stats.binomtest(...).proportion_ci(method="wilson").
@pytest.mark.parametrize("confidence", [0.8, 0.95, 0.99])
def test_wilson_as_scipy(confidence):
    for n in (1, 2, 5, 16, 29, 150, 4_000):
        for hits in sorted({0, 1, n // 3, n // 2, n - 1, n}):
            ours = wilson_interval(hits, n, confidence)
            theirs = stats.binomtest(hits, n).proportion_ci(confidence, method="wilson")
            assert (ours.low, ours.high) == pytest.approx((theirs.low, theirs.high), abs=1e-12)


# Source: statsmodels.stats.proportion.proportion_confint(method="wilson").
def test_wilson_as_statsmodels():
    proportion = pytest.importorskip("statsmodels.stats.proportion")
    for hits, n in ((14, 16), (3, 40), (100, 101)):
        low, high = proportion.proportion_confint(hits, n, method="wilson")
        assert (wilson_interval(hits, n).low, wilson_interval(hits, n).high) == pytest.approx((low, high), abs=1e-12)


# Source: the posterior mean of a Dirichlet: (6, 3, 1) with a prior of 1 each gives 7/13, 4/13, 2/13 (arithmetic).
def test_dirichlet_as_published():
    assert smooth_shares([6, 3, 1], 1) == pytest.approx([7 / 13, 4 / 13, 2 / 13], abs=1e-15)


# Source: scipy.stats.dirichlet(alpha).mean().
def test_dirichlet_as_scipy():
    dice = random.Random(3)
    for _ in range(50):
        counts = [dice.randint(0, 60) for _ in range(dice.randint(2, 12))]
        priors = [dice.choice((0.1, 0.5, 1, 2)) for _ in counts]
        alpha = [count + prior for count, prior in zip(counts, priors, strict=True)]
        assert smooth_shares(counts, priors) == pytest.approx(list(stats.dirichlet(alpha).mean()), abs=1e-12)


# Source: scipy.stats.fisher_exact over every table with the same margins.
def test_the_least_p_value_is_that_of_the_extreme_table():
    dice = random.Random(6)
    for _ in range(60):
        n, other_n = dice.randint(1, 30), dice.randint(1, 30)
        hits, other_hits = dice.randint(0, n), dice.randint(0, other_n)
        all_hits = hits + other_hits
        every = [
            stats.fisher_exact([[k, n - k], [all_hits - k, other_n - all_hits + k]]).pvalue
            for k in range(max(0, all_hits - other_n), min(n, all_hits) + 1)
        ]
        least = least_p_value(hits, n, other_hits, other_n)
        assert least <= min(every) * (1 + 1e-9)
        assert min(every) <= 2 * least * (1 + 1e-9), "both ends together at most"


# Source: Tarone 1990, Biometrics 46:515-522: the smallest k for which no more than k comparisons could reach limit / k.
def test_comparisons_that_cannot_be_significant_do_not_count():
    dice = random.Random(9)
    for _ in range(100):
        least = [dice.random() ** dice.choice((1, 4, 12)) for _ in range(dice.randint(1, 200))]
        by_hand = next(k for k in range(1, 1_000) if sum(value <= 0.05 / k for value in least) <= k)
        assert count_testable(least, 0.05) == by_hand
    assert count_testable([], 0.05) == 1


# Source: the textbook example of Hare quotas, 100,000 votes and 10 seats.
def test_largest_remainder_as_published():
    assert round_to_total([47000, 16000, 15900, 12000, 6000, 3100], 10) == [5, 2, 1, 1, 1, 0]


# Source: the package `apportionment`, method "quota"/"largest_remainder".
def test_largest_remainder_as_the_package():
    methods = pytest.importorskip("apportionment.methods")
    dice = random.Random(8)
    compared = 0
    for _ in range(200):
        votes = [dice.randint(1, 5_000) for _ in range(dice.randint(2, 9))]
        seats = dice.choice((10, 100))
        remainders = [Fraction(vote * seats, sum(votes)) % 1 for vote in votes]
        if len(set(remainders)) < len(remainders):
            continue  # ties are broken by rules of one's own
        assert round_to_total(votes, seats) == list(methods.compute("largest_remainder", votes, seats, verbose=False))
        compared += 1
    assert compared > 100


def test_whole_percentages_always_add_up():
    dice = random.Random(2)
    for _ in range(300):
        weights = [dice.choice((0, dice.random(), dice.randint(0, 9))) for _ in range(dice.randint(1, 15))]
        assert sum(round_to_total(weights)) == (100 if sum(weights) else 0)


# Source: scipy.stats.binomtest (two-sided, exact).
def test_binomial_as_scipy():
    for n in (1, 8, 16, 60, 400):
        for share in (0.05, 0.38, 0.5, 0.93):
            for hits in sorted({0, 1, n // 2, n - 1, n}):
                expected = stats.binomtest(hits, n, share).pvalue
                assert binomial_p_value(hits, n, share) == pytest.approx(expected, rel=1e-6, abs=1e-12)


# Source: scipy.stats.fisher_exact (two-sided).
def test_two_shares_as_scipy():
    dice = random.Random(9)
    for _ in range(200):
        n, other_n = dice.randint(1, 60), dice.randint(1, 300)
        hits, other_hits = dice.randint(0, n), dice.randint(0, other_n)
        expected = stats.fisher_exact([[hits, n - hits], [other_hits, other_n - other_hits]]).pvalue
        assert two_share_p_value(hits, n, other_hits, other_n) == pytest.approx(expected, rel=1e-5, abs=1e-12)


# Source: statsmodels.stats.proportion.proportions_ztest.
def test_two_large_shares_as_statsmodels():
    proportion = pytest.importorskip("statsmodels.stats.proportion")
    for hits, n, other_hits, other_n in ((500, 1_000, 450, 1_000), (4_100, 5_000, 8_000, 10_400), (401, 401, 800, 801)):
        expected = proportion.proportions_ztest([hits, other_hits], [n, other_n])[1]
        assert two_share_p_value(hits, n, other_hits, other_n) == pytest.approx(expected, rel=1e-9)


def test_impossible_counts_are_refused():
    with pytest.raises(ValueError, match="expected 0 <= hits <= n"):
        wilson_interval(5, 4)
    with pytest.raises(ValueError, match="one prior per count"):
        smooth_shares([1, 2], [1])
    with pytest.raises(ValueError, match="0 or more"):
        round_to_total([1, -1])
