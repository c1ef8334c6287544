"""How soon a man gets there: reaction, then a sprint v(t) = V (1 - exp(-t / tau)). Yards and seconds.

Source of the model: Furusawa, Hill and Parkinson 1927; Samozino et al. 2016 (its use for team sports).
The speeds used without a roster are settings: the published numbers are of professional prospects on a track, and
they overstate what college and school players run in pads.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from math import exp, expm1, inf, isfinite, log, sqrt
from types import MappingProxyType

from fits.errors import BadRequest
from fits.values import value

YARD_M = 0.9144
SHORT = 10.0
LONG = 40.0
_Q7 = 139 / 5443200


@lru_cache(maxsize=8192)
def elapsed_tau(distance: float) -> float:
    """The root s >= 0 of s - 1 + exp(-s) = distance: sprint time in units of tau, distance in units of V tau.

    It is distance + 1 + W0(-exp(-distance - 1)) with W0 the principal branch of Lambert's function, solved for s so
    that nothing is lost near W0's branch point, where short distances lie. Relative error below 1e-13.
    """
    if distance < 1.0:
        if distance <= 0.0:
            return 0.0
        q = sqrt(2.0 * distance)  # the series of the root about the branch point, by reversion
        s = q * (1.0 + q * (1 / 6 + q * (1 / 36 + q * (1 / 270 + q * (1 / 4320 - q * (1 / 17010 + q * _Q7))))))
        if distance < 0.002:
            return s  # exact here, where a Newton step would only add rounding
        steps = 1
    else:
        s = distance + 1.0 - exp(-distance - 1.0)
        steps = 2
    for _ in range(steps):  # Halley: each step triples the digits
        slope = -expm1(-s)
        miss = s - slope - distance
        s -= miss / (slope - 0.5 * miss * (1.0 - slope) / slope)
    return s


def lambert_w0(z: float) -> float:
    """The principal branch of Lambert's W for -1/e <= z <= 0, the part a sprint needs. Raises ValueError outside."""
    if not -exp(-1.0) <= z <= 0.0:
        raise ValueError(f"expected z from -1/e to 0, got {z!r}")
    if z == 0.0:
        return 0.0
    return -exp(-elapsed_tau(-1.0 - log(-z)))


@value
class Speed:
    """A sprinter: top speed V in yards a second and the time constant tau in seconds. Raises BadRequest."""

    v_yd_s: float
    tau_s: float

    def __post_init__(self) -> None:
        for name, given in (("v_yd_s", self.v_yd_s), ("tau_s", self.tau_s)):
            if not 0.0 < given < inf:
                raise BadRequest(f"speed: {name}: expected a positive number, got {given!r}")

    def speed_yd_s(self, time_s: float) -> float:
        """Speed after that time from a standing start."""
        return -self.v_yd_s * expm1(-time_s / self.tau_s)

    def distance_yd(self, time_s: float) -> float:
        """Distance covered in that time from a standing start; 0 before the start."""
        if time_s <= 0.0:
            return 0.0
        return self.v_yd_s * (time_s + self.tau_s * expm1(-time_s / self.tau_s))

    def time_to_s(self, distance_yd: float) -> float:
        """Seconds to cover the distance from a standing start; 0 for no distance."""
        return self.tau_s * elapsed_tau(distance_yd / (self.v_yd_s * self.tau_s))


def speed_from_splits(ten_yd_s: float, forty_yd_s: float) -> Speed:
    """The sprinter who passes 10 and 40 yards at these times. Raises BadRequest when no sprint of this model does.

    The 40-yard time must be between 2 times (still accelerating all the way) and 4 times (no acceleration at all)
    the 10-yard time; hand-timed errors that break this are refused.
    """
    for name, given in (("10-yard", ten_yd_s), ("40-yard", forty_yd_s)):
        if not isfinite(given) or given <= 0.0:
            raise BadRequest(f"{name} time: expected a positive number of seconds, got {given!r}")
    low, high = 0.02 * ten_yd_s, 20.0 * ten_yd_s
    if _split_ratio(low, ten_yd_s, forty_yd_s) > 0.0 or _split_ratio(high, ten_yd_s, forty_yd_s) < 0.0:
        expected = f"between about 2 and 4 times the 10-yard time of {ten_yd_s:g} s"
        raise BadRequest(f"40-yard time: expected {expected}, got {forty_yd_s:g} s")
    while high - low > 1e-13 * high:
        middle = 0.5 * (low + high)
        if not low < middle < high:
            break
        if _split_ratio(middle, ten_yd_s, forty_yd_s) > 0.0:
            high = middle
        else:
            low = middle
    tau = 0.5 * (low + high)
    return Speed(LONG / (forty_yd_s + tau * expm1(-forty_yd_s / tau)), tau)


