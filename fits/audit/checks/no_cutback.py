"""no-cutback: everybody went with the ball and nobody is left behind it."""

from fits.audit.evidence import Evidence
from fits.audit.finding import UNSOUND, Finding, listed


def check(e: Evidence) -> list[Finding]:
    """A finding when there are lanes behind the ball's own and none of them has an owner."""
    aim = next((t.lane for t in e.threats if t.lane is not None), None)
    if aim is None:
        return []
    behind = e.lanes[:aim] if e.play > 0 else e.lanes[aim + 1 :]
    for lane in behind:
        if lane.owners:
            return []
    if not behind:
        return []
    names = listed([lane.name for lane in behind], "or")
    edge = behind[0] if e.play > 0 else behind[-1]
    return [
        Finding("no-cutback", UNSOUND, edge.index, (), f"Nobody is left behind the ball in {names} for the cutback.")
    ]
