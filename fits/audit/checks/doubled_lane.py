"""doubled-lane: two men in one lane while another lane is open."""

from fits.audit.evidence import Evidence
from fits.audit.finding import WARNING, Finding


def check(e: Evidence) -> list[Finding]:
    """One finding per doubled lane, only while another is open."""
    if not e.open_lanes:
        return []
    where = " and ".join(e.lanes[i].name for i in e.open_lanes)
    return [
        Finding(
            "doubled-lane", WARNING, lane.index, lane.owners,
            f"{' and '.join(lane.owners)} are all in {lane.name} while {where} is open.",
        )
        for lane in e.lanes if len(lane.owners) > 1
    ]  # fmt: skip
