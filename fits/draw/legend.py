"""The key to a drawing: every symbol and line with its meaning."""

from __future__ import annotations

from fits.draw.ends import HEADS, bar
from fits.draw.labels import Rect, text_box
from fits.draw.marks import (
    BALL_CORE,
    GREEN,
    INK,
    PAPER,
    PENS,
    TURF,
    VERMILLION,
    Block,
    Label,
    Mark,
    Painting,
    Point,
    Polygon,
    Strokes,
)
from fits.draw.scale import WIDTH
from fits.draw.scene import Figure, LineKind, Shape
from fits.draw.symbols import Placed, half_width, symbol_marks

TITLE = "Key to the drawings"
ROW, TOP, SIZE = 21.0, 24.0, 9.6
SYMBOL_X, LINE_X, TEXT_GAP = 20.0, 138.0, 6.0
MEN = (
    (Shape.LINEMAN, False, "", "offensive line"),
    (Shape.TIGHT_END, False, "", "tight end"),
    (Shape.BACK, False, "", "back, receiver"),
    (Shape.BACK, True, "", "may get the ball"),
    (Shape.FRONT, False, "", "defensive line"),
    (Shape.BACKER, False, "", "linebacker"),
    (Shape.DEEP, False, "", "secondary"),
    (Shape.FRONT, False, "read", "left alone"),
)
WAYS = (
    (LineKind.FIT, "fit: to his lane"),
    (LineKind.OWN, "fit of the man it is drawn for"),
    (LineKind.COVER, "not in a lane: pass, overlap or free"),
    (LineKind.BALL, "the ball, to its lane"),
    (LineKind.READ, "the ball, if another man gets it"),
    (LineKind.ROUTE, "route that may be thrown"),
    (LineKind.BLOCK, "block; two bars: double, then up"),
    (LineKind.EYES, "the man he keys"),
    (LineKind.CHECK, "where he stood before the motion"),
    (LineKind.MOTION, "motion, from where he lined up"),
)
OTHERS = (
    (((0.0, 0.0, 5.5, 0.0), (20.0, -2.4, 25.5, -2.4), (20.0, 2.4, 25.5, 2.4)), INK, 2.6, "", "first step; pass set"),
    (((0.0, 0.0, 34.0, 0.0),), GREEN, 1.2, "1.5 2.5", "lane; its owners stand at its end"),
    (((0.0, 0.0, 34.0, 0.0),), VERMILLION, 2.2, "6 3", "lane that nobody owns"),
)


def legend_picture() -> Painting:
    """The key as a picture: men on the left, lines on the right, field cut short at the foot."""
    marks: list[Mark] = []
    said: list[Label] = [_text(TITLE, 10, 15, True)]
    for n, (shape, ball, left, words) in enumerate(MEN):
        y = TOP + (n + 0.5) * ROW
        man = Figure("", "", shape, 0, 0, "", ball, left=left)
        marks += symbol_marks(Placed(man, SYMBOL_X, y, 11.0 if shape is Shape.DEEP else half_width(man)), 1)
        said.append(_text(words, SYMBOL_X + 12 + TEXT_GAP, y + 3.4))
    for n, (way, words) in enumerate(WAYS):
        y = TOP + (n + 0.5) * ROW
        marks += _line(way, y)
        said.append(_text(words, LINE_X + 34 + TEXT_GAP, y + 3.4))
    for n, (legs, colour, width, dash, words) in enumerate(OTHERS, len(WAYS)):
        y = TOP + (n + 0.5) * ROW
        lines = tuple((Point(LINE_X + ax, y + ay), Point(LINE_X + bx, y + by)) for ax, ay, bx, by in legs)
        marks.append(Strokes(lines, colour, width, dash))
        said.append(_text(words, LINE_X + 34 + TEXT_GAP, y + 3.4))
    y = TOP + (len(MEN) + 0.5) * ROW
    zigzag = tuple(Point(SYMBOL_X + (2.2 if n % 2 else -2.2), y - 9 + n * 4.5) for n in range(5))
    marks.append(Strokes((zigzag,), TURF, 0.9))
    said.append(_text("field cut short", SYMBOL_X + 12 + TEXT_GAP, y + 3.4))
    height = TOP + (len(WAYS) + len(OTHERS)) * ROW + 6
    paper = Block(Rect(0, 0, WIDTH, height), 0, PAPER, kind="paper")
    words = "; ".join(label.text for label in said[1:])
    text = f"What the symbols and lines mean: {words}."
    return Painting(WIDTH, height, TITLE, text, "legend", (paper, *marks, *said))


def _line(way: LineKind, y: float) -> list[Mark]:
    colour, width, dash = PENS[way]
    points = [Point(LINE_X, y), Point(LINE_X + 32, y)]
    if way in (LineKind.CHECK, LineKind.MOTION):
        return [Strokes((tuple(points),), colour, width, dash)]
    if way is LineKind.BLOCK:
        return [Strokes((tuple(points), bar(points)), colour, width, dash)]
    head, neck = HEADS[way](points, 9.0 if way is LineKind.OWN else 6.5)
    core = [Strokes(((points[0], neck),), PAPER, BALL_CORE)] if way is LineKind.BALL else []
    return [Strokes(((points[0], neck),), colour, width, dash), *core, Polygon(head, colour, PAPER, 0.6)]


def _text(text: str, x: float, y: float, bold: bool = False) -> Label:
    return Label(text, Point(x, y), SIZE, bold, "start", INK, text_box(text, x, y, SIZE, bold, "start"), "note")
