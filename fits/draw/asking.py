"""A look as a question: the men without their jobs, and numbered marks to choose from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from enum import Enum

from fits.derive.look import Look
from fits.draw.picture import lay_out, shifts
from fits.draw.scene import ChoiceMark, ManKey, Scene, look_scene
from fits.draw.svg import Form, Moving, write_picture
from fits.draw.text import describe_offense
from fits.draw.themes import Theme, themed
from fits.field import COLLEGE, RuleBook


class Showing(Enum):
    """Who is on the picture: the offense alone, with the man who is asked, or everybody with the first steps."""

    OFFENSE = "offense"
    HIM = "him"
    STEPS = "steps"


def question_scene(
    look: Look, role: str, showing: Showing, marks: Sequence[ChoiceMark] = (), book: RuleBook = COLLEGE
) -> Scene:
    """The scene of a question: no play, no job, no lane is named on it. Raises UnknownName for an unknown role."""
    whole = look_scene(look, None, book)
    look_scene(look, role, book)  # says which roles there are
    men = tuple(
        [
            replace(man, ball=False, left="", tag="", chief=man.defense and man.role == role)
            for man in whole.men
            if not man.defense or showing is Showing.STEPS or (showing is Showing.HIM and man.role == role)
        ]
    )
    return Scene(
        title=look.labels.formation or look.formation,
        caption=(),
        words=describe_offense(look.offense, look.hash),
        hash=whole.hash,
        book=book,
        men=men,
        steps=whole.steps if showing is Showing.STEPS else (),
        chief=role,
        choices=tuple(marks),
    )


def draw_question(
    look: Look,
    role: str,
    showing: Showing,
    marks: Sequence[ChoiceMark],
    form: Form = Form.PHONE,
    up: str = "defense",
    book: RuleBook = COLLEGE,
) -> str:
    """A question as SVG text to stand inside a page, in colours of the page; each mark is a group `data-man="c:1"`."""
    scene = question_scene(look, role, showing, marks, book)
    return write_picture(themed(lay_out(scene, up, form.style, bare=True), Theme.PAGE))


def question_shifts(
    look: Look,
    role: str,
    men: Iterable[Moving],
    ball: Sequence[tuple[float, float]],
    snap: int,
    marks: Sequence[ChoiceMark],
    form: Form = Form.PHONE,
    up: str = "defense",
    book: RuleBook = COLLEGE,
) -> Mapping[str, list[tuple[float, float]]]:
    """How far everybody is from his place in that picture, frame by frame, in picture units."""
    tracks = {ManKey(track.side == "defense", track.role).code: track.places for track in men}
    scene = question_scene(look, role, Showing.STEPS, marks, book)
    return shifts(scene, tracks | {"ball": ball}, snap, up, form.style)
