"""force-leverage: the only force where the ball can go plays a gap, or stays with the pass."""

from fits.audit.danger import near_ball
from fits.audit.evidence import Evidence
from fits.audit.finding import UNSOUND, WARNING, Finding, listed
from fits.audit.force import INSIDE
from fits.derive.parts import Job
from fits.terms import Duty, Leverage

WEAK = frozenset((*INSIDE, Leverage.GAP, Leverage.PASS))
IN_COVERAGE = frozenset((Duty.PASS, Duty.MAN))  # who slow-plays is still outside


def check(e: Evidence) -> list[Finding]:
    """One finding per edge on the play side or near a threat that somebody forces, but nobody from outside in."""
    found = []
    for side, (owners, free) in e.forcers.items():
        edge = 0 if side < 0 else len(e.lanes) - 1
        if not (owners or free) or (side is not e.play and not near_ball(e, edge)):
            continue  # nobody at all is `no-force`
        if _soft(e, owners, free):
            inside = listed([d.role for d in owners]) + (" has" if len(owners) == 1 else " have") if owners else ""
            deep = listed([d.role for d in free]) + (" stays" if len(free) == 1 else " stay") if free else ""
            parts = [f"{inside} a gap to play" if inside else "", f"{deep} with the pass" if deep else ""]
            text = (
                f"The force on the {side.word} is soft: {' and '.join(filter(None, parts))}; a bounce is not turned in."
            )
            roles = tuple(sorted(d.role for d in (*owners, *free)))
            severity = UNSOUND if _gets_there(e, edge) else WARNING
            found.append(Finding("force-leverage", severity, edge, roles, text))
    return found


def _gets_there(e: Evidence, edge: int) -> bool:
    """Whether a ball carrier is at that edge, or one lane inside it and may bounce."""
    return any(t.lane == edge or (abs(t.lane - edge) == 1 and not t.inside) for t in e.threats if t.lane is not None)


def _soft(e: Evidence, owners: list[Job], free: list[Job]) -> bool:
    for d in free:
        if d.duty not in IN_COVERAGE:
            return False
    for d in owners:
        if d.leverage not in WEAK or any(d.role in t.owners for t in e.threats if t.kind == "keep"):
            return False
    return True
