"""conflict: a man on the eyes side has a receiver and is the only one in his lane."""

from fits.audit.evidence import Evidence
from fits.audit.finding import UNSOUND, Finding


def check(e: Evidence) -> list[Finding]:
    """A finding per man who alone owns a lane and whose side is short of pass defenders without him."""
    if "rpo" not in e.flags or e.eyes is None:
        return []
    side = next(p for p in e.passes if p.side is e.eyes)
    if len(side.defenders) >= len(side.receivers):
        return []
    found = []
    for d in e.defenders:
        if d.side is e.eyes and d.lane is not None and e.takes.get(d.role) and e.lanes[d.lane].owners == (d.role,):
            lane = e.lanes[d.lane].name
            text = f"{d.role} has {e.takes[d.role]} and {lane}: he cannot do both, and nobody else is there."
            found.append(Finding("conflict", UNSOUND, d.lane, (d.role,), text))
    return found
