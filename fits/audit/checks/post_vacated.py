"""post-vacated: a man with a deep part of the field is alone in a lane."""

from fits.audit.danger import danger
from fits.audit.evidence import Evidence
from fits.audit.finding import WARNING, Finding
from fits.defense.duties import is_deep
from fits.derive.parts import Job

FROM_DEPTH = 7.5  # yards: who stands so deep with a receiver to cover goes with him on a pass set (common practice)


def check(e: Evidence) -> list[Finding]:
    """A warning with its price on a run; unsound when the line sets to pass, for then he is gone with a receiver."""
    pass_set = "draw" in e.flags
    found = []
    for lane in e.lanes:
        if len(lane.owners) != 1:
            continue
        d = e.by_role[lane.owners[0]]
        takes = e.takes.get(d.role, "")
        if is_deep(takes):
            if pass_set and not _nobody_goes_out(e, d):
                text = f"{d.role} is alone in {lane.name} on a pass set: he drops to his {takes} and is not there."
                found.append(Finding("post-vacated", danger(e, lane.index), lane.index, lane.owners, text))
            else:
                text = f"{d.role} comes down alone into {lane.name}: on play action nobody has the {takes}."
                found.append(Finding("post-vacated", WARNING, lane.index, lane.owners, text))
        elif pass_set and d.y >= FROM_DEPTH and (receiver := _goes_out(e, d, takes)):
            text = f"{d.role} is alone in {lane.name} on a pass set: {receiver} goes out and he with him."
            found.append(Finding("post-vacated", danger(e, lane.index), lane.index, lane.owners, text))
    return found


def _nobody_goes_out(e: Evidence, d: Job) -> bool:
    """Whether every receiver on his side stays in to block, so that nothing takes him deep."""
    return d.side is not None and not next(p.receivers for p in e.passes if p.side is d.side)


def _goes_out(e: Evidence, d: Job, takes: str) -> str | None:
    """The receiver he has, unless there is none or that man stays in to block."""
    if not takes.startswith("#") or d.side is None:
        return None
    receivers = e.offense.view(d.side).receivers
    number = takes[1:].split(" and ")[0]  # a pressure may leave him a second duty: `#2 and flat`
    n = int(number) if number.isdecimal() else 0
    if not 0 < n <= len(receivers) or e.jobs[receivers[n - 1].role].counts:
        return None
    return receivers[n - 1].role
