"""Where things stand on the picture: no label over another, true places, one meaning per line style."""

from __future__ import annotations

import pickle
from dataclasses import replace
from itertools import combinations, pairwise

import pytest

import fits
from fits.draw.labels import Rect, overlapping
from fits.draw.legend import legend_picture
from fits.draw.marks import (
    BLUE,
    GREEN,
    INK,
    PAPER,
    PENS,
    QUIET,
    VERMILLION,
    Label,
    Oval,
    Painting,
    Polygon,
    Strokes,
    faded,
    mixed,
)
from fits.draw.picture import lay_out
from fits.draw.rail import spaced
from fits.draw.scale import WIDTH
from fits.draw.scene import LineKind, Scene, Shape, formation_scene, look_scene
from fits.field import COLLEGE, HIGH_SCHOOL, LEFT, PROFESSIONAL, RIGHT, Hash, RuleBook
from fits.words import words_of
from tests.fits.draw.samples import SAMPLES, Sample, power_look


def picture(sample: Sample) -> Painting:
    return lay_out(look_scene(sample.look(), sample.role), sample.up)


def label_at(picture: Painting, role: str) -> Label:
    """The label in that man's symbol; where both units use the name, the offense's (it comes first)."""
    return next(m for m in picture.labels if m.kind == "role" and m.role == role)


def shipped_scenes() -> list[Scene]:
    """Every shipped formation against every shipped concept; call, direction, hash and view take turns."""
    lib = fits.load_library()
    scenes, calls = [], list(lib.calls.values())
    for f, formation in enumerate(lib.formations.values()):
        for c, concept in enumerate(lib.concepts.values()):
            to, call, hash_ = (LEFT, RIGHT)[(f + c) % 2], calls[(f + c) % len(calls)], tuple(Hash)[c % 3]
            try:
                look = fits.derive_look(call, formation, concept, to=to, hash=hash_)
            except fits.NotRunnable:
                continue
            role = look.defenders[f % len(look.defenders)].role if c % 3 == 0 else None
            scenes.append(look_scene(look, role))
    return scenes


def test_no_label_covers_another_or_a_man_in_all_drawings_of_the_library() -> None:
    scenes = shipped_scenes()
    assert len(scenes) > 100
    for n, scene in enumerate(scenes):
        shown = lay_out(scene, ("offense", "defense")[n % 2])
        assert overlapping(m.box for m in shown.labels) == [], (scene.title, scene.caption)
        heads = [bounds(m) for m in shown.marks if isinstance(m, Polygon) and m.kind.endswith("head")]
        for label in shown.labels:
            assert label.size >= 9, (scene.title, label.text)
            assert label.box.left >= 0 and label.box.right <= WIDTH, (scene.title, label.text)
            assert label.box.top >= 0 and label.box.bottom <= shown.height, (scene.title, label.text)
            assert not any(label.box.overlaps(head) for head in heads), (scene.title, scene.caption, label.text)


def bounds(head: Polygon) -> Rect:
    """The middle part of an arrowhead."""
    xs, ys = [p.x for p in head.points], [p.y for p in head.points]
    return Rect(min(xs), min(ys), max(xs), max(ys)).grown(-1)


def test_overlapping_finds_a_pair() -> None:
    a, b, c = Rect(0, 0, 10, 10), Rect(9, 9, 12, 12), Rect(10, 0, 20, 9)
    assert overlapping([a, b, c]) == [(a, b)]


def test_men_on_one_spot_are_kept_apart() -> None:
    look = power_look()
    crowd = tuple(d._replace(x=15.0, y=6.0) if n < 4 else d for n, d in enumerate(look.defenders))
    shown = lay_out(look_scene(replace(look, defenders=crowd)))
    assert overlapping(m.box for m in shown.labels) == []
    assert len({label_at(shown, d.role).at.x for d in crowd[:4]}) == 4


