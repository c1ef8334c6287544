"""nobody-home: the flow goes away and nobody stays for the bootleg or the reverse."""

from fits.audit.evidence import Evidence
from fits.audit.finding import WARNING, Finding
from fits.defense.duties import is_underneath
from fits.derive.parts import Job
from fits.field import LEFT
from fits.terms import Duty, Leverage

HIS_SIDE = 0.5  # yards: who lines up nearer to the ball than this flows with it
TURNS_IT_OUT = frozenset((Leverage.SPILL, Leverage.INSIDE))
NEAR = 8.5  # yards deep: a free man who is farther back does not turn a bootleg in
STAYS = frozenset((Duty.FORCE, Duty.OVERLAP, Duty.CONFLICT, Duty.QUARTERBACK, Duty.ALLEY, Duty.PITCH, Duty.CUTBACK))


def check(e: Evidence) -> list[Finding]:
    """A warning when the back side edge has an owner, but nobody who lines up there and stays. Not on a pass set."""
    if "draw" in e.flags:
        return []
    back = e.play.other
    edge = e.lanes[0 if back is LEFT else -1]
    if not edge.owners:
        return []  # `open-lane` says it
    for role in edge.owners:
        d = e.by_role[role]
        if d.x * back > HIS_SIDE and d.leverage not in TURNS_IT_OUT:
            return []
    tackle = e.offense.view(back).surface[1].x * back
    for d in e.free:
        if d.y <= NEAR and d.x * back >= tackle and _stays(e, d):
            return []
    text = f"Nobody is home on the {back.word} when the flow goes away: a bootleg or a reverse has the edge."
    return [Finding("nobody-home", WARNING, edge.index, edge.owners, text)]


def _stays(e: Evidence, d: Job) -> bool:
    return d.duty in STAYS or d.role in e.force or is_underneath(e.takes.get(d.role, ""))
