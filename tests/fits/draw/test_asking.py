"""Questions on pictures: nothing of the answer is drawn, every mark is where it says."""

import re
from itertools import pairwise

import pytest

import fits
from fits.draw.asking import Showing, draw_question, question_scene, question_shifts
from fits.draw.scene import ChoiceMark
from fits.errors import UnknownName
from fits.timeline.make import derive_timeline


@pytest.fixture(scope="module")
def spec():
    lib = fits.load_library()
    return fits.LookSpec(
        call=lib.call("odd-three-safety"), formation=lib.formation("11-doubles"), concept=lib.concepts["power"]
    )


@pytest.fixture(scope="module")
def look(spec):
    return fits.Deriver().look(spec)


def marks(look):
    return [ChoiceMark(str(n), lane.x, -2.8, lane=True) for n, lane in enumerate(look.lanes[:4], 1)]


@pytest.mark.parametrize("showing", list(Showing))
def test_no_play_no_job_and_no_lane_is_named(look, showing):
    picture = draw_question(look, "M", showing, marks(look))
    assert "power" not in picture.lower()
    for layer in ("blocks", "ball", "fits", "lanes"):
        assert f'class="{layer}' not in picture
    assert look.defender("M").technique not in re.findall(r">([^<]+)</text>", picture)


def test_who_is_drawn(look):
    men = {showing: re.findall(r'data-man="([do]):', draw_question(look, "M", showing, ())) for showing in Showing}
    assert set(men[Showing.OFFENSE]) == {"o"}
    assert men[Showing.HIM].count("d") == 1
    assert men[Showing.STEPS].count("d") == 11
    assert 'class="steps' in draw_question(look, "M", Showing.STEPS, ())
    assert 'class="steps' not in draw_question(look, "M", Showing.HIM, ())


def centre(picture, number):
    part = re.search(rf'data-man="c:{number}".*?</g>', picture, re.S)[0]
    at = re.search(r"<ellipse[^>]*>", part)[0]
    return float(re.search(r'cx="([-\d.]+)"', at)[1]), float(re.search(r'cy="([-\d.]+)"', at)[1])


def test_marks_keep_the_order_of_their_places_and_do_not_cover_each_other(look):
    picture = draw_question(look, "M", Showing.STEPS, marks(look))
    xs = [centre(picture, n)[0] for n in range(1, 5)]
    assert xs == sorted(xs, reverse=True), "seen from behind the defense, the offense's left is on the right"
    assert min(abs(a - b) for a, b in pairwise(xs)) > 16
    crowded = [ChoiceMark(str(n), 0.1 * n, 4.0) for n in range(1, 5)]
    picture = draw_question(look, "M", Showing.OFFENSE, crowded)
    xs = sorted(centre(picture, n)[0] for n in range(1, 5))
    assert min(b - a for a, b in pairwise(xs)) > 16


def test_a_mark_beside_a_man_leaves_his_letters_free(look):
    man = next(p for p in look.offense if p.role == "RG")
    picture = draw_question(look, "M", Showing.HIM, [ChoiceMark("1", man.x, man.y, beside="RG")])
    box = re.search(r'data-man="o:RG".*?</g>', picture, re.S)[0]
    y = float(re.search(r'<text[^>]* y="([-\d.]+)"', box)[1])
    assert centre(picture, 1)[1] < y - 12, "on the offense's side, which is up"


def test_shifts_begin_and_end_on_the_picture(spec, look):
    run = derive_timeline(spec)
    moved = question_shifts(look, "M", run.men, run.ball, run.snap, marks(look))
    assert all(way[run.snap] == (0.0, 0.0) for way in moved.values())
    assert set(moved) >= {f"o:{p.role}" for p in look.offense} | {f"d:{d.role}" for d in look.defenders}


def test_an_unknown_man_is_refused(look):
    with pytest.raises(UnknownName):
        question_scene(look, "nobody", Showing.HIM)
