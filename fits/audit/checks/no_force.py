"""no-force: an edge where nobody keeps the ball from getting outside."""

from fits.audit.danger import danger
from fits.audit.evidence import Evidence
from fits.audit.finding import Finding, listed


def check(e: Evidence) -> list[Finding]:
    """One finding per side whose edge has no owner with outside leverage and no free force player."""
    found = []
    for side, (owners, free) in e.forcers.items():
        if not owners and not free:
            edge = 0 if side < 0 else len(e.lanes) - 1
            lane = e.lanes[edge]
            play = "plays" if len(lane.owners) == 1 else "play"
            who = f"{listed(lane.owners)} {play} inside" if lane.owners else "nobody is outside"
            text = f"No force on the {side.word}: {who} in {lane.name}."
            found.append(Finding("no-force", danger(e, edge), edge, lane.owners, text))
    return found
