"""Text boxes: how wide a label is, and where it can stand without covering another."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from fits.errors import BadRequest

# Advance widths in hundredths of the font size, bold; a wide sans, so that narrower ones fit too.
# Source: measured from DejaVu Sans Bold 2.37, characters 32 to 126.
_ADVANCE = (
    35, 46, 52, 84, 70, 100, 87, 31, 46, 46, 52, 84, 38, 42, 38, 37, 70, 70, 70, 70, 70, 70, 70, 70, 70, 70, 40, 40, 84,
    84, 84, 58, 100, 77, 76, 73, 83, 68, 68, 82, 84, 37, 37, 77, 64, 100, 84, 85, 73, 85, 77, 72, 68, 81, 77, 110, 77,
    72, 73, 46, 37, 46, 84, 50, 50, 67, 72, 59, 72, 68, 44, 72, 71, 34, 34, 67, 34, 104, 71, 69, 72, 72, 49, 60, 48, 71,
    65, 92, 65, 65, 58, 71, 37, 71, 84,
)  # fmt: skip
_REGULAR = 0.93  # the regular cut is narrower
RANK_COST = 0.3  # of each later side, against 1 for a line struck and 4 for a neighbour
CLOSE = 5.0  # a label nearer than this to a second symbol is ambiguous
ASCENT, DESCENT = 0.78, 0.22  # of the font size, above and below the baseline


class Rect(NamedTuple):
    """A box in picture units. (Named tuples here: a drawing makes a thousand of them.)"""

    left: float
    top: float
    right: float
    bottom: float

    def overlaps(self, other: Rect) -> bool:
        """True when the two share more than an edge."""
        return (
            self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom
        )

    def grown(self, by: float) -> Rect:
        """The box with that much more on every side."""
        return Rect(self.left - by, self.top - by, self.right + by, self.bottom + by)


@lru_cache(maxsize=4096)
def text_width(text: str, size: float, bold: bool = False) -> float:
    """Width of one line of text, on the generous side.

    >>> text_width("MS", 10, bold=True)
    17.2
    """
    total = 0
    for char in text:
        code = ord(char) - 32
        total += _ADVANCE[code] if 0 <= code < 95 else 100
    return total * size * (1 if bold else _REGULAR) / 100


def text_box(text: str, x: float, baseline: float, size: float, bold: bool = False, anchor: str = "middle") -> Rect:
    """The box of one line of text whose anchor stands at (x, baseline)."""
    width = text_width(text, size, bold)
    left = {"start": x, "middle": x - width / 2, "end": x - width}[anchor]
    return Rect(left, baseline - ASCENT * size, left + width, baseline + DESCENT * size)


def wrap_text(text: str, width: float, size: float, bold: bool = False) -> list[str]:
    """Lines no wider than `width`, broken at spaces; a single longer word is broken where it must be."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        trial = f"{line} {word}" if line else word
        if text_width(trial, size, bold) <= width:
            line = trial
            continue
        if line:
            lines.append(line)
        while len(word) > 1 and text_width(word, size, bold) > width:
            cut = next(n for n in range(len(word) - 1, 0, -1) if n == 1 or text_width(word[:n], size, bold) <= width)
            lines.append(word[:cut])
            word = word[cut:]
        line = word
    return [*lines, line] if line else lines


class Leg(NamedTuple):
    """One straight piece of a drawn line."""

    ax: float
    ay: float
    bx: float
    by: float

    def crosses(self, box: Rect) -> bool:
        """True when part of it lies in the box: the box is not wholly on one side of it."""
        ax, ay, bx, by = self.ax, self.ay, self.bx, self.by
        if (ax <= box.left and bx <= box.left) or (ax >= box.right and bx >= box.right):
            return False
        if (ay <= box.top and by <= box.top) or (ay >= box.bottom and by >= box.bottom):
            return False
        dx, dy = bx - ax, by - ay
        sides = (
            dx * (box.top - ay) - dy * (box.left - ax),
            dx * (box.top - ay) - dy * (box.right - ax),
            dx * (box.bottom - ay) - dy * (box.left - ax),
            dx * (box.bottom - ay) - dy * (box.right - ax),
        )
        return min(sides) <= 0 <= max(sides)


