"""The verdict of a look at three paces: as said, with slow reactions and with fast ones."""

from __future__ import annotations

from math import inf

from fits.audit.danger import danger
from fits.audit.evidence import Evidence, Spare
from fits.audit.finding import UNSOUND, Finding
from fits.terms import Band, Duty, Leverage
from fits.timing import SHIFT_S

new_tuple = tuple.__new__  # makes a NamedTuple at a third of its own price
OUTSIDE_IN = (Leverage.FORCE, Leverage.BOX, Leverage.OVERLAP)
OPTIONS = ("keep", "pitch")  # carriers who have men of their own: who is on the other cannot have him


def first_margins(e: Evidence) -> list[Spare | None]:
    """For each lane what the first of its owners has to spare; a carrier with men of his own there is met by them.

    Of more such carriers in one lane the one who is met last counts. Where the force was cracked, who replaces him
    has to be there: a man who runs out to that edge from inside is chasing the ball. None without owners, and where one
    of them stands already: nobody is late there.
    """
    out = [_first(e, lane.owners, 0.0, None) if lane.owners else None for lane in e.lanes]
    for t in e.threats:
        if t.lane is None or not t.owners or t.kind not in OPTIONS:
            continue
        lane = e.lanes[t.lane]
        if len(t.owners) < len(lane.owners):
            out[t.lane] = _least(out[t.lane], _first(e, t.owners, t.time_s - lane.ball_s, t.kind))
    for d in e.defenders if e.cracked else ():
        if d.duty is Duty.REPLACE and d.lane is not None:
            forces = tuple([r for r in e.lanes[d.lane].owners if e.by_role[r].leverage in OUTSIDE_IN])
            out[d.lane] = _least(out[d.lane], _first(e, forces, 0.0, None))
    return out


def _least(one: Spare | None, other: Spare | None) -> Spare | None:
    """Which of the two has less to spare when slow."""
    if one is None or other is None:
        return one or other
    return other if other.slow < one.slow else one


def _first(e: Evidence, roles: tuple[str, ...], later_s: float, carrier: str | None) -> Spare | None:
    """What the first of those men has to spare when the ball comes so much later than at the soonest."""
    usual = slow = fast = -inf
    for role in roles:
        margin = e.margin_s(role)
        if margin is None:
            return None
        margin += later_s
        shift = SHIFT_S[e.by_role[role].group]
        usual, slow, fast = max(usual, margin), max(slow, margin - shift), max(fast, margin + shift)
    return new_tuple(Spare, (usual, slow, fast, roles, carrier))


def judge(e: Evidence, findings: tuple[Finding, ...]) -> Band:
    """Sound when nothing is unsound even slow, sound if on time when nothing is at the usual pace or fast.

    Only arrivals change with the pace: every other unsound finding stays at all three.
    """
    for f in findings:
        if f.severity is UNSOUND and f.code != "late":
            return Band.NOT_SOUND
    band = Band.SOUND
    for lane, spare in enumerate(e.spare):
        if spare is not None and spare.slow < 0 and danger(e, lane) is UNSOUND:
            if spare.fast < 0:
                return Band.NOT_SOUND
            band = Band.IF_ON_TIME
    return band
