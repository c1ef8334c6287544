"""Pictures written as SVG, with presentation attributes only, so that every renderer draws them alike."""

from __future__ import annotations

import math
import re
import zlib
from collections.abc import Iterable, Sequence
from dataclasses import replace
from enum import Enum
from functools import lru_cache
from itertools import groupby
from typing import Any, Protocol

import svgwrite
from svgwrite.container import Group
from svgwrite.path import Path
from svgwrite.shapes import Ellipse, Rect
from svgwrite.shapes import Polygon as SvgPolygon
from svgwrite.text import Text

from fits.derive.look import Look
from fits.draw.legend import legend_picture
from fits.draw.marks import Block, Label, Mark, Oval, Painting, Polygon, Strokes
from fits.draw.picture import lay_out, shifts, spot_after
from fits.draw.scale import LARGE, NARROW, PLAYER, WIDE, Style
from fits.draw.scene import (
    Aligned,
    LaneMark,
    LineKind,
    ManKey,
    Scene,
    formation_scene,
    front_scene,
    look_scene,
    mark_changed,
)
from fits.draw.themes import Theme, themed
from fits.errors import BadRequest, UnknownName
from fits.field import COLLEGE, Hash, RuleBook
from fits.offense.formation import Formation, OffensiveMan
from fits.terms import Frame

# What XML 1.0 has no place for (section 2.2, Char); a name may hold it all the same.
NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
FONT = "DejaVu Sans, Verdana, Arial, Helvetica, sans-serif"


def draw_look(
    look: Look,
    role: str | None = None,
    up: str = "",
    book: RuleBook = COLLEGE,
    *,
    wide: bool = False,
    theme: Theme = Theme.LIGHT,
) -> str:
    """A look as SVG text. With a role, that man and his key come first and the others step back.

    `up` is the unit that plays up the page: the offense (seen from behind it) or the defense; empty, it is the one
    whose left and right the look's words are. `wide` draws for a desk or a projector instead of a phone.
    Raises UnknownName for a role that is not in the look, BadRequest for an unknown orientation or a place
    that is no number.
    """
    picture = lay_out(look_scene(look, role, book), up or up_for(look), WIDE if wide else NARROW)
    return write_picture(themed(picture, theme))


class Form(Enum):
    """What a picture inside a page is made for."""

    PHONE = NARROW
    DESK = WIDE
    PROJECTOR = LARGE
    PLAYER = PLAYER

    @property
    def style(self) -> Style:
        """Its measures."""
        return self.value


def draw_parts(
    look: Look,
    form: Form,
    role: str | None = None,
    up: str = "",
    book: RuleBook = COLLEGE,
    changed: Sequence[str] = (),
) -> str:
    """A look as SVG text to stand inside a page: without ground, title and sentences, in colours of the page.

    Its groups have the class of their layer (`field formation alignment steps blocks ball fits lanes`), `data-man`
    where they are one man's (`d:M`, `o:LG`, or `ball`), and the class `moves` where they go with him. The defenders
    named in `changed` have a double ring. Raises as `draw_look`.
    """
    scene = look_scene(look, role, book)
    scene = mark_changed(scene, frozenset(changed)) if changed else scene
    return write_picture(themed(lay_out(scene, up or up_for(look), form.style, bare=True), Theme.PAGE))


def draw_view(look: Look, role: str, words: str, up: str = "", book: RuleBook = COLLEGE) -> str:
    """One man's view of a look for his phone, in parts as `draw_parts`: he, his keys, the ball and his lane stand out.

    `words` is what the picture says to those who do not see it. No text in it is under 12 pixels at 360 pixels.
    Raises as `draw_look`.
    """
    scene = _view_scene(look, role, words, book)
    return write_picture(themed(lay_out(scene, up or up_for(look), PLAYER, bare=True), Theme.PAGE))


def _view_scene(look: Look, role: str, words: str, book: RuleBook) -> Scene:
    scene = look_scene(look, role, book)
    routes = tuple([replace(r, focus=True) if r.way is LineKind.BALL else r for r in scene.routes])
    men = tuple([replace(m, focus=True) if m.ball else m for m in scene.men])
    return replace(scene, words=words, routes=routes, men=men)