class Places:
    """The boxes and strokes already on the picture; finds room for the next label.

    Boxes are never covered; strokes are avoided where possible. `bounds` is the picture.
    """

    def __init__(self, bounds: Rect) -> None:
        self.bounds = bounds
        self.boxes: list[Rect] = []
        self._legs: list[Leg] = []

    def take(self, box: Rect) -> None:
        """Mark a box as taken."""
        self.boxes.append(box)

    def take_line(self, points: Sequence[tuple[float, float]]) -> None:
        """Mark a drawn line as better left uncovered."""
        self._legs.extend(Leg(ax, ay, bx, by) for (ax, ay), (bx, by) in pairwise(points))

    def find(self, around: Rect, width: float, height: float, first: int = -1) -> Rect:
        """A free box of that size near `around`: beside it if possible, else in widening rings. It is then taken.

        `first` is the side tried first: -1 above, 1 below. A place next to another box is a last choice: it could be
        read as that one's label. Raises BadRequest when the picture is full.
        """
        cx, cy = (around.left + around.right) / 2, (around.top + around.bottom) / 2
        half_w, half_h = (around.right - around.left) / 2, (around.bottom - around.top) / 2
        for ring in range(200):  # three units a ring: the whole picture in the end
            off = 1.5 + ring * 3.0
            reach = Rect(
                around.left - off - width,
                around.top - off - height,
                around.right + off + width,
                around.bottom + off + height,
            )
            low, high, start, end = reach.top, reach.bottom, reach.left, reach.right
            boxes = [b for b in self.boxes if b.left < end and start < b.right and b.top < high and low < b.bottom]
            neighbours = [b for b in boxes if not b.overlaps(around)]
            legs = [leg for leg in self._legs if leg.crosses(reach)]
            best: tuple[float, Rect] | None = None
            for rank, (dx, dy) in enumerate(_DIRECTIONS):
                if best is not None and best[0] <= rank * RANK_COST:
                    break
                x, y = cx + dx * (half_w + off + width / 2), cy - dy * first * (half_h + off + height / 2)
                if abs(dx) < 1:  # above or below: slide inwards at the edge of the picture
                    x = min(max(x, self.bounds.left + width / 2), self.bounds.right - width / 2)
                box = Rect(x - width / 2, y - height / 2, x + width / 2, y + height / 2)
                if not self._inside(box) or any(box.overlaps(other) for other in boxes):
                    continue
                close = box.grown(CLOSE)
                cost = rank * RANK_COST + sum(leg.crosses(box) for leg in legs)
                cost += 4 * sum(close.overlaps(other) for other in neighbours)
                if best is None or cost < best[0]:
                    best = cost, box
            if best is not None:
                self.take(best[1])
                return best[1]
        raise BadRequest("cannot draw: expected room for every label, got too many long labels on one picture")

    def _inside(self, box: Rect) -> bool:
        b = self.bounds
        return box.left >= b.left and box.right <= b.right and box.top >= b.top and box.bottom <= b.bottom


_DIRECTIONS = ((0, -1), (1, 0), (-1, 0), (0, 1), (1, -0.8), (-1, -0.8), (1, 0.8), (-1, 0.8), (0.5, -1), (-0.5, -1))


def overlapping(boxes: Iterable[Rect]) -> list[tuple[Rect, Rect]]:
    """Every pair of boxes that cover each other."""
    found: list[tuple[Rect, Rect]] = []
    open_: list[Rect] = []
    for box in sorted(boxes, key=lambda b: b.left):
        open_ = [o for o in open_ if o.right > box.left]
        found.extend((o, box) for o in open_ if o.overlaps(box))
        open_.append(box)
    return found
