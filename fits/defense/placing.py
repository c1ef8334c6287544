"""The words for a place: what an alignment rule would have to say to put a man where a coach has put him by hand."""

from __future__ import annotations

from contextlib import suppress

from fits.defense.align import place_at, rule_that_places
from fits.defense.roles import Group, Role
from fits.defense.system import AlignRule, Call
from fits.errors import FitsError, UnknownName
from fits.offense.formation import Offense
from fits.values import value

LANDMARKS = (
    "apex", "over #1", "over #2", "over #3", "over guard", "over tackle", "over tight end", "over end man", "middle",
    "half",
)  # fmt: skip
STEP = 0.5  # yards: nobody is told to stand nearer than that
MOST_SHIFT = 2.5  # yards from what he is placed by; farther away he is placed by something else
# How many yards a phrase may be off before a longer one is better (our choice).
SHIFTED, DEEPER, SIDED, UNUSUAL = 0.6, 0.2, 0.1, 0.4


@value
class Place:
    """A place in the words of an alignment rule: the phrase, where it puts him (yards), and what puts him now."""

    at: str
    x: float
    y: float
    rule: AlignRule | None


def name_place(call: Call, offense: Offense, role: str, x: float, y: float, yard_line: float | None = None) -> Place:
    """The shortest phrase that puts a man within about half a yard of (x, y).

    Linemen and backers are placed by techniques rather than by landmarks, the secondary the other way round (common
    practice). Raises UnknownName for a role that the call does not have.
    """
    man = next((r for r in call.roles if r.name == role), None)
    if man is None:
        raise UnknownName("role", role, [r.name for r in call.roles])
    best: tuple[float, str] | None = None
    for mark in (*call.scheme.techniques, *LANDMARKS):
        usual = (mark in LANDMARKS) is (man.group is Group.SECONDARY)
        for side in ("", " to strength", " to weak"):
            with suppress(FitsError, ValueError):
                cost, words = _phrase(call, man, (mark, side), offense, (x, y), yard_line)
                cost += (0.0 if usual else UNUSUAL) + (SIDED if side else 0.0)
                if best is None or cost < best[0] - 1e-9:
                    best = cost, words
    words = best[1] if best else "middle"
    there = place_at(call, man, words, offense, yard_line)
    return Place(words, *there, rule_that_places(call, man, offense, yard_line))


def _phrase(
    call: Call,
    man: Role,
    mark: tuple[str, str],
    offense: Offense,
    spot: tuple[float, float],
    yard_line: float | None,
) -> tuple[float, str]:
    """A phrase by that mark that puts him at the spot, and what it costs; moved and put at a depth where needed."""
    name, side = mark
    here = place_at(call, man, name + side, offense, yard_line)
    out = 1 if (here[0] or spot[0]) > 0 else -1
    shift = round((spot[0] - here[0]) * out / STEP) * STEP
    if abs(shift) > MOST_SHIFT or (here[0] == 0 and shift):
        shift = 0.0
    deep = round(spot[1] / STEP) * STEP
    words, cost = name, 0.0
    if shift:
        words += f" {'outside' if shift > 0 else 'inside'} by {abs(shift):g}"
        cost += SHIFTED + 0.1 * abs(shift)
    if abs(here[1] - spot[1]) >= STEP:
        words += f", {max(deep, STEP):g} deep"
        cost += DEEPER
    words += side
    x, y = place_at(call, man, words, offense, yard_line)
    return cost + abs(x - spot[0]) + abs(y - spot[1]), words