class Moving(Protocol):
    """Somebody's places in yards, frame by frame; `side` is `offense` or `defense`."""

    @property
    def role(self) -> str: ...
    @property
    def side(self) -> str: ...
    @property
    def places(self) -> Sequence[tuple[float, float]]: ...


def man_shifts(
    look: Look,
    men: Iterable[Moving],
    ball: Sequence[tuple[float, float]],
    snap: int,
    form: Form,
    up: str = "",
    book: RuleBook = COLLEGE,
) -> dict[str, list[tuple[float, float]]]:
    """How far each man (`d:M`, `o:LG`) and the `ball` are from their places in `draw_parts`, frame by frame.

    In picture units; `snap` is the frame that `draw_parts` shows. Raises BadRequest for an unknown orientation.
    """
    scene, up = look_scene(look, None, book), up or up_for(look)
    tracks = {ManKey(track.side == "defense", track.role).code: track.places for track in men}
    return shifts(scene, tracks | {"ball": ball}, snap, up, form.style)


def view_shifts(
    look: Look,
    role: str,
    men: Iterable[Moving],
    ball: Sequence[tuple[float, float]],
    snap: int,
    up: str = "",
    book: RuleBook = COLLEGE,
) -> dict[str, list[tuple[float, float]]]:
    """What `man_shifts` says, for `draw_view`."""
    tracks = {ManKey(track.side == "defense", track.role).code: track.places for track in men}
    scene = _view_scene(look, role, "", book)
    return shifts(scene, tracks | {"ball": ball}, snap, up or up_for(look), PLAYER)


def moved_to(
    look: Look, role: str, shift: tuple[float, float], form: Form, up: str = "", book: RuleBook = COLLEGE
) -> tuple[float, float]:
    """Where a defender stands, in yards, when he is moved so far in `draw_parts`.

    Raises UnknownName for a role that is not in the look, BadRequest for an unknown orientation.
    """
    man = look.defender(role)
    if man is None:
        raise UnknownName("role", role, [d.role for d in look.defenders])
    return spot_after(look_scene(look, None, book), (man.x, man.y), shift, up or up_for(look), form.style)


def up_for(look: Look) -> str:
    """The unit that plays up the page when nobody asked: the one whose left and right the look's words are."""
    return "defense" if look.frame is Frame.OWN else "offense"


def draw_pair(
    before: Look, after: Look, changed: Sequence[str], up: str = "", book: RuleBook = COLLEGE
) -> tuple[str, str]:
    """Two looks of one play as SVG texts on the same scale; the defenders named in `changed` have a double ring.

    Raises BadRequest for an unknown orientation.
    """
    up = up or up_for(before)
    first, then = (mark_changed(look_scene(look, None, book), frozenset(changed)) for look in (before, after))
    return write_picture(lay_out(first, up, beside=then)), write_picture(lay_out(then, up, beside=first))


def draw_formation(
    formation: Formation,
    hash: Hash = Hash.MIDDLE,
    up: str = "offense",
    book: RuleBook = COLLEGE,
    lanes: Sequence[LaneMark] = (),
) -> str:
    """An offense alone as SVG text, with what is said of places along its line. Raises BadRequest."""
    return draw_scene(formation_scene(formation, hash, book, lanes), up)


def draw_front(
    offense: Formation | Sequence[OffensiveMan],
    defenders: Sequence[Aligned],
    title: str = "",
    hash: Hash = Hash.MIDDLE,
    up: str = "offense",
    book: RuleBook = COLLEGE,
    theme: Theme = Theme.LIGHT,
) -> str:
    """An alignment without a play as SVG text: the offense, and defenders by role, technique and place.

    Raises BadRequest.
    """
    players = offense.players if isinstance(offense, Formation) else offense
    name = title or (f"Front against {offense.name}" if isinstance(offense, Formation) else "Front")
    return write_picture(themed(lay_out(front_scene(players, defenders, name, hash, book), up), theme))


def draw_legend() -> str:
    """What the symbols and lines of a drawing mean, as SVG text."""
    return write_picture(legend_picture())


def draw_scene(scene: Scene, up: str = "offense") -> str:
    """Any scene as SVG text. Raises BadRequest."""
    return write_picture(lay_out(scene, up))