def _split_ratio(tau_s: float, ten_yd_s: float, forty_yd_s: float) -> float:
    """Positive when a man with this tau would have gone more than four times as far at the second split."""
    ten = ten_yd_s + tau_s * expm1(-ten_yd_s / tau_s)
    forty = forty_yd_s + tau_s * expm1(-forty_yd_s / tau_s)
    return forty - LONG / SHORT * ten


@value
class Splits:
    """Published medians of a position: 10- and 40-yard times in seconds, V in metres a second, tau in seconds."""

    ten_yd_s: float
    forty_yd_s: float
    v_m_s: float
    tau_s: float

    @property
    def speed(self) -> Speed:
        """The published sprinter, in yards."""
        return Speed(self.v_m_s / YARD_M, self.tau_s)


# Medians of 10- and 40-yard times at the professional combine, read in secondary sources; V and tau computed from them.
PROFESSIONAL: Mapping[str, Splits] = MappingProxyType({
    "RB": Splits(1.59, 4.54, 9.534, 0.705),
    "TE": Splits(1.62, 4.66, 9.229, 0.698),
    "OT": Splits(1.79, 5.12, 8.441, 0.788),
    "iOL": Splits(1.82, 5.25, 8.172, 0.775),
    "EDGE": Splits(1.63, 4.71, 9.096, 0.690),
    "iDL": Splits(1.73, 4.98, 8.630, 0.743),
    "LB": Splits(1.61, 4.58, 9.482, 0.724),
    "CB": Splits(1.57, 4.45, 9.792, 0.716),
    "S": Splits(1.58, 4.52, 9.560, 0.695),
})  # fmt: skip

# Which published position stands for a group. Assumptions: a safety for the secondary, a tight end for the quarterback,
# a corner for the receivers (no quarterback or receiver medians are carried).
STANDS_FOR: Mapping[str, str] = MappingProxyType({
    "line": "iDL",
    "edge": "EDGE",
    "linebacker": "LB",
    "secondary": "S",
    "corner": "CB",
    "offensive line": "iOL",
    "quarterback": "TE",
    "back": "RB",
    "tight end": "TE",
    "receiver": "CB",
})  # fmt: skip

# Share of the professional top speed at each level, tau unchanged. Assumption, not measured: change it to your roster.
LEVELS: Mapping[str, float] = MappingProxyType({"professional": 1.0, "college": 0.94, "high-school": 0.88})

# Seconds from the snap to the first step towards the fit, by group. Assumption from common practice: a lineman
# reacts to the man in front of him, a linebacker reads a step of the guard, a safety reads two men.
REACTION_S: Mapping[str, float] = MappingProxyType({
    "line": 0.20,
    "edge": 0.25,
    "linebacker": 0.40,
    "secondary": 0.55,
    "corner": 0.60,
})  # fmt: skip


@value
class Pace:
    """The settings of a level: speed and reaction by position group. A roster's own times come before these."""

    speeds: Mapping[str, Speed]
    reactions_s: Mapping[str, float]

    def arrival_s(self, group: str, distance_yd: float, speed: Speed | None = None) -> float:
        """Seconds from the snap until a man of that group has covered the distance."""
        return self.reactions_s[group] + (speed or self.speeds[group]).time_to_s(distance_yd)


def level_pace(level: str = "college", factor: float | None = None) -> Pace:
    """The default settings of a level, or of any share of the professional top speed. Raises BadRequest."""
    if factor is None:
        if level not in LEVELS:
            raise BadRequest(f"level: expected one of {', '.join(LEVELS)}, got {level!r}")
        factor = LEVELS[level]
    if not 0.3 <= factor <= 1.2:
        raise BadRequest(f"speed factor: expected a number from 0.3 to 1.2, got {factor!r}")
    speeds = {
        group: Speed(PROFESSIONAL[position].speed.v_yd_s * factor, PROFESSIONAL[position].tau_s)
        for group, position in STANDS_FOR.items()
    }
    return Pace(MappingProxyType(speeds), REACTION_S)
