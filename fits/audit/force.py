"""Who forces on each side. Common practice."""

from __future__ import annotations

from fits.audit.evidence import Evidence, Forcers
from fits.field import LEFT, RIGHT, Side
from fits.terms import Leverage

INSIDE = frozenset((Leverage.SPILL, Leverage.INSIDE, Leverage.HEAD_UP, Leverage.HIP))
OUTERMOST = frozenset((Leverage.FORCE, Leverage.OVERLAP))


def all_forcers(e: Evidence) -> dict[Side, Forcers]:
    """By side the owners of the edge who do not play inside, and free men whose job it is.

    A force player whom a wide man cracks is out of it.
    """
    out: dict[Side, Forcers] = {LEFT: ([], []), RIGHT: ([], [])}
    for side, edge in ((LEFT, 0), (RIGHT, -1)):
        for role in e.lanes[edge].owners:
            d = e.by_role[role]
            if d.leverage not in INSIDE:
                out[side][0].append(d)
    for d in e.free:
        if d.side is not None and (d.role in e.force or d.leverage in OUTERMOST) and d.role not in e.cracked:
            out[d.side][1].append(d)
    return out
