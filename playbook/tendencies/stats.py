"""The statistics of small samples: intervals, smoothing, many tests at once, whole percentages.

Standard library only. The normal quantile and error function come from `statistics` and `math`.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist

CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True)
class Interval:
    """A share's confidence interval, 0 to 1."""

    low: float
    high: float

    @property
    def text(self) -> str:
        """Whole percent for people, such as `likely between 64 and 97 %`."""
        return f"likely between {round(100 * self.low)} and {round(100 * self.high)} %"


@lru_cache(maxsize=50_000)
def wilson_interval(hits: float, n: float, confidence: float = CONFIDENCE) -> Interval:
    """Returns the Wilson score interval of hits in n, without continuity correction; 0 to 1 for n = 0.

    Numbers need not be whole: weighted counts have parts.

    Source: Wilson 1927, J Am Stat Assoc 22:209-212; method 3 of Newcombe 1998, Stat Med 17:857-872.

    >>> wilson_interval(14, 16).text
    'likely between 64 and 97 %'
    """
    if not 0 <= hits <= n:
        raise ValueError(f"expected 0 <= hits <= n, got {hits} of {n}")
    if n == 0:
        return Interval(0.0, 1.0)
    z = _quantile(confidence)
    share, spread = hits / n, z * z / n
    middle = (share + spread / 2) / (1 + spread)
    half = z / (1 + spread) * math.sqrt(share * (1 - share) / n + spread / (4 * n))
    low = 0.0 if hits == 0 else max(0.0, middle - half)
    high = 1.0 if hits == n else min(1.0, middle + half)
    return Interval(low, high)


@lru_cache(maxsize=16)
def _quantile(confidence: float) -> float:
    return NormalDist().inv_cdf((1 + confidence) / 2)


def smooth_shares(counts: Sequence[float], prior: float | Sequence[float] = 1.0) -> list[float]:
    """Returns the posterior mean shares under a Dirichlet prior: (count + prior) / (all counts + all priors).

    `prior` is one number for every category, or one per category: how often each is taken as seen beforehand.

    >>> [round(share, 4) for share in smooth_shares([6, 3, 1])]
    [0.5385, 0.3077, 0.1538]
    """
    priors = [float(prior)] * len(counts) if isinstance(prior, (int, float)) else [float(value) for value in prior]
    if len(priors) != len(counts):
        raise ValueError(f"expected one prior per count ({len(counts)}), got {len(priors)}")
    if any(value < 0 for value in (*counts, *priors)):
        raise ValueError("expected counts and priors of 0 or more")
    total = math.fsum(counts) + math.fsum(priors)
    return [(count + value) / total for count, value in zip(counts, priors, strict=True)] if total else []


def round_to_total(weights: Mapping[str, float] | Sequence[float], total: int = 100) -> list[int]:
    """Returns whole numbers that add up to `total`, by Hare quotas and largest remainders.

    Equal remainders go to the larger weight, then to the earlier one. So shares on a page always add up to 100.

    >>> round_to_total([47000, 16000, 15900, 12000, 6000, 3100], 10)
    [5, 2, 1, 1, 1, 0]
    """
    values = list(weights.values()) if isinstance(weights, Mapping) else list(weights)
    whole = math.fsum(values)
    if any(value < 0 for value in values):
        raise ValueError("expected weights of 0 or more")
    if whole <= 0:
        return [0] * len(values)
    quotas = [value * total / whole for value in values]
    seats = [math.floor(quota + 1e-9) for quota in quotas]
    order = sorted(range(len(values)), key=lambda i: (-round(quotas[i] - seats[i], 9), -values[i], i))
    for index in order[: total - sum(seats)]:
        seats[index] += 1
    return seats


