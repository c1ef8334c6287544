"""The symbols of men: outlines for the offense, filled shapes for the defense."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from fits.draw.labels import Rect, text_width
from fits.draw.marks import BLUE, INK, VERMILLION, Block, Mark, Oval, Point, Polygon, faded
from fits.draw.scale import NARROW, Style
from fits.draw.scene import Figure, Shape


@dataclass(frozen=True, slots=True)
class Placed:
    """A man's symbol on the picture."""

    man: Figure
    x: float
    y: float
    half_w: float
    half_h: float = NARROW.half

    @property
    def box(self) -> Rect:
        """The room his symbol takes."""
        return Rect(self.x - self.half_w, self.y - self.half_h, self.x + self.half_w, self.y + self.half_h)


def half_width(man: Figure, style: Style = NARROW) -> float:
    """Half the width of his symbol: his label decides."""
    slack = (3.6 if man.shape is Shape.BACKER else 2.4) * style.pen
    return max(style.half, text_width(man.label, style.role, man.defense) / 2 + slack)


def symbol_marks(p: Placed, turn: int) -> Iterable[Mark]:
    """His symbol without its label. `turn` is 1 with the offense playing up the page, else -1."""
    m, x, y, w, h = p.man, p.x, p.y, p.half_w, p.half_h
    ink = INK if m.focus else faded(INK)
    if m.defense:
        yield _defense_shape(p, BLUE if m.focus else faded(BLUE), turn)
    elif m.shape is Shape.BACK:
        yield Oval(Point(x, y), max(w, h), h, "#FFFFFF", ink, 1.3, "man", m.role)
        if m.ball:
            yield Oval(Point(x, y), max(w, h) + 2.4, h + 2.4, "none", ink, 1.0, "carrier", m.role)
    else:
        yield Block(p.box, 5.0 if m.shape is Shape.TIGHT_END else 1.2, "#FFFFFF", ink, 1.3, "man", m.role)
    if m.left:
        yield Block(p.box.grown(2.6), 5, "none", VERMILLION if m.focus else faded(VERMILLION), 1.4, "left", m.role)
    if m.changed:
        yield Block(p.box.grown(2.6), 4, "none", INK, 1.4, "changed", m.role)
        yield Block(p.box.grown(5.2), 6, "none", INK, 1.4, "changed", m.role)
    if m.chief:
        yield Block(p.box.grown(3.4), 4, "none", INK, 1.8, "chief", m.role)


def _defense_shape(p: Placed, fill: str, turn: int) -> Mark:
    """A tab that points at the offense, a six-sided nut or a capsule: line, linebacker, secondary."""
    x, y, w, h = p.x, p.y, p.half_w, p.half_h
    if p.man.shape is Shape.DEEP:
        return Block(p.box, h, fill, kind="man", role=p.man.role)
    if p.man.shape is Shape.BACKER:
        corners = [(-w, 0), (-w + 4, -h), (w - 4, -h), (w, 0), (w - 4, h), (-w + 4, h)]
    else:
        corners = [(-w, -h), (w, -h), (w, h * 0.45), (0, h + 2), (-w, h * 0.45)]
    return Polygon(tuple(Point(x + dx, y + dy * turn) for dx, dy in corners), fill, kind="man", role=p.man.role)


def name_colour(man: Figure) -> str:
    """The colour of the label in his symbol."""
    if man.defense:
        return "#FFFFFF" if man.focus else INK
    return INK if man.focus else faded(INK)
