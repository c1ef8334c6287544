"""What a coverage leaves to nobody, or to two men, on any play: flats, deep parts, #3. Common practice."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fits.field import LEFT, RIGHT, Side
from fits.offense.formation import Offense
from fits.rules.snap import Aligned
from fits.values import value

UNDERNEATH = ("flat", "curl", "hook")
DEEP_BY_SIDE = ("deep half", "deep third")
MIDDLE = "deep middle"


@value
class DutyGap:
    """A duty on a side (None: the middle) that nobody has (`men` empty) or that more than one man has."""

    duty: str
    side: Side | None
    men: tuple[str, ...]


def is_deep(takes: str) -> bool:
    """True for a deep part of the field."""
    return takes.startswith("deep")


def is_underneath(takes: str) -> bool:
    """True for a short zone: flat, curl or hook."""
    return not is_deep(takes) and any(word in takes for word in UNDERNEATH)


def duty_gaps(named: Iterable[str], men: Sequence[Aligned], offense: Offense) -> tuple[DutyGap, ...]:
    """The gaps of a coverage whose rules name these duties, with these men in these places."""
    every = " | ".join(named)
    out: list[DutyGap] = []
    if MIDDLE in every:
        _one(out, MIDDLE, None, [d.name for d in men if d.takes == MIDDLE])
    for side in (LEFT, RIGHT):
        mine = [d for d in men if _side(d) is side]
        receivers = len(offense.view(side).receivers)
        for part in DEEP_BY_SIDE:
            if part in every:
                _one(out, part, side, [d.name for d in mine if d.takes == part])
        held = 0
        for n in range(1, receivers + 1):
            who = [d.name for d in mine if d.takes == f"#{n}"]
            held += bool(who)
            if f"#{n}" in every:
                _one(out, f"#{n}", side, who)
        if "flat" in every and receivers > 1:
            who = [d.name for d in mine if "flat" in d.takes]
            if len(who) > 1 or held < receivers:
                _one(out, "flat", side, who)
    return tuple(out)


def _one(out: list[DutyGap], duty: str, side: Side | None, who: list[str]) -> None:
    if len(who) != 1:
        out.append(DutyGap(duty, side, tuple(sorted(who))))


def _side(d: Aligned) -> Side | None:
    return d.side if d.side is not None else RIGHT if d.x > 0.25 else LEFT if d.x < -0.25 else None