def write_picture(picture: Painting) -> str:
    """The SVG text of a picture. The same picture always gives the same text, ids included."""
    prefix = f"d{zlib.crc32((picture.title + picture.words + picture.view).encode()):08x}"
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
    drawn = _with(Group(debug=False), {"id": f"{prefix}-marks", "stroke-linecap": "round", "stroke-linejoin": "round"})
    if not picture.parts:
        _write_marks(picture.marks, drawn, drawing)
    for part in picture.parts:
        named = {"class": f"{part.layer} moves" if part.moves else part.layer, "data-man": part.man}
        group = _with(Group(debug=False), named)
        _write_marks(part.marks, group, drawing)
        drawn.elements.append(group)
    drawing.elements.append(drawn)
    return NOT_XML.sub("\ufffd", str(drawing.tostring()))


def _write_marks(marks: Sequence[Mark], into: Group, drawing: Any) -> None:
    for _, run in groupby(marks, key=_pen_key):
        alike = list(run)
        shapes = [_WRITERS[type(mark)](mark, drawing) for mark in alike]
        pen = _pen(alike[0])
        if len(shapes) == 1:
            into.elements.append(_with(shapes[0], pen))
            continue
        group = _with(Group(factory=drawing), pen)
        group.elements.extend(shapes)
        into.elements.append(group)


@lru_cache(maxsize=16384)
def number(value: float) -> str:
    """A number with at most two decimals. Raises BadRequest for one that is not finite."""
    if not math.isfinite(value):
        raise BadRequest(f"cannot draw: expected a finite number, got {value!r}")
    return f"{round(value, 2) + 0.0:g}"  # adding zero turns -0 into 0


def _with(element: Any, attribs: dict[str, str]) -> Any:
    """The element with its attributes set at once; the empty ones are left out."""
    element.attribs.update({key: value for key, value in attribs.items() if value})
    return element


def _pen_key(mark: Mark) -> tuple[object, ...]:
    """Equal for marks that share a pen."""
    if isinstance(mark, Label):
        return mark.fill, mark.size, mark.bold, mark.anchor
    return mark.fill if not isinstance(mark, Strokes) else mark.dash, mark.stroke, mark.width, type(mark) is Strokes


def _pen(mark: Mark) -> dict[str, str]:
    """The attributes that neighbours of one kind share; a run of them becomes one group."""
    if isinstance(mark, Label):
        anchor = "" if mark.anchor == "start" else mark.anchor
        weight = "bold" if mark.bold else ""
        return {"fill": mark.fill, "font-size": number(mark.size), "font-weight": weight, "text-anchor": anchor}
    width = number(mark.width) if mark.stroke else ""
    if isinstance(mark, Strokes):
        return {"fill": "none", "stroke": mark.stroke, "stroke-width": width, "stroke-dasharray": mark.dash}
    return {"fill": mark.fill, "stroke": mark.stroke, "stroke-width": width}


def _polygon(mark: Polygon, factory: Any) -> Any:
    points = [(number(p.x), number(p.y)) for p in mark.points]
    return _with(SvgPolygon(points, factory=factory), {"data-role": mark.role})


def _strokes(mark: Strokes, factory: Any) -> Any:
    lines = ["M" + " ".join(f"{number(p.x)},{number(p.y)}" for p in line) for line in mark.lines]
    return Path(["".join(lines)], factory=factory)


def _block(mark: Block, factory: Any) -> Any:
    box = mark.box
    at, size = (number(box.left), number(box.top)), (number(box.right - box.left), number(box.bottom - box.top))
    return _with(
        Rect(at, size, factory=factory), {"rx": number(mark.round) if mark.round else "", "data-role": mark.role}
    )


def _oval(mark: Oval, factory: Any) -> Any:
    at, radii = (number(mark.at.x), number(mark.at.y)), (number(mark.rx), number(mark.ry))
    return _with(Ellipse(at, radii, factory=factory), {"data-role": mark.role})


def _label(mark: Label, factory: Any) -> Any:
    return _with(Text(mark.text, factory=factory), {"x": number(mark.at.x), "y": number(mark.at.y)})


_WRITERS: dict[type[Mark], Any] = {Polygon: _polygon, Strokes: _strokes, Block: _block, Oval: _oval, Label: _label}
