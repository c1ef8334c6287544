"""doubled-lane: two men in one lane while another lane is open."""

from fits.audit.evidence import Evidence
from fits.audit.finding import WARNING, Finding, listed


def check(e: Evidence) -> list[Finding]:
    """One finding per doubled lane, only while another is open."""
    if not e.open_lanes:
        return []
    where = listed([e.lanes[i].name for i in e.open_lanes])
    are = "is" if len(e.open_lanes) == 1 else "are"
    found = []
    for lane in e.lanes:
        if len(lane.owners) > 1:
            count = "both" if len(lane.owners) == 2 else "all"
            text = f"{listed(lane.owners)} are {count} in {lane.name} while {where} {are} open."
            found.append(Finding("doubled-lane", WARNING, lane.index, lane.owners, text))
    return found
