"""late: every man who owns a lane gets there after the ball can, or would with a slow first step."""

from fits.audit.band import best_margin_s
from fits.audit.danger import danger
from fits.audit.evidence import Evidence
from fits.audit.finding import UNSOUND, WARNING, Finding, listed


def check(e: Evidence) -> list[Finding]:
    """One finding per lane whose best owner is late; a warning where he has less to spare than a slow read takes."""
    found = []
    for lane in e.lanes:
        best = best_margin_s(e, lane)
        if best is None:
            continue
        if best < 0:
            first = [role for role in lane.owners if e.by_role[role].margin_s == best]
            by = max(-best, 0.01)
            text = f"{listed(first)} {'is' if len(first) == 1 else 'are'} {by:.2f} s late to {lane.name}."
            found.append(Finding("late", danger(e, lane.index), lane.index, lane.owners, text))
        elif (best_margin_s(e, lane, 1.0) or 0.0) < 0 and danger(e, lane.index) is UNSOUND:
            text = f"{listed(lane.owners, 'or')} reaches {lane.name} with {best:.2f} s to spare: with a slow read the ball is through."  # noqa: E501
            found.append(Finding("late", WARNING, lane.index, lane.owners, text))
    return found