def test_a_whole_defense_on_one_spot_with_long_names_is_still_drawn() -> None:
    look = power_look()
    crowd = tuple(d._replace(technique="walked up on the line", x=18.0, y=6.0) for d in look.defenders)
    shown = lay_out(look_scene(replace(look, defenders=crowd)))
    tags = [m.box for m in shown.labels if m.kind == "technique"]
    assert len(tags) == 11 and overlapping(tags) == []


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.name)
def test_men_stand_in_the_order_of_the_field(sample: Sample) -> None:
    look, shown = sample.look(), picture(sample)
    turn = 1 if sample.up == "offense" else -1
    line = sorted((p for p in look.offense if p.kind is fits.Kind.LINE), key=lambda p: p.x * turn)
    xs = [label_at(shown, p.role).at.x for p in line]
    assert xs == sorted(xs)
    steps = [b - a for a, b in pairwise(xs)]
    assert max(steps) - min(steps) < 0.5, "linemen are drawn at one scale"
    deepest, passer = max(look.defenders, key=lambda d: d.y), next(p for p in look.offense if p.role == "QB")
    assert (label_at(shown, deepest.role).at.y < label_at(shown, passer.role).at.y) is (sample.up == "offense")


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.name)
def test_every_man_has_a_symbol_and_a_name_of_his_own(sample: Sample) -> None:
    look, shown = sample.look(), picture(sample)
    names = [m for m in shown.labels if m.kind == "role"]
    symbols = [m for m in shown.marks if m.kind == "man"]
    roles = sorted([*(p.role for p in look.offense), *(d.role for d in look.defenders)])
    assert sorted(m.role for m in names) == sorted(m.role for m in symbols) == roles
    assert overlapping(m.box for m in names) == []


def test_defense_up_is_the_same_picture_turned_half_round() -> None:
    scene = look_scene(power_look())
    up, down = lay_out(scene, "offense"), lay_out(scene, "defense")
    for role in ("LT", "RT", "left E", "MS", "Y"):
        a, b = label_at(up, role), label_at(down, role)
        ball_a, ball_b = ball(up), ball(down)
        assert a.at.x - ball_a.at.x == pytest.approx(ball_b.at.x - b.at.x, abs=0.01)


def ball(picture: Painting) -> Oval:
    return next(m for m in picture.marks if isinstance(m, Oval) and m.kind == "ball")


@pytest.mark.parametrize("book", [HIGH_SCHOOL, COLLEGE, PROFESSIONAL], ids=lambda b: b.name)
def test_hash_marks_stand_where_the_rule_book_puts_them(book: RuleBook) -> None:
    """Half the published gap (53 ft 4 in, 40 ft, 18 ft 6 in) from a ball in the middle: over men who stand there."""
    gap_ft = {"high-school": 53 + 4 / 12, "college": 40.0, "professional": 18.5}[book.name]
    formation = fits.load_library().formation("10-doubles")
    wide = sorted((p for p in formation.players if p.kind is fits.Kind.RECEIVER), key=lambda p: p.x)
    at = {wide[0].role: -gap_ft / 6, wide[-1].role: gap_ft / 6, wide[1].role: -17.0, wide[2].role: 17.0}
    players = tuple(replace(p, x=at.get(p.role, p.x), y=-8 if p.role in at else p.y) for p in formation.players)
    shown = lay_out(formation_scene(replace(formation, players=players), Hash.MIDDLE, book))
    marks = next(m for m in shown.marks if isinstance(m, Strokes) and m.kind == "hash marks")
    columns = sorted({round((a.x + b.x) / 2, 2) for a, b in marks.lines})
    men = [label_at(shown, wide[n].role).at.x for n in (0, -1)]
    assert columns == pytest.approx(men, abs=0.02)


@pytest.mark.parametrize("hash_", [Hash.LEFT, Hash.RIGHT])
def test_the_near_hash_runs_under_the_ball(hash_: Hash) -> None:
    shown = lay_out(formation_scene(fits.load_library().formation("11-doubles"), hash_))
    marks = next(m for m in shown.marks if isinstance(m, Strokes) and m.kind == "hash marks")
    columns = {round((a.x + b.x) / 2, 2) for a, b in marks.lines}
    assert any(abs(x - ball(shown).at.x) < 0.05 for x in columns)


def test_sideline_is_drawn_only_where_it_is_near() -> None:
    formation = fits.load_library().formation("11-doubles")
    middle, right = (lay_out(formation_scene(formation, h)) for h in (Hash.MIDDLE, Hash.RIGHT))
    lines = [[m for m in p.marks if m.kind == "sideline"] for p in (middle, right)]
    assert [len(found) for found in lines] == [0, 1]
    line = lines[1][0]
    assert isinstance(line, Strokes)
    assert line.lines[0][0].x > max(label_at(right, p.role).box.right for p in formation.players)


