"""late: every man who owns a lane gets there after the ball can, or would with a slow first step."""

from fits.audit.danger import danger
from fits.audit.evidence import Evidence
from fits.audit.finding import UNSOUND, WARNING, Finding, listed


def check(e: Evidence) -> list[Finding]:
    """One finding per lane whose best owner is late; a warning where he has less to spare than a slow read takes."""
    found: list[Finding] = []
    for i, spare in enumerate(e.spare):
        if spare is None or spare[1] >= 0:
            continue
        lane, usual = e.lanes[i], spare[0]
        severity = danger(e, i)
        if usual < 0:
            first = [role for role in lane.owners if e.margin_s(role) == usual]
            by = max(-usual, 0.01)
            text = f"{listed(first)} {'is' if len(first) == 1 else 'are'} {by:.2f} s late to {lane.name}."
            found.append(Finding("late", severity, i, lane.owners, text))
        elif severity is UNSOUND:
            who = listed(lane.owners, "or")
            text = f"{who} reaches {lane.name} with {usual:.2f} s to spare: with a slow read the ball is through."
            found.append(Finding("late", WARNING, i, lane.owners, text))
    return found
