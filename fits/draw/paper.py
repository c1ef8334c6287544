"""Drawings for paper: without ground, title and sentences, which stand on the page around them."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from fits.derive.look import Look
from fits.draw.labels import Rect
from fits.draw.marks import Block, Label, Mark, Oval, Painting, Part, Point, Polygon, Strokes
from fits.draw.picture import lay_out
from fits.draw.scene import ManKey, look_scene
from fits.draw.svg import Form, Moving, man_shifts, up_for, write_picture
from fits.draw.themes import Theme, themed
from fits.field import COLLEGE, RuleBook

LANES = frozenset({"lanes"})
ANSWERS = LANES | {"fits"}  # layers that say who fits where
MARGIN = 3.0  # of the picture, above and below, in picture units
STILL = frozenset({"field"})  # layers that stay while men move


def draw_on_paper(
    look: Look,
    role: str | None = None,
    up: str = "",
    book: RuleBook = COLLEGE,
    *,
    form: Form = Form.PHONE,
    without: Collection[str] = (),
    marked: str = "",
) -> str:
    """A look as SVG text for paper; `without` names layers to leave out.

    A defender who is `marked` has his ring, and nobody steps back: nothing says what he reads.

    Raises UnknownName for a role that is not in the look, BadRequest for an unknown orientation.
    """
    scene = look_scene(look, role, book)
    if marked:
        men = [replace(man, chief=True) if man.key == ManKey(True, marked) else man for man in scene.men]
        scene = replace(scene, men=tuple(men))
    picture = lay_out(scene, up or up_for(look), form.style, bare=True)
    parts = [part for part in picture.parts if part.layer not in without]
    return _written(picture, parts, _height(parts))


def draw_stills(
    look: Look,
    men: Sequence[Moving],
    ball: Sequence[tuple[float, float]],
    snap: int,
    frames: Sequence[int],
    up: str = "",
    book: RuleBook = COLLEGE,
    *,
    form: Form = Form.PHONE,
) -> list[str]:
    """A look as it is run, at those frames of its timeline: men and ball where they are, as SVG texts of one scale.

    `men`, `ball` and `snap` are the timeline's.

    Raises BadRequest for an unknown orientation.
    """
    picture = lay_out(look_scene(look, None, book), up or up_for(look), form.style, bare=True)
    shifts = man_shifts(look, men, ball, snap, form, up, book)
    stills = [_at(picture.parts, shifts, frame) for frame in frames]
    room = _height([part for still in stills for part in still])
    return [_written(picture, still, room, f"/frame {frame}") for frame, still in zip(frames, stills, strict=True)]


def _at(parts: Sequence[Part], shifts: Mapping[str, Sequence[tuple[float, float]]], frame: int) -> list[Part]:
    """The parts that can be seen at a frame, those of men where they are then; first steps are over."""
    found = [part for part in parts if part.layer in STILL]
    for part in parts:
        if part.moves and part.man in shifts and part.layer != "steps":
            dx, dy = shifts[part.man][frame]
            found.append(replace(part, marks=tuple([_moved(mark, dx, dy) for mark in part.marks])))
    return found


def _moved(mark: Mark, dx: float, dy: float) -> Mark:
    def point(p: Point) -> Point:
        return Point(p.x + dx, p.y + dy)

    def box(r: Rect) -> Rect:
        return Rect(r.left + dx, r.top + dy, r.right + dx, r.bottom + dy)

    if isinstance(mark, Polygon):
        return replace(mark, points=tuple([point(p) for p in mark.points]))
    if isinstance(mark, Strokes):
        return replace(mark, lines=tuple([tuple([point(p) for p in line]) for line in mark.lines]))
    if isinstance(mark, Block):
        return replace(mark, box=box(mark.box))
    if isinstance(mark, Label):
        return replace(mark, at=point(mark.at), box=box(mark.box))
    assert isinstance(mark, Oval)
    return replace(mark, at=point(mark.at))


def _height(parts: Sequence[Part]) -> tuple[float, float]:
    """From where to where on the picture there is anything."""
    found = [y for part in parts for mark in part.marks for y in _ys(mark)]
    return min(found) - MARGIN, max(found) + MARGIN


def _ys(mark: Mark) -> tuple[float, ...]:
    if isinstance(mark, Polygon):
        return tuple([p.y for p in mark.points])
    if isinstance(mark, Strokes):
        return tuple([p.y for line in mark.lines for p in line])
    if isinstance(mark, Oval):
        return mark.at.y - mark.ry, mark.at.y + mark.ry
    return mark.box.top, mark.box.bottom


def _written(picture: Painting, parts: Sequence[Part], room: tuple[float, float], view: str = "") -> str:
    """The picture cut to that height, in the colours for paper."""
    top, bottom = room
    cut = [replace(part, marks=tuple([_moved(mark, 0.0, -top) for mark in part.marks])) for part in parts]
    marks = tuple([mark for part in cut for mark in part.marks])
    shown = replace(picture, height=bottom - top, marks=marks, parts=tuple(cut), view=picture.view + view)
    return write_picture(themed(shown, Theme.PAPER))
