"""The finding `cannot-know` of one look, out of a study of its call."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from fits.audit.danger import danger
from fits.audit.finding import UNSOUND, WARNING, Finding
from fits.audit.registry import CANNOT_KNOW, worst_first
from fits.defense.system import Call
from fits.derive.look import Look
from fits.know.picture import read_showing, see_picture
from fits.know.study import NEVER, Demand, Knowledge, ManKnows, Seen, differ, study_looks
from fits.terms import Band
from fits.values import replace

Other = TypeVar("Other")


def cannot_know(known: Knowledge, look: Look) -> tuple[Finding, ...]:
    """One finding for each man to whom another look of the study is the same and asks for another fit.

    As bad as the lane is dangerous where he is its sole owner, else a warning. A look of another call, or one whose
    pictures the study does not have, has none.
    """
    if look.call != known.call:
        return ()
    showing = read_showing(look)
    found = []
    for man in known.men:
        d = look.defender(man.role)
        if d is None:
            continue
        picture = see_picture(showing, d, man.hears_crack)
        for seen in man.seen:
            if not seen.known and seen.picture == picture:
                pair = _pair(seen, look)
                if pair is not None:
                    lane = d.lane
                    alone = lane is not None and look.lanes[lane].owners == (d.role,)
                    severity = danger(look, lane) if lane is not None and alone else WARNING
                    found.append(Finding(CANNOT_KNOW, severity, lane, (d.role,), _text(man, seen, *pair)))
    return tuple(found)


def with_knowledge(known: Knowledge, look: Look) -> Look:
    """The look with what its men cannot know among its findings, and the band that leaves it.

    A look by itself says what is open and late; only a study of its call can say what a man cannot tell apart.
    """
    found = cannot_know(known, look)
    if not found:
        return look
    unsound = any(f.severity is UNSOUND for f in found)
    return replace(look, findings=worst_first((*look.findings, *found)), band=Band.NOT_SOUND if unsound else look.band)


def known_together(call: Call, made: Sequence[Look | Other]) -> list[Look | Other]:
    """Looks of one call that may all come, each with what men cannot tell apart among them.

    What stands in the place of a look that could not be derived comes back as it is.
    """
    known = study_looks(call, [look for look in made if isinstance(look, Look)])
    return [with_knowledge(known, look) if isinstance(look, Look) else look for look in made]


def _pair(seen: Seen, look: Look) -> tuple[Demand, Demand] | None:
    """That look's own play in a picture, and one that asks for something else."""
    plays = [play for fit in seen.fits for play in fit]
    mine = next((p for p in plays if p.look.concept == look.concept and p.look.to is look.to), None)
    other = None if mine is None else next((p for p in plays if differ(mine, p)), None)
    return None if mine is None or other is None else (mine, other)


def _text(man: ManKnows, seen: Seen, mine: Demand, other: Demand) -> str:
    extra = next((u.extra for u in man.unknown if u.picture == seen.picture), NEVER)
    tells = "Nothing tells him until the handoff." if extra == NEVER else f"It would take another read: {extra}."
    sees = ", ".join(seen.picture.sights) or "nothing that tells"
    return (
        f"{man.role} cannot know his fit: {other.look.labels.concept} to the {other.look.to.word} looks the same "
        f"to him ({sees}), and there it is {other.fit}, here {mine.fit}. {tells}"
    )
