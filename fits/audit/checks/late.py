"""late: every man who owns a lane gets there after the ball can."""

from fits.audit.evidence import Evidence
from fits.audit.finding import UNSOUND, Finding


def check(e: Evidence) -> list[Finding]:
    """One finding per lane whose best owner's margin is negative."""
    found = []
    for lane in e.lanes:
        margins = [(d.margin_s, d.role) for role in lane.owners if (d := e.by_role[role]).margin_s is not None]
        if margins:
            best, role = max((m, r) for m, r in margins if m is not None)
            if best < 0:
                text = f"{role} is {-best:.2f} s late to {lane.name}."
                found.append(Finding("late", UNSOUND, lane.index, lane.owners, text))
    return found