def test_lane_columns_keep_the_order_of_the_lanes() -> None:
    for sample in SAMPLES:
        shown, look = picture(sample), sample.look()
        seen = [m.role for m in sorted((m for m in shown.labels if m.kind == "lane"), key=lambda m: m.at.x)]
        names = [words_of(look).lane(lane) for lane in look.lanes]
        assert list(dict.fromkeys(seen)) == (names if sample.up == "offense" else names[::-1])


def test_every_line_is_told_apart_without_colour() -> None:
    """Width or dash differ between any two, or one ends in another head (arrow, ball, bar or kite)."""
    head = {
        "block": "bar", "fit": "arrow", "own": "arrow", "cover": "arrow", "route": "arrow", "ball": "ball",
        "read": "ball", "eyes": "kite", "check": "none", "motion": "none",
    }  # fmt: skip
    styles = {way: (PENS[way][1], PENS[way][2], head[way.value]) for way in PENS}
    for a, b in combinations(styles.values(), 2):
        assert a != b


def luminance(colour: str) -> float:
    """Relative luminance. Source: WCAG 2.1, definition of relative luminance."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    r, g, b = (c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(a: str, b: str) -> float:
    light, dark = sorted((luminance(a), luminance(b)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_text_and_lines_stand_out_from_their_ground() -> None:
    """At least 4.5 to 1 for text and 3 to 1 for lines. Source: WCAG 2.1, success criteria 1.4.3 and 1.4.11."""
    assert contrast(INK, PAPER) >= 4.5
    assert contrast("#FFFFFF", BLUE) >= 4.5
    for line in (BLUE, VERMILLION, GREEN, QUIET):
        assert contrast(line, PAPER) >= 3
    assert contrast(faded(INK), PAPER) >= 3 and contrast(mixed("#F1F1EC", "#14181D"), "#14181D") >= 3


def test_paper_covers_the_whole_picture() -> None:
    shown = lay_out(look_scene(power_look()))
    first = shown.marks[0]
    assert first.kind == "paper"
    assert getattr(first, "box") == Rect(0, 0, shown.width, shown.height)  # noqa: B009


def test_key_explains_every_symbol_and_line_without_covering_a_word() -> None:
    shown = legend_picture()
    assert overlapping(m.box for m in shown.labels) == []
    assert all(m.box.left >= 0 and m.box.right <= shown.width and m.box.bottom <= shown.height for m in shown.labels)
    pens = {(m.stroke, m.width, m.dash) for m in shown.marks if isinstance(m, Strokes)}
    assert set(PENS.values()) <= pens
    symbols = [m for m in shown.marks if m.kind == "man"]
    assert len(symbols) == len(Shape) + 2, "the ball carrier and the man left alone are shown too"


@pytest.mark.parametrize(
    ("wanted", "widths", "placed"),
    [
        ([100, 200], [20, 20], [100, 200]),
        ([100, 100], [20, 20], [90, 110]),
        ([100, 100, 300], [20, 40, 20], [85, 115, 300]),
        ([1, 2], [20, 20], [14, 34]),
        ([359, 359], [20, 20], [326, 346]),
    ],
)
def test_columns_stand_as_near_their_lanes_as_their_widths_allow(
    wanted: list[float], widths: list[float], placed: list[float]
) -> None:
    assert spaced(wanted, widths) == pytest.approx(placed)


def test_the_man_in_motion_is_drawn_from_where_he_lined_up() -> None:
    lib = fits.load_library()
    asked = lib.call("odd-three-safety"), lib.formation("11-trips"), lib.concept("power")
    still, moved = fits.derive_look(*asked), fits.derive_look(*asked, motion=lib.motions["across"])
    assert still.motion_way == () and not [r for r in look_scene(still).routes if r.way is LineKind.MOTION]
    (route,) = [r for r in look_scene(moved).routes if r.way is LineKind.MOTION]
    lined_up = next(p for p in still.offense if p.role == route.role)
    assert (route.turns[-1].x, route.turns[-1].y) == (lined_up.x, lined_up.y)
    assert min(turn.y for turn in route.turns) < -2, "behind the line"
    copied = pickle.loads(pickle.dumps(moved))
    assert copied.motion_way == moved.motion_way
