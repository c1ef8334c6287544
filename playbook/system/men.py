"""The men of a front on a drawing to pick one from: the engine's places, spread so that each can be touched."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import fits
from playbook.models import Position

WIDE, LINE, REACH = 440.0, 150.0, 13.0
PLAIN, FULL, FEW = 8.0, 21.0, 4.6  # yards drawn in full beside the ball; units a yard there, and beyond


@dataclass(frozen=True, slots=True)
class Spot:
    """One man of the drawing. `position` is empty for the offense; `text` is what stands on him."""

    text: str
    position: str
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class MenPicture:
    """The men, defense above the line. Units of the picture, from its left upper corner."""

    ours: tuple[Spot, ...]
    theirs: tuple[Spot, ...]
    width: float = WIDE
    height: float = LINE + 45.0
    line: float = LINE + 8.0


@dataclass(frozen=True, slots=True)
class Man:
    """A position of the system to pick, and whether this front or coverage has a rule for it."""

    position: Position
    rules: int


def men_picture(
    defense: Sequence[tuple[str, str, float, float]], offense: Sequence[tuple[str, float, float]]
) -> MenPicture:
    """Returns the drawing of men given as (name, position, x, y) and (name, x, y), in yards from the ball."""
    ours: list[Spot] = []
    for name, position, x, y in sorted(defense, key=lambda man: (man[3], man[2])):
        spot = Spot(position or name, position, _across(x), LINE - 14 - 11.5 * min(y, 6) - 4 * max(0.0, min(y, 18) - 6))
        while any(abs(spot.x - o.x) < 2 * REACH and abs(spot.y - o.y) < 2 * REACH for o in ours) and spot.y > REACH:
            spot = Spot(spot.text, spot.position, spot.x, spot.y - 6)
        ours.append(Spot(spot.text, spot.position, round(spot.x, 1), round(max(spot.y, REACH + 2), 1)))
    on_line = [man for man in offense if man[2] > -1.5]
    return MenPicture(tuple(ours), tuple(Spot(name, "", round(_across(x), 1), LINE + 24) for name, x, _ in on_line))


def _across(x: float) -> float:
    beyond = max(0.0, abs(x) - PLAIN)
    units = min(FULL * min(abs(x), PLAIN) + FEW * beyond, WIDE / 2 - REACH - 2)
    return WIDE / 2 + (units if x > 0 else -units)


def first_man(men: Sequence[Man], group: str) -> str:
    """Returns whose rules are shown first: one of the group with rules, else anybody with rules, else the first man."""
    with_rules = [man for man in men if man.rules] or list(men)
    found = [man for man in with_rules if man.position.group == group] or with_rules
    return found[0].position.name if found else ""


def picture_of_look(look: fits.Look) -> MenPicture:
    """Returns the men of a look as they stand."""
    return men_picture(
        [(man.role, man.position, man.x, man.y) for man in look.defenders],
        [(man.role, man.x, man.y) for man in look.offense],
    )
