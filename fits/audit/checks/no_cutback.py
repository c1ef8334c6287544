"""no-cutback: everybody went with the ball and nobody is left behind it."""

from fits.audit.evidence import Evidence
from fits.audit.finding import UNSOUND, Finding, listed


def check(e: Evidence) -> list[Finding]:
    """A finding when there are lanes behind the ball's own and none of them has an owner."""
    aim = next((t.lane for t in e.threats if t.lane is not None), None)
    if aim is None:
        return []
    play = int(e.play)
    behind = [lane for lane in e.lanes if (lane.index - aim) * play < 0]
    if not behind or any(lane.owners for lane in behind):
        return []
    names = listed([lane.name for lane in behind], "or")
    edge = behind[0] if play > 0 else behind[-1]
    return [
        Finding("no-cutback", UNSOUND, edge.index, (), f"Nobody is left behind the ball in {names} for the cutback.")
    ]
