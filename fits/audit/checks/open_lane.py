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
    ball = e.threats[0]
    goes = "goes wide" if ball.kind == "sweep" else "does not bend back"
    ahead = ball.lane is not None and ball.side is not None and (lane - ball.lane) * int(ball.side) > 0
    where = "far outside where the ball goes" if ahead else f"far behind a ball that {goes}"
    return Finding("open-lane", severity, lane, (), f"Nobody fits {name}, {where}.")
