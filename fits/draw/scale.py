"""Where a point of the field stands on the picture."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import pairwise

from fits.errors import BadRequest
from fits.field import LEFT, RIGHT, Hash, RuleBook, Side

WIDTH = 360.0  # picture units of the narrow drawing; one unit is one pixel on a phone
DEEP = 7.5  # yards; beyond this, depth is drawn shorter
DEEP_SCALE = 0.62
ORIENTATIONS = ("offense", "defense")


@dataclass(frozen=True, slots=True)
class Style:
    """The measures of one kind of drawing, in picture units (one is one pixel at the size it is made for) and yards."""

    width: float
    margin: float
    sideline_gap: float  # from the outermost man to the sideline, when it is in view
    core: tuple[float, float]  # least and most yards from the ball drawn at full scale
    zone: tuple[float, float]  # room beyond the break, and for each column of men there
    rise: tuple[float, float]  # least and most units for a yard of depth
    half: float  # half the height of a symbol
    role: float
    tag: float
    note: float
    title: float
    rail: tuple[float, float]  # most and least
    pen: float  # factor for the width of lines and the size of their heads
    owners: bool  # who has a lane stands at its end, and how far from the ball a wide man is beside him
    slack: float = 0.0  # yards at full scale beyond the last inner man
    least: float = 8.5  # of a line, from the edge of its man's symbol
    ball: float = 1.0  # its size
    sparse: bool = False  # of a man's own view: only he, his keys and his lane have words beside them


NARROW = Style(WIDTH, 14, 12, (5.6, 9.2), (12, 20), (17.5, 22), 8, 10, 9.5, 10, 12, (9.6, 7), 1.0, False)
WIDE = Style(
    960, 22, 18, (6.5, 10.5), (30, 44), (25, 29), 12.5, 15, 13, 14, 20, (13.5, 12), 1.5, True, 1.0, 14, 1.6
)  # fmt: skip
PLAYER = replace(
    NARROW, half=10, role=12, tag=12.5, rail=(13, 12), pen=1.35, rise=(19, 24), least=10, ball=1.5, sparse=True
)  # a man's own view on his phone: no text under 12 pixels at 360
LARGE = replace(WIDE, half=17, role=20, tag=17, rail=(17, 15), pen=2.0, rise=(27, 31), least=18, ball=2.2)  # projector


def finite(value: float, what: str) -> float:
    """The value, if it is a number a picture can use. Raises BadRequest otherwise."""
    if not math.isfinite(value):
        raise BadRequest(f"cannot draw {what}: expected a finite number of yards, got {value!r}")
    return value


@dataclass(frozen=True, slots=True)
class Edge:
    """One side of the picture: yards at full scale, and how far the shortened part beyond the break reaches."""

    core: float
    outer: float
    zone: float  # picture units given to the part beyond the break
    sideline: bool

    @property
    def broken(self) -> bool:
        """True when the part beyond the core is drawn narrower than it is."""
        return self.zone > 0


@dataclass(frozen=True, slots=True)
class Scale:
    """Yards to picture units: full scale near the ball, shortened beyond the break; `turn` is -1 for defense up."""

    left: Edge
    right: Edge
    scale: float
    y_scale: float
    ball_x: float
    ball_y: float
    turn: int
    style: Style = NARROW

    def x(self, yards: float) -> float:
        """Picture x of a distance from the ball."""
        return self.ball_x + self.turn * self.across(yards)

    def across(self, yards: float) -> float:
        """Picture units from the ball, positive to the offense's right."""
        edge, size = (self.right, yards) if yards >= 0 else (self.left, -yards)
        units = min(size, edge.core) * self.scale
        if size > edge.core:
            span = max(edge.outer - edge.core, 0.1)
            units += (size - edge.core) * (edge.zone / span if edge.broken else self.scale)
        return units if yards >= 0 else -units

    def field(self, x: float, y: float) -> tuple[float, float]:
        """The point of the field, in yards, that is drawn there: what `at` does, the other way round."""
        units = (x - self.ball_x) * self.turn
        edge, size = (self.right, units) if units >= 0 else (self.left, -units)
        whole = edge.core * self.scale
        yards = size / self.scale
        if size > whole:
            span = max(edge.outer - edge.core, 0.1)
            yards = edge.core + (size - whole) / (edge.zone / span if edge.broken else self.scale)
        depth = (self.ball_y - y) * self.turn / self.y_scale
        depth = depth if depth <= DEEP else DEEP + (depth - DEEP) / DEEP_SCALE
        return yards if units >= 0 else -yards, depth

    def sideline(self, side: Side) -> float:
        """Picture x of that sideline, where the edge shows it: a step outside the outermost man."""
        edge = self.right if side is RIGHT else self.left
        return self.x(side * edge.outer) + self.turn * side * self.style.sideline_gap

    def y(self, yards: float) -> float:
        """Picture y of a distance from the line of scrimmage."""
        return self.ball_y - self.turn * deep(yards) * self.y_scale

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Picture point of a point of the field."""
        return self.x(x), self.y(y)


def deep(yards: float) -> float:
    """Depth as drawn, in yards: true up to DEEP, shortened beyond."""
    return yards if yards <= DEEP else DEEP + (yards - DEEP) * DEEP_SCALE


def fit_frame(
    inner: Iterable[float], outer: Iterable[float], hash_: Hash, book: RuleBook, up: str, style: Style = NARROW
) -> Scale:
    """The frame that shows every x: `inner` ones at full scale where that is possible, `outer` ones at least shortened.

    The line of scrimmage is left at 0: move it with `replace`. Raises BadRequest for an unknown orientation.
    """
    if up not in ORIENTATIONS:
        raise BadRequest(f"expected up to be one of {', '.join(ORIENTATIONS)}, got {up!r}")
    inner, outer = list(inner), list(outer)
    left, right = (_edge(side, inner, outer, book.room(hash_, side), style) for side in (LEFT, RIGHT))
    room = style.width - _margin(left, style) - _margin(right, style) - left.zone - right.zone
    scale = room / (_full(left) + _full(right))
    turn = 1 if up == "offense" else -1
    near = left if turn > 0 else right
    start = _margin(near, style) + near.zone + _full(near) * scale
    rise = min(max(scale * 1.18, style.rise[0]), style.rise[1])
    return Scale(left, right, scale, rise, start, 0.0, turn, style)


def _margin(edge: Edge, style: Style) -> float:
    return style.margin + (style.sideline_gap if edge.sideline else 0.0)


def _full(edge: Edge) -> float:
    return edge.core if edge.broken else edge.outer


def _edge(side: Side, inner: list[float], outer: list[float], room: float, style: Style) -> Edge:
    low, high = style.core
    near = max((x * side for x in inner if x * side <= high), default=0.0)
    core = min(max(near + style.slack, low), high)
    wide = sorted({round(x * side, 1) for x in outer if x * side > core})
    far = wide[-1] if wide else core
    sideline = room - far <= 3.0
    if far - core <= 1.6:
        return Edge(far, max(far, core), 0.0, sideline)
    columns = 1
    for a, b in pairwise(wide):
        columns += b - a > 1.5
    return Edge(core, far, style.zone[0] + style.zone[1] * min(columns, 3), sideline)
