"""The defense as a blocker sees it: who is at the line, who is behind it, who covers whom."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple, Protocol

from fits.field import LEFT, RIGHT, Side
from fits.offense.formation import Offense
from fits.values import field, value

FIRST_LEVEL_Y = 2.2
EDGE_LEVEL_Y = 3.2  # a man outside the tackle counts as one at the line a yard deeper
EDGE_X = 3.7
SECOND_LEVEL_Y = 7.6
RUSH_Y = 1.0  # where a man who comes from the second level meets his blocker
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

    @property
    def to_x(self) -> float:
        """Where called movement takes him."""

    @property
    def path(self) -> tuple[tuple[float, float], ...]:
        """The way there; empty when he stays."""


class Man(NamedTuple):
    """A defender reduced to what a blocker needs."""

    name: str
    x: float
    y: float
    to_x: float  # where a called movement takes him; blockers meet him there


@value
class Levels:
    """Defenders by level, left to right; `cover` maps a role to (defender over him, shade outside positive).

    `orders` keeps in which order they are looked for, as every play against them asks the same.
    """

    first: tuple[Man, ...]
    second: tuple[Man, ...]
    deep: tuple[Man, ...]
    cover: Mapping[str, tuple[Man, float]]
    end: Mapping[Side, Man | None]
    orders: dict[Any, Any] = field(default_factory=dict, compare=False, repr=False)


def _seen(d: Spot) -> Man:
    """The man as blockers count him: who comes through a gap from the second level is at the line, in that gap."""
    if d.path and d.y > FIRST_LEVEL_Y:
        return Man(d.name, d.to_x, RUSH_Y, d.to_x)
    return Man(d.name, d.x, d.y, d.to_x)


def read_front(defenders: Sequence[Spot], offense: Offense) -> Levels:
    """The front those defenders show to that offense."""
    men = sorted((_seen(d) for d in defenders), key=lambda m: (m.x, m.y))
    reach = {s: offense.view(s).surface[-1].x * s + 3.5 for s in (LEFT, RIGHT)}

    def inside(m: Man) -> bool:
        return -reach[LEFT] <= m.x <= reach[RIGHT]

    def at_the_line(m: Man) -> bool:
        return m.y <= (EDGE_LEVEL_Y if abs(m.x) > EDGE_X else FIRST_LEVEL_Y) and inside(m)

    first = tuple(m for m in men if at_the_line(m))
    line = frozenset(first)
    second = tuple(m for m in men if m not in line and m.y <= SECOND_LEVEL_Y and -12 <= m.x <= 12)
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
    return Levels(
        first, second, tuple(m for m in men if m not in near), cover,
        {LEFT: lefts[0] if lefts else None, RIGHT: rights[-1] if rights else None},
    )  # fmt: skip
