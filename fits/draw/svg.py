"""Pictures written as SVG, with presentation attributes only, so that every renderer draws them alike."""

from __future__ import annotations

import math
import zlib
from collections.abc import Sequence
from typing import Any

import svgwrite
from svgwrite.container import Group
from svgwrite.path import Path
from svgwrite.shapes import Ellipse, Rect
from svgwrite.shapes import Polygon as SvgPolygon
from svgwrite.text import Text

from fits.derive.look import Look
from fits.draw.picture import Block, Label, Mark, Oval, Picture, Point, Polygon, Strokes, lay_out
from fits.draw.scene import Aligned, Scene, formation_scene, front_scene, look_scene
from fits.errors import BadRequest
from fits.field import COLLEGE, Hash, RuleBook
from fits.offense.formation import Formation, Player

FONT = "DejaVu Sans, Verdana, Arial, Helvetica, sans-serif"


def draw_look(look: Look, role: str | None = None, up: str = "offense", book: RuleBook = COLLEGE) -> str:
    """A look as SVG text. With a role, that man and his key come first and the others step back.

    `up` is the unit that plays up the page: the offense (seen from behind it) or the defense.
    Raises UnknownName for a role that is not in the look, BadRequest for an unknown orientation or a place that is no number.
    """
    return draw_scene(look_scene(look, role, book), up)


def draw_formation(formation: Formation, hash: Hash = Hash.MIDDLE, up: str = "offense", book: RuleBook = COLLEGE) -> str:
    """An offense alone as SVG text. Raises BadRequest."""
    return draw_scene(formation_scene(formation, hash, book), up)


def draw_front(
    offense: Formation | Sequence[Player],
    defenders: Sequence[Aligned],
    title: str = "",
    hash: Hash = Hash.MIDDLE,
    up: str = "offense",
    book: RuleBook = COLLEGE,
) -> str:
    """An alignment without a play as SVG text: the offense, and defenders by role, technique and place. Raises BadRequest."""
    players = offense.players if isinstance(offense, Formation) else offense
    name = title or (f"Front against {offense.name}" if isinstance(offense, Formation) else "Front")
    return draw_scene(front_scene(players, defenders, name, hash, book), up)


def draw_scene(scene: Scene, up: str = "offense") -> str:
    """Any scene as SVG text. Raises BadRequest."""
    return write_picture(lay_out(scene, up))


def write_picture(picture: Picture) -> str:
    """The SVG text of a picture. The same picture always gives the same text, ids included."""
    prefix = f"d{zlib.crc32(repr(picture).encode()):08x}"
    drawing = svgwrite.Drawing(size=(None, None), debug=False)
    drawing.attribs.update(
        {
            "viewBox": f"0 0 {number(picture.width)} {number(picture.height)}",
            "role": "img",
            "aria-labelledby": f"{prefix}-title {prefix}-desc",
            "font-family": FONT,
        }
    )
    drawing.elements.clear()  # an empty <defs> by default
    drawing.set_desc(title=picture.title, desc=picture.words)
    for element, name in zip(drawing.elements, ("title", "desc"), strict=True):
        element.xml.set("id", f"{prefix}-{name}")
    group = _with(Group(debug=False), {"id": f"{prefix}-marks", "stroke-linecap": "round", "stroke-linejoin": "round"})
    group.elements.extend(_WRITERS[type(mark)](mark) for mark in picture.marks)
    drawing.elements.append(group)
    return str(drawing.tostring())


def number(value: float) -> str:
    """A number with at most two decimals. Raises BadRequest for one that is not finite."""
    if not math.isfinite(value):
        raise BadRequest(f"cannot draw: expected a finite number, got {value!r}")
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _with(element: Any, attribs: dict[str, str]) -> Any:
    """The element with its attributes set at once; the empty ones are left out."""
    element.attribs.update({key: value for key, value in attribs.items() if value})
    return element


def _paint(mark: Polygon | Block | Oval) -> dict[str, str]:
    paint = {"fill": mark.fill, "data-kind": mark.kind, "data-role": mark.role}
    return paint | {"stroke": mark.stroke, "stroke-width": number(mark.width)} if mark.stroke else paint


def _polygon(mark: Polygon) -> Any:
    points = [(number(p.x), number(p.y)) for p in mark.points]
    return _with(SvgPolygon(points, debug=False), _paint(mark))


def _strokes(mark: Strokes) -> Any:
    lines = ["M" + " ".join(f"{number(p.x)},{number(p.y)}" for p in line) for line in mark.lines]
    pen = {"fill": "none", "stroke": mark.stroke, "stroke-width": number(mark.width), "stroke-dasharray": mark.dash}
    return _with(Path(["".join(lines)], debug=False), pen | {"data-kind": mark.kind, "data-role": mark.role})


def _block(mark: Block) -> Any:
    box = mark.box
    at, size = (number(box.left), number(box.top)), (number(box.right - box.left), number(box.bottom - box.top))
    return _with(Rect(at, size, debug=False), _paint(mark) | {"rx": number(mark.round) if mark.round else ""})


def _oval(mark: Oval) -> Any:
    at, radii = (number(mark.at.x), number(mark.at.y)), (number(mark.rx), number(mark.ry))
    return _with(Ellipse(at, radii, debug=False), _paint(mark))


def _label(mark: Label) -> Any:
    attribs = {
        "x": number(mark.at.x),
        "y": number(mark.at.y),
        "font-size": number(mark.size),
        "font-weight": "bold" if mark.bold else "",
        "text-anchor": "" if mark.anchor == "start" else mark.anchor,
        "fill": mark.fill,
        "data-kind": mark.kind,
        "data-role": mark.role,
    }
    return _with(Text(mark.text, debug=False), attribs)


_WRITERS: dict[type[Mark], Any] = {Polygon: _polygon, Strokes: _strokes, Block: _block, Oval: _oval, Label: _label}
