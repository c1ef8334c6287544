"""crossed-neighbours: two men side by side play a block the wrong way round for each other."""

from fits.audit.danger import near_or_warning
from fits.audit.evidence import Evidence
from fits.audit.finding import Finding, listed
from fits.field import LEFT, RIGHT
from fits.terms import Leverage

INSIDE = (Leverage.SPILL, Leverage.INSIDE)


def check(e: Evidence) -> list[Finding]:
    """A box inside a spill, an inside fit outside a box, a box with nobody inside it."""
    found = []
    box = Leverage.BOX
    for d in e.defenders:
        if d.leverage is not box or d.lane is None:
            continue
        lane = e.lanes[d.lane]
        side = RIGHT if lane.x > 0 else LEFT
        inner, outer = lane.index - side, lane.index + side
        if 0 <= outer < len(e.lanes) and e.lanes[outer].owners:
            beyond = [e.by_role[role] for role in e.lanes[outer].owners]
            if all(b.leverage in INSIDE for b in beyond):
                does = "spills" if any(b.leverage is Leverage.SPILL for b in beyond) else "plays inside"
                names = [b.role for b in beyond]
                text = f"{d.role} boxes in {lane.name} and {listed(names)} {does} outside him: they send the ball to each other."  # noqa: E501
                roles = (d.role, *names)
                found.append(Finding("crossed-neighbours", near_or_warning(e, outer), outer, roles, text))
        if 0 <= inner < len(e.lanes) and not e.lanes[inner].owners:
            text = f"{d.role} boxes and turns the ball in to {e.lanes[inner].name}, where nobody is."
            found.append(Finding("crossed-neighbours", near_or_warning(e, inner), inner, (d.role,), text))
    return found
