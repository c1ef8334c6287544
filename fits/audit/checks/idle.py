"""idle: a man without a job stands near a lane that nobody has."""

from math import hypot

from fits.audit.evidence import Evidence
from fits.audit.finding import HINT, Finding
from fits.terms import Duty

CLOSE = 6.0  # yards
FIT_DEPTH = 1.2  # yards past the line where he would meet the ball


def check(e: Evidence) -> list[Finding]:
    """A hint per free man, for the nearest open lane within six yards of him."""
    if not e.open_lanes:
        return []
    found = []
    for d in e.free:
        if d.duty is not Duty.FREE:
            continue
        away = {i: hypot(e.lanes[i].x - d.x, d.y - FIT_DEPTH) for i in e.open_lanes}
        lane = min(away, key=lambda i: (away[i], -e.lanes[i].x * e.play))
        if away[lane] <= CLOSE:
            text = f"{d.role} has no job and stands {away[lane]:.0f} yards from {e.lanes[lane].name}, which is open."
            found.append(Finding("idle", HINT, lane, (d.role,), text))
    return found
