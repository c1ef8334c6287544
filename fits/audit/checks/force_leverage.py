"""force-leverage: the only force where the ball can go plays a gap, or stays with the pass."""

from fits.audit.checks.no_force import INSIDE, forcers
from fits.audit.danger import near_ball, near_or_warning
from fits.audit.evidence import Evidence
from fits.audit.finding import Finding, listed
from fits.field import LEFT, RIGHT
from fits.terms import Duty, Leverage

WEAK = INSIDE | {Leverage.GAP, Leverage.PASS}
IN_COVERAGE = frozenset({Duty.PASS, Duty.MAN})  # who slow-plays is still outside


def check(e: Evidence) -> list[Finding]:
    """One finding per edge on the play side or near a threat that somebody forces, but nobody from outside in."""
    found = []
    for side in (LEFT, RIGHT):
        edge = 0 if side is LEFT else len(e.lanes) - 1
        if side is not e.play and not near_ball(e, edge):
            continue
        owners, free = forcers(e, side)
        if not owners and not free:
            continue  # `no-force` says it
        has_ball = {role for t in e.threats if t.kind == "keep" for role in t.owners}
        if all(d.leverage in WEAK and d.role not in has_ball for d in owners) and all(
            d.duty in IN_COVERAGE for d in free
        ):
            inside = listed([d.role for d in owners]) + (" has" if len(owners) == 1 else " have") if owners else ""
            deep = listed([d.role for d in free]) + (" stays" if len(free) == 1 else " stay") if free else ""
            parts = [f"{inside} a gap to play" if inside else "", f"{deep} with the pass" if deep else ""]
            text = (
                f"The force on the {side.word} is soft: {' and '.join(filter(None, parts))}; a bounce is not turned in."
            )
            roles = tuple(sorted(d.role for d in (*owners, *free)))
            found.append(Finding("force-leverage", near_or_warning(e, edge), edge, roles, text))
    return found
