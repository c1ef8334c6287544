"""The verdict of a look at three paces: as said, with slow reactions and with fast ones."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from fits.audit.danger import danger
from fits.audit.evidence import Evidence
from fits.audit.finding import UNSOUND, Finding
from fits.derive.parts import Lane
from fits.terms import Band

# How much later a slow man moves, and how much sooner a fast one, in seconds (setting of the trade: a lineman moves
# on the ball or the man over him, a safety reads two men).
SHIFT_S: Mapping[str, float] = MappingProxyType({"line": 0.0, "linebacker": 0.15, "secondary": 0.25})


def best_margin_s(e: Evidence, lane: Lane, slower: float = 0.0) -> float | None:
    """The margin of the first of a lane's owners to get there, `slower` times the shift later; None without owners."""
    best: float | None = None
    for role in lane.owners:
        d = e.by_role[role]
        if d.margin_s is not None:
            margin = d.margin_s - slower * SHIFT_S[d.group]
            if best is None or margin > best:
                best = margin
    return best


def judge(e: Evidence, findings: tuple[Finding, ...]) -> Band:
    """Sound when nothing is unsound even slow, sound if on time when nothing is at the usual pace or fast.

    Only arrivals change with the pace: every other unsound finding stays at all three.
    """
    for f in findings:
        if f.severity is UNSOUND and f.code != "late":
            return Band.NOT_SOUND
    band = Band.SOUND
    for lane in e.lanes:
        slow = best_margin_s(e, lane, 1.0)
        if slow is not None and slow < 0 and danger(e, lane.index) is UNSOUND:
            fast = best_margin_s(e, lane, -1.0)
            if fast is not None and fast < 0:
                return Band.NOT_SOUND
            band = Band.IF_ON_TIME
    return band
