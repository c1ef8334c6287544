"""The defense as a blocker sees it: who is at the line, who is behind it, who covers whom."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Protocol

from fits.field import LEFT, RIGHT, Side
from fits.offense.formation import Offense

FIRST_LEVEL_Y = 2.2
SECOND_LEVEL_Y = 7.6
COVER_X = 0.85
HEAD_X = 0.2


class Spot(Protocol):
    """Anything that is a defender with a name and a place."""

    @property
    def name(self) -> str:
        """The role."""

    @property
    def x(self) -> float:
        """Yards from the ball."""

    @property
    def y(self) -> float:
        """Depth in yards."""


@dataclass(frozen=True, slots=True)
class Man:
    """A defender reduced to what a blocker needs."""

    name: str
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Front:
    """Defenders by level, left to right; `cover` maps an offensive role to (defender, shade outside positive) over him.

    `ranks` keeps whom each blocker would take with each block: the same for every play against this front.
    """

    first: tuple[Man, ...]
    second: tuple[Man, ...]
    deep: tuple[Man, ...]
    cover: Mapping[str, tuple[Man, float]]
    end: Mapping[Side, Man | None]
    ranks: dict[tuple[str, str, int], Any] = field(default_factory=dict, compare=False, repr=False)


def read_front(defenders: Sequence[Spot], offense: Offense) -> Front:
    """The front those defenders show to that offense."""
    men = sorted((Man(d.name, d.x, d.y) for d in defenders), key=lambda m: (m.x, m.y))
    reach = {s: offense.view(s).surface[-1].x * s + 3.5 for s in (LEFT, RIGHT)}

    def inside(m: Man) -> bool:
        return -reach[LEFT] <= m.x <= reach[RIGHT]

    first = tuple(m for m in men if m.y <= FIRST_LEVEL_Y and inside(m))
    second = tuple(m for m in men if FIRST_LEVEL_Y < m.y <= SECOND_LEVEL_Y and -12 <= m.x <= 12)
    near = {*first, *second}
    cover: dict[str, tuple[Man, float]] = {}
    surface = [offense.by_role["C"], *offense.left.surface, *offense.right.surface]
    for player in surface:
        over = [m for m in first if abs(m.x - player.x) <= COVER_X]
        if over:
            best = min(over, key=lambda m: abs(m.x - player.x))
            sign = 1 if player.x >= 0 else -1
            cover[player.role] = (best, (best.x - player.x) * sign)
    lefts, rights = [m for m in first if m.x < -0.5], [m for m in first if m.x > 0.5]
    return Front(
        first, second, tuple(m for m in men if m not in near), cover,
        {LEFT: lefts[0] if lefts else None, RIGHT: rights[-1] if rights else None},
    )  # fmt: skip
