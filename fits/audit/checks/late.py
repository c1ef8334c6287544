"""late: every man who owns a lane gets there after the ball can."""

from fits.audit.evidence import Evidence
from fits.audit.finding import UNSOUND, Finding, listed


def check(e: Evidence) -> list[Finding]:
    """One finding per lane whose best owner's margin is negative."""
    found = []
    for lane in e.lanes:
        margins = [m for role in lane.owners if (m := e.by_role[role].margin_s) is not None]
        if margins and max(margins) < 0:
            best = max(margins)
            who = listed([role for role in lane.owners if e.by_role[role].margin_s == best])
            by = max(-best, 0.01)
            text = f"{who} {'is' if margins.count(best) == 1 else 'are'} {by:.2f} s late to {lane.name}."
            found.append(Finding("late", UNSOUND, lane.index, lane.owners, text))
    return found
