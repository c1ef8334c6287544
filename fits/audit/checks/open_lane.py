"""open-lane: a lane that nobody owns."""

from fits.audit.danger import danger
from fits.audit.evidence import Evidence
from fits.audit.finding import UNSOUND, Finding


def check(e: Evidence) -> list[Finding]:
    """One finding per lane without an owner."""
    return [_finding(e, i) for i in e.open_lanes]


def _finding(e: Evidence, lane: int) -> Finding:
    severity, name = danger(e, lane), e.lanes[lane].name
    if severity is UNSOUND:
        return Finding("open-lane", severity, lane, (), f"Nobody fits {name}: the ball can run there untouched.")
    goes = "goes wide" if e.threats[0].kind == "sweep" else "does not bend back"
    return Finding("open-lane", severity, lane, (), f"Nobody fits {name}, far behind a ball that {goes}.")
