"""late: every man who owns a lane gets there after the ball can, or would with a slow first step."""

from fits.audit.danger import danger
from fits.audit.evidence import Evidence, Spare
from fits.audit.finding import UNSOUND, WARNING, Finding, listed


def check(e: Evidence) -> list[Finding]:
    """One finding per lane whose best owner is late; a warning where he has less to spare than a slow read takes."""
    found: list[Finding] = []
    for i, spare in enumerate(e.spare):
        if spare is None or spare.slow >= 0:
            continue
        severity, place, usual = danger(e, i), _place(e, i, spare), spare.usual
        if usual < 0:
            first = spare.roles if len(spare.roles) == 1 else [r for r in spare.roles if e.margin_s(r) == usual]
            by = max(-usual, 0.01)
            text = f"{listed(first)} {'is' if len(first) == 1 else 'are'} {by:.2f} s late to {place}."
            found.append(Finding("late", severity, i, spare.roles, text))
        elif severity is UNSOUND:
            who = listed(spare.roles, "or")
            text = f"{who} reaches {place} with {usual:.2f} s to spare: with a slow read the ball is through."
            found.append(Finding("late", WARNING, i, spare.roles, text))
    return found


def _place(e: Evidence, lane: int, spare: Spare) -> str:
    name = e.lanes[lane].name
    return name if spare.carrier is None else f"the {_CARRIERS[spare.carrier]} in {name}"


_CARRIERS = {"keep": "quarterback", "pitch": "pitch"}
