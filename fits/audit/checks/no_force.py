"""no-force: an edge where nobody keeps the ball from getting outside."""

from fits.audit.danger import danger
from fits.audit.evidence import Evidence
from fits.audit.finding import Finding, listed
from fits.derive.parts import Defender
from fits.field import LEFT, RIGHT, Side

INSIDE = frozenset({"spill", "inside", "head up", "hip"})


def check(e: Evidence) -> list[Finding]:
    """One finding per side whose edge has no owner with outside leverage and no free force player."""
    found = []
    for side in (LEFT, RIGHT):
        if not any(forcers(e, side)):
            edge = 0 if side is LEFT else len(e.lanes) - 1
            lane = e.lanes[edge]
            play = "plays" if len(lane.owners) == 1 else "play"
            who = f"{listed(lane.owners)} {play} inside" if lane.owners else "nobody is outside"
            text = f"No force on the {side.word}: {who} in {lane.name}."
            found.append(Finding("no-force", danger(e, edge), edge, lane.owners, text))
    return found


def forcers(e: Evidence, side: Side) -> tuple[list[Defender], list[Defender]]:
    """Who forces on that side: owners of the edge who do not play inside, and free men whose job it is.

    A force player whom a wide man cracks is out of it.
    """
    edge = 0 if side is LEFT else len(e.lanes) - 1
    owners = [e.by_role[role] for role in e.lanes[edge].owners]
    free = [
        d
        for d in e.defenders
        if d.lane is None
        and d.side is side
        and (d.role in e.force or d.leverage in ("force", "overlap"))
        and d.role not in e.cracked
    ]
    return [d for d in owners if d.leverage not in INSIDE], free