def binomial_p_value(hits: int, n: int, share: float) -> float:
    """Returns the two-sided exact p-value of hits in n when each is a hit with `share`.

    Sums every outcome no likelier than the one seen, as `binom.test` of R and `scipy.stats.binomtest` do.
    """
    if n == 0:
        return 1.0
    if share <= 0 or share >= 1:
        return 1.0 if hits == round(n * share) else 0.0
    chances = [_log_binomial(k, n, share) for k in range(n + 1)]
    limit = chances[hits] + 1e-7
    return min(1.0, math.fsum(math.exp(chance) for chance in chances if chance <= limit))


def _log_binomial(k: int, n: int, share: float) -> float:
    return _log_choose(n, k) + k * math.log(share) + (n - k) * math.log1p(-share)


@lru_cache(maxsize=200_000)
def _log_factorial(n: int) -> float:
    return math.lgamma(n + 1)


def _log_choose(n: int, k: int) -> float:
    return _log_factorial(n) - _log_factorial(k) - _log_factorial(n - k)


EXACT_UP_TO = 400  # answers in the smaller sample; beyond it the normal approximation is as good and far quicker


def two_share_p_value(hits: int, n: int, other_hits: int, other_n: int) -> float:
    """Returns the two-sided p-value of Fisher's exact test that two shares are the same.

    Given all hits together, those in the first sample are hypergeometric; tables no likelier than the one seen count.
    With both samples above EXACT_UP_TO it is the pooled z-test of two proportions.
    """
    if not n or not other_n:
        return 1.0
    if min(n, other_n) > EXACT_UP_TO:
        return pooled_p_value(hits, n, other_hits, other_n)
    all_n, all_hits = n + other_n, hits + other_hits
    base = _log_choose(all_n, all_hits)

    def chance(k: int) -> float:
        return _log_choose(n, k) + _log_choose(other_n, all_hits - k) - base

    limit = chance(hits) + 1e-7
    low, high = max(0, all_hits - other_n), min(n, all_hits)
    return min(1.0, math.fsum(math.exp(value) for k in range(low, high + 1) if (value := chance(k)) <= limit))


FAR = 0.2  # a pooled p-value from which the exact one says nothing either


def telling_p_value(hits: int, n: int, other_hits: int, other_n: int) -> float:
    """Returns `two_share_p_value`, or the pooled one where that is FAR or more: the exact sum would take its time."""
    rough = pooled_p_value(hits, n, other_hits, other_n)
    return rough if rough >= FAR else two_share_p_value(hits, n, other_hits, other_n)


def pooled_p_value(hits: int, n: int, other_hits: int, other_n: int) -> float:
    """Returns the two-sided p-value of the pooled z-test that two shares are the same."""
    pooled = (hits + other_hits) / (n + other_n)
    spread = math.sqrt(pooled * (1 - pooled) * (1 / n + 1 / other_n))
    if spread == 0:
        return 1.0
    return math.erfc(abs(hits / n - other_hits / other_n) / spread / math.sqrt(2))


@lru_cache(maxsize=200_000)
def least_p_value(hits: int, n: int, other_hits: int, other_n: int) -> float:
    """Returns the smallest p-value that two_share_p_value could give with as many answers and hits in all.

    It depends on the margins only, so it may decide which comparisons count as tried.
    """
    if not n or not other_n:
        return 1.0
    if min(n, other_n) > EXACT_UP_TO:
        return 0.0
    all_n, all_hits = n + other_n, hits + other_hits
    base = _log_choose(all_n, all_hits)
    ends = (max(0, all_hits - other_n), min(n, all_hits))
    return math.exp(min(_log_choose(n, k) + _log_choose(other_n, all_hits - k) - base for k in ends))


def count_testable(least: Sequence[float], limit: float) -> int:
    """Returns how many comparisons a p-value is multiplied by, so that any false one comes with chance `limit` at most.

    Comparisons that could never be significant, whatever was seen, do not count.
    Source: Tarone 1990, Biometrics 46:515-522.

    >>> count_testable([0.001, 0.002, 0.4, 0.5], 0.05)
    2
    """
    ordered = sorted(least)
    tests = 1
    while bisect_right(ordered, limit / tests) > tests:
        tests += 1
    return tests
