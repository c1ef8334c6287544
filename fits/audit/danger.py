"""How dangerous a lane is: open at the ball, beside it or where a read puts it loses the play. Common practice."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from fits.audit.finding import UNSOUND, WARNING
from fits.derive.parts import Threat
from fits.terms import Severity


class Threatened(Protocol):
    """Whatever has threats: a look, or the evidence it is judged by."""

    @property
    def threats(self) -> Sequence[Threat]:
        """Who may carry the ball, and where."""


def near_ball(e: Threatened, lane: int) -> bool:
    """True at the lane of a threat (a read or a pitch puts the ball there too) and one lane beside it."""
    return any(-1 <= lane - t.lane <= 1 for t in e.threats if t.lane is not None)


def danger(e: Threatened, lane: int) -> Severity:
    """Unsound where a ball carrier can get to, a warning far behind a ball that does not come back."""
    for t in e.threats:
        low, high = t.range
        if low <= lane <= high:
            return UNSOUND
    return WARNING


def near_or_warning(e: Threatened, lane: int) -> Severity:
    """Unsound near the ball, elsewhere a warning: for a lane that somebody has, though not well."""
    return UNSOUND if near_ball(e, lane) else WARNING
