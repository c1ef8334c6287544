"""open-lane: a lane that nobody owns."""

from fits.audit.evidence import Evidence
from fits.audit.finding import UNSOUND, Finding


def check(e: Evidence) -> list[Finding]:
    """One finding per lane without an owner."""
    return [
        Finding("open-lane", UNSOUND, i, (), f"Nobody fits {e.lanes[i].name}: the ball can run there untouched.")
        for i in e.open_lanes
    ]
