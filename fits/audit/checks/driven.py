"""driven: the only man of a lane is doubled, or moved out of it by the man who comes for him."""

from collections.abc import Sequence

from fits.audit.danger import danger
from fits.audit.evidence import Evidence, edges
from fits.audit.finding import HINT, UNSOUND, WARNING, Finding, listed
from fits.derive.parts import Job, Lane
from fits.terms import Duty, Leverage, Severity

HOLDS_INSIDE = (Leverage.SPILL, Leverage.INSIDE, Leverage.SQUEEZE)
HEAD_UP = 0.25  # yards
ROOM = 0.2
AT_THE_LINE = 2.2  # yards: a backer meets a lead head on


def check(e: Evidence) -> list[Finding]:
    """Who holds the gap he stands in is a warning where the ball is aimed, else a hint: every run doubles somebody.

    Driven off it he is as bad as the lane is dangerous. Two-gappers are let be.
    """
    found = []
    for lane in e.lanes:
        if len(lane.owners) != 1:
            continue
        d = e.by_role[lane.owners[0]]
        blockers = e.on.get(d.role)
        if blockers is None or d.duty is Duty.TWO_GAP:
            continue
        if len(blockers) > 1:
            found.append(_doubled(e, lane, d, blockers))
        elif d.y <= AT_THE_LINE and d.leverage not in HOLDS_INSIDE and _kicked(e, lane, blockers[0]):
            severity = _held(e, lane) if _stands_in(e, lane, d) else danger(e, lane.index)
            text = f"{blockers[0]} takes on {d.role}, who is alone inside him: he has to squeeze or spill."
            found.append(Finding("driven", severity, lane.index, lane.owners, text))
    return found


def _doubled(e: Evidence, lane: Lane, d: Job, blockers: Sequence[str]) -> Finding:
    stands, jobs = e.stands[d.role], e.jobs
    beside = head_up = False
    for role in blockers:
        if abs(jobs[role].man.x - stands) <= HEAD_UP:
            head_up = True
        else:
            beside = True
    # He fights for either side of the two, or for the seam between them, which opens when one goes up.
    beside_them = lane.left in blockers or lane.right in blockers
    holds = beside_them if head_up and beside else _stands_in(e, lane, d)
    text = f"{listed(sorted(blockers))} double {d.role}, who is alone in {lane.name}"
    if holds and _aimed_at(e, lane) and (inner := _walled_off(e, lane, d, blockers)):
        return Finding("driven", UNSOUND, lane.index, lane.owners, f"{text}: {inner} keeps him out of half of it.")
    severity = _held(e, lane) if holds else danger(e, lane.index)
    end = "he must hold it" if holds else "the two drive him off it"
    return Finding("driven", severity, lane.index, lane.owners, f"{text}: {end}.")


def _aimed_at(e: Evidence, lane: Lane) -> bool:
    return any(t.lane == lane.index for t in e.threats)


def _held(e: Evidence, lane: Lane) -> Severity:
    """How much it weighs that his own gap is hard to hold."""
    return WARNING if _aimed_at(e, lane) else HINT


def _walled_off(e: Evidence, lane: Lane, d: Job, blockers: Sequence[str]) -> str | None:
    """The one of the two who stands in the lane itself, with room for the ball on the side away from the man."""
    low, high = edges(e, lane)
    stands = e.stands[d.role]
    for role in blockers:
        x = e.jobs[role].man.x
        if low + ROOM < x < high - ROOM and abs(x - stands) > HEAD_UP:
            return role
    return None


def _stands_in(e: Evidence, lane: Lane, d: Job) -> bool:
    low, high = edges(e, lane)
    return low + ROOM < e.stands[d.role] < high - ROOM


def _kicked(e: Evidence, lane: Lane, blocker: str) -> bool:
    """A kick or a trap takes him, and the lane he has is the one inside it."""
    return e.jobs[blocker].verb.turns_out and (lane.right if lane.x > 0 else lane.left) == blocker
