"""What a picture is made of: marks in picture units, the colours and the pens."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from fits.draw.labels import Rect
from fits.draw.scene import LineKind

# Okabe and Ito's palette (2002), with a paper and an ink of our own.
PAPER, INK, QUIET, TURF = "#FCFBF7", "#1A1A1A", "#5A5F63", "#C9CDC6"
BLUE, VERMILLION, GREEN, PURPLE, ORANGE, SKY = "#0072B2", "#D55E00", "#009E73", "#CC79A7", "#E69F00", "#56B4E9"
LANE_INK, OPEN_INK = "#00714F", "#A84300"  # green and vermillion dark enough for words
ORDER = list(LineKind)
BALL_CORE = 1.4  # width of the white between the two lines of the ball's path
PENS = {
    LineKind.BLOCK: (QUIET, 1.1, ""),
    LineKind.FIT: (BLUE, 1.9, ""),
    LineKind.OWN: (BLUE, 3.4, ""),
    LineKind.COVER: (BLUE, 1.4, "4 2.5"),
    LineKind.BALL: (VERMILLION, 3.6, ""),  # a double line: the core is left white
    LineKind.READ: (VERMILLION, 1.8, "8 3 2 3"),
    LineKind.ROUTE: (VERMILLION, 1.6, "5 2 1 2"),
    LineKind.EYES: (PURPLE, 1.6, "1.5 3"),
    LineKind.CHECK: (QUIET, 1.1, "1 2.2"),
    LineKind.MOTION: (VERMILLION, 1.3, "3 2"),
}


class Point(NamedTuple):
    """A point in picture units."""

    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Polygon:
    """A filled, closed shape."""

    points: tuple[Point, ...]
    fill: str
    stroke: str = ""
    width: float = 0.0
    kind: str = ""
    role: str = ""


@dataclass(frozen=True, slots=True)
class Strokes:
    """Lines that share one pen; `dash` is the pattern, empty for solid."""

    lines: tuple[tuple[Point, ...], ...]
    stroke: str
    width: float
    dash: str = ""
    kind: str = ""
    role: str = ""


@dataclass(frozen=True, slots=True)
class Block:
    """A rectangle, or with `round` the half of its height a capsule."""

    box: Rect
    round: float
    fill: str
    stroke: str = ""
    width: float = 0.0
    kind: str = ""
    role: str = ""


@dataclass(frozen=True, slots=True)
class Oval:
    """An ellipse."""

    at: Point
    rx: float
    ry: float
    fill: str
    stroke: str = ""
    width: float = 0.0
    kind: str = ""
    role: str = ""


@dataclass(frozen=True, slots=True)
class Label:
    """One line of text; `box` is the room it takes."""

    text: str
    at: Point
    size: float
    bold: bool
    anchor: str
    fill: str
    box: Rect
    kind: str = ""
    role: str = ""


Mark = Polygon | Strokes | Block | Oval | Label


@dataclass(frozen=True, slots=True)
class Part:
    """Marks that are shown and hidden together; `man` is whose they are (`d:M`, `o:LG`), `moves` what goes with him."""

    layer: str
    marks: tuple[Mark, ...]
    man: str = ""
    moves: bool = False


@dataclass(frozen=True, slots=True)
class Painting:
    """Marks in the order they are painted; a picture for a page has them in parts as well."""

    width: float
    height: float
    title: str
    words: str
    view: str
    marks: tuple[Mark, ...]
    parts: tuple[Part, ...] = ()

    @property
    def labels(self) -> tuple[Label, ...]:
        """Every label on the picture."""
        return tuple(m for m in self.marks if isinstance(m, Label))


def faded(colour: str) -> str:
    """The colour mixed into the paper, for men who are not the subject."""
    return mixed(colour, PAPER)


def mixed(colour: str, paper: str) -> str:
    """Half of the colour on that paper: quiet, and ink still stands out of it by 3:1."""
    parts = (round(int(colour[i : i + 2], 16) * 0.5 + int(paper[i : i + 2], 16) * 0.5) for i in (1, 3, 5))
    return "#" + "".join(f"{c:02X}" for c in parts)
