"""no-overlap: a man spills a block and nobody is outside it."""

from fits.audit.danger import danger
from fits.audit.evidence import Evidence
from fits.audit.finding import Finding


def check(e: Evidence) -> list[Finding]:
    """A finding per spill whose outside lane nobody owns."""
    if not e.mover_on:
        return []
    found = []
    for d in e.defenders:
        mover = e.mover_on.get(d.role)
        if d.leverage != "spill" or mover is None or d.lane is None:
            continue
        beside = [lane for lane in e.lanes if mover in (lane.left, lane.right)]
        outside = max(beside, key=lambda lane: abs(lane.x), default=None)
        if outside is not None and outside.index != d.lane and not outside.owners:
            text = f"{d.role} spills {mover} and nobody is outside him in {outside.name}."
            found.append(Finding("no-overlap", danger(e, outside.index), outside.index, (d.role,), text))
    return found
