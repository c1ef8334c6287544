"""nobody-home: the flow goes away and nobody stays for the bootleg or the reverse."""

from fits.audit.evidence import Evidence
from fits.audit.finding import WARNING, Finding
from fits.defense.duties import is_underneath
from fits.derive.parts import Defender
from fits.field import LEFT
from fits.terms import Duty, Leverage

HIS_SIDE = 0.5  # yards: who lines up nearer to the ball than this flows with it
TURNS_IT_OUT = frozenset({Leverage.SPILL, Leverage.INSIDE})
NEAR = 8.5  # yards deep: a free man who is farther back does not turn a bootleg in
STAYS = frozenset({Duty.FORCE, Duty.OVERLAP, Duty.CONFLICT, Duty.QUARTERBACK, Duty.ALLEY, Duty.PITCH, Duty.CUTBACK})


def check(e: Evidence) -> list[Finding]:
    """A warning when the back side edge has an owner, but nobody who lines up there and stays. Not on a pass set."""
    if "draw" in e.flags:
        return []
    back = e.play.other
    edge = e.lanes[0 if back is LEFT else -1]
    if not edge.owners or any(_home(e, d, edge.index, edge.x) for d in e.defenders):
        return []
    text = f"Nobody is home on the {back.word} when the flow goes away: a bootleg or a reverse has the edge."
    return [Finding("nobody-home", WARNING, edge.index, edge.owners, text)]


def _home(e: Evidence, d: Defender, edge: int, edge_x: float) -> bool:
    way = 1 if edge_x > 0 else -1
    if d.lane is not None:
        return d.lane == edge and d.x * way > HIS_SIDE and d.leverage not in TURNS_IT_OUT
    tackle = e.offense.view(e.play.other).surface[1].x * way
    if d.y > NEAR or d.x * way < tackle:
        return False
    return d.duty in STAYS or d.role in e.force or is_underneath(e.takes.get(d.role, ""))
