"""How soon a man gets there: first movement, reading, turning, the run, the blocker. Yards and seconds.

A run is a sprint v(t) = V (1 - exp(-t / tau)). Source of the model: Furusawa, Hill and Parkinson 1927; Samozino et
al. 2016 (its use for team sports). Published V and tau are of professional prospects on a track; `on_field` makes
of them what is run in pads, under control, in a play.

Every value below is a setting with its source: *measured* means open 10 Hz tracking of professional plays 2018-19
(public repository asonty/ngs_highlights; the model is held against it in tests/external/test_timing_rows.py),
*assumption* means that nobody measured it: common practice in a number.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from math import exp, expm1, inf, isfinite, log1p, sqrt
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

    def run_up_yd(self, speed_yd_s: float) -> float:
        """Distance from a standing start after which he runs that fast. Raises ValueError at his top speed or over."""
        return self.distance_yd(-self.tau_s * log1p(-speed_yd_s / self.v_yd_s))


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
    "linebacker": "LB",
    "secondary": "S",
    "offensive line": "iOL",
    "quarterback": "TE",
    "back": "RB",
    "tight end": "TE",
    "receiver": "CB",
})  # fmt: skip

# Share of the professional top speed at each level, tau unchanged. Assumption, not measured: change it to your roster.
LEVELS: Mapping[str, float] = MappingProxyType({"professional": 1.0, "college": 0.94, "high-school": 0.88})

# In a play a man runs at this share of his track speed and starts this much slower (tau stretched). Measured: a
# carrier's first 10 yd of path take 2.10 s [1.90, 2.30], his speed is 4.88 yd/s [4.21, 5.69] at the handoff and
# 6.54 [6.08, 7.12] at the line, his peak acceleration 5.80 yd/s2 [5.15, 6.64].
FIELD_TOP = 0.85
FIELD_TAU = 1.87

# Seconds from the snap to the first movement. Measured as "faster than 1 (offensive line) or 1.5 yd/s", less what the
# start from rest takes: front 0.60 s [0.40, 0.90], inside backer 0.70 [0.50, 0.80], offensive line 0.30 [0.20, 0.50].
# Backs: the 2.5 yd and 4.88 yd/s they have at the handoff. Assumption: receivers, tight ends and quarterback, who know
# the count.
FIRST_S: Mapping[str, float] = MappingProxyType({
    "line": 0.32,
    "linebacker": 0.45,
    "secondary": 0.45,
    "offensive line": 0.12,
    "quarterback": 0.12,
    "back": 0.32,
    "tight end": 0.15,
    "receiver": 0.15,
})  # fmt: skip
# A man of the secondary moves later the deeper he stands: 0.70 s [0.50, 1.10] at 3.64 yd (under 9), 1.00 [0.70, 1.30]
# at 13.08 (measured); between the two in proportion.
NEAR_YD, DEEP_YD, DEEP_LATER_S = 3.64, 13.08, 0.30
# The first key is read in the first steps: an inside backer is 1 yd nearer the line at 1.20 s [1.00, 1.40] (measured).
# Assumption: a lineman reads as he strikes; every further key takes a backer as long again, a safety, who sees the
# whole picture from his depth, a third of it.
READ_S: Mapping[str, float] = MappingProxyType({"line": 0.0, "linebacker": 0.15, "secondary": 0.10})
NEXT_KEY_S: Mapping[str, float] = MappingProxyType({"line": 0.05, "linebacker": 0.15, "secondary": 0.05})
MOST_KEYS = 3  # more are seen as one picture (assumption)
TURN_S = 0.25  # stopping and going the other way after first steps the wrong way (assumption)
GET_OFF_S = 0.25  # getting off a block on the side he wants to go (assumption)
CROSS_S = 0.50  # getting across the face of a blocker who stands between him and his fit (assumption)
DOUBLED_S = 0.20  # more when two men have him (assumption)

# A man who pulls does not sprint: he passes the centre at 0.60 s [0.60, 0.70], is 3 yd over at 1.30 [1.20, 1.40],
# 5 yd at 1.95 [1.77, 2.32], at the line at 2.20 [1.90, 2.50], top speed 4.11 yd/s (measured).
PULL = Speed(4.11, 0.35)
PULL_FIRST_S = 0.13
# A man in fast motion runs 6.86 yd/s [6.24, 7.12] at the snap (measured). Assumption: 4.5 when he only changes places.
MOTION_YD_S: Mapping[str, float] = MappingProxyType({"full": 6.86, "trot": 4.5})

# Seconds that slow and fast reactions add to a man's arrival: the bands of a verdict (assumption).
SHIFT_S: Mapping[str, float] = MappingProxyType({"line": 0.0, "linebacker": 0.15, "secondary": 0.25})


@lru_cache(maxsize=512)
def on_field(track: Speed) -> Speed:
    """What a man with that track speed runs in a play."""
    return Speed(track.v_yd_s * FIELD_TOP, track.tau_s * FIELD_TAU)


def first_s(group: str, depth_yd: float = 0.0) -> float:
    """Seconds from the snap until a man of that group moves; depth counts for the secondary."""
    start = FIRST_S[group]
    if group == "secondary":
        deep = (depth_yd - NEAR_YD) / (DEEP_YD - NEAR_YD)
        start += DEEP_LATER_S * (0.0 if deep < 0.0 else 1.0 if deep > 1.0 else deep)
    return start


def read_s(group: str, keys: int) -> float:
    """Seconds a man of that group reads before he goes; none without a key."""
    if keys == 0:
        return 0.0
    return READ_S[group] + NEXT_KEY_S[group] * (min(keys, MOST_KEYS) - 1)


@value
class Pace:
    """The settings of a level: speeds in a play by position group, and that of a man in full motion.

    `factor` is the share of the professional level. Two paces with the same factor are the same.
    """

    speeds: Mapping[str, Speed]
    factor: float

    def speed(self, group: str, track: Speed | None = None) -> Speed:
        """What a man runs in a play: his own track speed when it is known, else his group's."""
        return self.speeds[group] if track is None else on_field(track)

    def motion_yd_s(self, how: str) -> float:
        """Yards a second of a man in motion at the snap: `full` or `trot`."""
        return MOTION_YD_S[how] * self.factor


def level_pace(level: str = "college", factor: float | None = None) -> Pace:
    """The default settings of a level, or of any share of the professional top speed. Raises BadRequest."""
    if factor is None:
        if level not in LEVELS:
            raise BadRequest(f"level: expected one of {', '.join(LEVELS)}, got {level!r}")
        factor = LEVELS[level]
    if not 0.3 <= factor <= 1.2:
        raise BadRequest(f"speed factor: expected a number from 0.3 to 1.2, got {factor!r}")
    speeds = {}
    for group, position in STANDS_FOR.items():
        track = PROFESSIONAL[position].speed
        speeds[group] = on_field(Speed(track.v_yd_s * factor, track.tau_s))
    return Pace(MappingProxyType(speeds), factor)
