"""Drawings for paper: cut to what is on them, in parts that can be left out, and readable without colour."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

import fits
from fits.draw.marks import BALL_CORE, PENS
from fits.draw.paper import ANSWERS, draw_on_paper, draw_stills
from fits.draw.scene import LineKind
from fits.timeline.make import derive_timeline

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def told():
    lib = fits.load_library()
    call, men, run = lib.call("odd-three-safety"), lib.formation("11-doubles"), lib.concept("power")
    return derive_timeline(fits.LookSpec(call=call, formation=men, concept=run))


def height(svg: str) -> float:
    return float(re.search(r'viewBox="0 0 [\d.]+ ([\d.]+)"', svg)[1])


def layers(svg: str) -> set[str]:
    return {
        group.get("class").split()[0] for group in ElementTree.fromstring(svg).iter(f"{SVG}g") if group.get("class")
    }


def place(svg: str, man: str) -> tuple[float, ...]:
    """Where the first label of a man stands."""
    for group in ElementTree.fromstring(svg).iter(f"{SVG}g"):
        text = next(group.iter(f"{SVG}text"), None)
        if group.get("data-man") == man and "moves" in group.get("class") and text is not None:
            return float(text.get("x")), float(text.get("y"))
    raise AssertionError(man)


def test_what_answers_is_left_out_and_the_picture_is_cut(told):
    whole, asked = draw_on_paper(told.look), draw_on_paper(told.look, without=ANSWERS)
    assert layers(whole) - layers(asked) == {"fits", "lanes"}
    assert height(asked) < height(whole)


def test_a_marked_man_has_his_ring_and_nobody_steps_back(told):
    role = told.look.defenders[0].role
    plain, marked = draw_on_paper(told.look), draw_on_paper(told.look, marked=role)
    assert marked != plain and marked.count("<rect") == plain.count("<rect") + 1


def test_stills_are_of_one_scale_and_men_are_where_the_timeline_has_them(told):
    frames = list(told.stills.values())
    first, *_, last = drawn = draw_stills(told.look, told.men, told.ball, told.snap, frames)
    assert len({height(svg) for svg in drawn}) == 1
    assert layers(first) <= {"field", "formation", "alignment", "ball"}
    moved = 0
    for track in told.men:
        man = ("d:" if track.side == "defense" else "o:") + track.role
        (x0, y0), (x1, y1) = track.places[frames[0]], track.places[frames[-1]]
        (px0, py0), (px1, py1) = place(first, man), place(last, man)
        if abs(y1 - y0) > 0.5 and max(abs(y0), abs(y1)) < 7:
            moved += 1
            assert (py1 < py0) == (y1 > y0), man  # the offense plays up the page
        if (x0, y0) == (x1, y1):
            assert (px0, py0) == (px1, py1), man
    assert moved > 5


def test_the_snap_is_the_look_before_anybody_moves(told):
    (still,) = draw_stills(told.look, told.men, told.ball, told.snap, [told.snap])
    whole = draw_on_paper(told.look)
    ys = {man: place(whole, man)[1] - place(still, man)[1] for man in ("o:C", f"d:{told.look.defenders[0].role}")}
    assert max(ys.values()) - min(ys.values()) < 0.05


def test_paper_is_white(told):
    assert "#FCFBF7" not in draw_on_paper(told.look)


def test_lines_differ_without_colour():
    """No two kinds of line have the same width and pattern; the ball's is double, one's own twice a team-mate's."""
    pens = {(width, dash) for _, width, dash in PENS.values()}
    assert len(pens) == len(PENS)
    assert PENS[LineKind.OWN][1] > 1.5 * PENS[LineKind.FIT][1] and PENS[LineKind.BALL][1] > 2 * BALL_CORE


def test_an_unknown_role_is_refused(told):
    with pytest.raises(fits.UnknownName):
        draw_on_paper(told.look, "nobody")
