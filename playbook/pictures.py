"""A small picture for a word: men as boxes and dots, and a way. Units of a picture 72 wide and 48 high."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Picture:
    """A word with its picture: the offense's men, the defense's, somebody's way (an SVG path), what the word means.

    `text` is what stands under it, the word itself where it is empty.
    """

    word: str
    meaning: str
    boxes: tuple[Point, ...]
    dots: tuple[Point, ...]
    path: str
    dashed: bool = False
    text: str = ""

    @property
    def said(self) -> str:
        """What stands under the picture."""
        return self.text or self.word


def way(points: Sequence[Point], end: str) -> str:
    """Returns a way as an SVG path: with a bar across its end where it is a block, with an arrow in the open.

    >>> way([(0, 10), (0, 0)], "bar")
    'M0 10L0 0M-5 0L5 0'
    """
    if len(points) < 2:
        return ""
    text = "M" + "L".join(f"{x:g} {y:g}" for x, y in points)
    (ax, ay), (bx, by) = points[-2], points[-1]
    long = hypot(bx - ax, by - ay) or 1.0
    ux, uy = (bx - ax) / long, (by - ay) / long
    if end == "bar":
        return text + f"M{bx + 5 * uy:g} {by - 5 * ux:g}L{bx - 5 * uy:g} {by + 5 * ux:g}"
    if end == "open":
        left, right = (bx - 5 * ux + 3 * uy, by - 5 * uy - 3 * ux), (bx - 5 * ux - 3 * uy, by - 5 * uy + 3 * ux)
        return text + f"M{left[0]:.3g} {left[1]:.3g}L{bx:g} {by:g}L{right[0]:.3g} {right[1]:.3g}"
    return text
