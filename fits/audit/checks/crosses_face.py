"""crosses-face: a man at the line must get across the man who blocks him, and no movement was called."""

from fits.audit.danger import near_or_warning
from fits.audit.evidence import Evidence, edges
from fits.audit.finding import WARNING, Finding
from fits.terms import Duty

AT_THE_LINE = 2.2  # yards: deeper men go over the top
HEAD_UP = 0.25  # yards: head up he may go either way


def check(e: Evidence) -> list[Finding]:
    """One finding per such owner, unsound near the ball when nobody else is in the lane."""
    found = []
    for name, blockers in e.on.items():
        d = e.by_role[name]
        if d.lane is None or d.y > AT_THE_LINE or d.duty is Duty.TWO_GAP or e.stands[name] != d.x:
            continue
        for role in blockers:
            job = e.jobs[role]
            shade = d.x - job.man.x
            if job.verb.moves or -HEAD_UP <= shade <= HEAD_UP:
                continue
            lane = e.lanes[d.lane]
            low, high = edges(e, lane)
            if (shade > 0 and high <= job.man.x + 0.1) or (shade < 0 and low >= job.man.x - 0.1):
                severity = near_or_warning(e, lane.index) if len(lane.owners) == 1 else WARNING
                text = f"{name} must cross {role}'s face to get to {lane.name}, with no slant called."
                found.append(Finding("crosses-face", severity, lane.index, (name,), text))
                break
    return found
