"""The verdict of a look at three paces: as said, with slow reactions and with fast ones."""

from __future__ import annotations

from fits.audit.danger import danger
from fits.audit.evidence import Evidence, Spare
from fits.audit.finding import UNSOUND, Finding
from fits.terms import Band
from fits.timing import SHIFT_S


def first_margins(e: Evidence) -> list[Spare | None]:
    """For each lane what the first of its owners has to spare, usual, slow and fast.

    None without owners, and where one of them stands already: nobody is late there.
    """
    by_role = e.by_role
    out: list[Spare | None] = []
    for lane in e.lanes:
        spare: Spare | None = None
        for role in lane.owners:
            margin = e.margin_s(role)
            if margin is None:
                spare = None
                break
            shift = SHIFT_S[by_role[role].group]
            if spare is None:
                spare = margin, margin - shift, margin + shift
            else:
                usual, slow, fast = spare
                spare = max(usual, margin), max(slow, margin - shift), max(fast, margin + shift)
        out.append(spare)
    return out


def judge(e: Evidence, findings: tuple[Finding, ...]) -> Band:
    """Sound when nothing is unsound even slow, sound if on time when nothing is at the usual pace or fast.

    Only arrivals change with the pace: every other unsound finding stays at all three.
    """
    for f in findings:
        if f.severity is UNSOUND and f.code != "late":
            return Band.NOT_SOUND
    band = Band.SOUND
    for lane, spare in enumerate(e.spare):
        if spare is not None and spare[1] < 0 and danger(e, lane) is UNSOUND:
            if spare[2] < 0:
                return Band.NOT_SOUND
            band = Band.IF_ON_TIME
    return band
