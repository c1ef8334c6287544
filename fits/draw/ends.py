"""The ends of lines: arrowheads, the bar of a block, the ball of a ball carrier."""

from __future__ import annotations

import math
from collections.abc import Sequence

from fits.draw.marks import Point
from fits.draw.scene import LineKind


def direction(points: Sequence[Point]) -> Point:
    """The unit vector of the last leg that has a length."""
    b = points[-1]
    for a in reversed(points[:-1]):
        length = math.hypot(b.x - a.x, b.y - a.y)
        if length > 1e-6:
            return Point((b.x - a.x) / length, (b.y - a.y) / length)
    return Point(0.0, -1.0)


def arrow(points: Sequence[Point], size: float) -> tuple[tuple[Point, ...], Point]:
    """The corners of an arrowhead at the end of a line, and where the line stops behind it."""
    tip, u = points[-1], direction(points)
    base = Point(tip.x - u.x * size, tip.y - u.y * size)
    half = size * 0.48
    head = (tip, Point(base.x - u.y * half, base.y + u.x * half), Point(base.x + u.y * half, base.y - u.x * half))
    return head, Point(tip.x - u.x * size * 0.8, tip.y - u.y * size * 0.8)


def spear(points: Sequence[Point], size: float) -> tuple[tuple[Point, ...], Point]:
    """A ball at the end of a ball carrier's line: two arcs that meet in points, rather longer than an arrowhead."""
    tip, u = points[-1], direction(points)
    length, half = size * 1.7, size * 0.6
    shape = ((0.0, 0.0), (0.22, 0.72), (0.5, 1.0), (0.78, 0.72), (1.0, 0.0), (0.78, -0.72), (0.5, -1.0), (0.22, -0.72))
    corners = tuple(
        Point(tip.x - u.x * a * length - u.y * b * half, tip.y - u.y * a * length + u.x * b * half) for a, b in shape
    )
    return corners, Point(tip.x - u.x * length * 0.9, tip.y - u.y * length * 0.9)


def kite(points: Sequence[Point], size: float) -> tuple[tuple[Point, ...], Point]:
    """A diamond at the end of an eye line."""
    tip, u = points[-1], direction(points)
    half = size * 0.5
    middle = Point(tip.x - u.x * half, tip.y - u.y * half)
    tail = Point(tip.x - u.x * size, tip.y - u.y * size)
    return (
        tip,
        Point(middle.x - u.y * half, middle.y + u.x * half),
        tail,
        Point(middle.x + u.y * half, middle.y - u.x * half),
    ), tail


def bar(points: Sequence[Point], half: float = 5.0) -> tuple[Point, Point]:
    """The bar across the end of a block."""
    tip, u = points[-1], direction(points)
    return Point(tip.x - u.y * half, tip.y + u.x * half), Point(tip.x + u.y * half, tip.y - u.x * half)


HEADS = {
    LineKind.FIT: arrow, LineKind.OWN: arrow, LineKind.ROUTE: arrow, LineKind.COVER: arrow,
    LineKind.BALL: spear, LineKind.READ: spear,
    LineKind.EYES: kite,
}  # fmt: skip
