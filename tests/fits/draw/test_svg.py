"""The SVG text: structure, words, safety of its numbers and size."""

from __future__ import annotations

import gzip
import math
import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

import fits
from fits.defense.system import FitRule
from fits.draw.marks import Strokes
from fits.draw.picture import lay_out
from fits.draw.rail import name_lines, shortened
from fits.draw.scale import WIDE
from fits.draw.scene import LineKind, Route, Spot, Turn, look_scene
from fits.draw.svg import Form, draw_formation, draw_front, draw_look, draw_pair, draw_parts, man_shifts, number
from fits.draw.themes import Theme
from fits.offense.formation import Kind
from fits.terms import Frame
from fits.words import words_of
from tests.fits.draw.samples import BY_NAME, SAMPLES, Sample, opened, power_look, with_blocks

SVG = "{http://www.w3.org/2000/svg}"
PRESENTATION = {
    "fill", "stroke", "stroke-width", "stroke-dasharray", "stroke-linecap", "stroke-linejoin", "font-family",
    "font-size", "font-weight", "text-anchor",
}  # fmt: skip
GEOMETRY = {"d", "points", "x", "y", "width", "height", "rx", "ry", "cx", "cy"}
BOOKKEEPING = {"id", "role", "aria-labelledby", "viewBox", "version", "baseProfile", "data-role"}
ELEMENTS = {"svg", "title", "desc", "g", "path", "polygon", "rect", "ellipse", "text"}


def draw(sample: Sample) -> str:
    return draw_look(sample.look(), sample.role, sample.up)


def texts(svg: str) -> list[str]:
    return [e.text or "" for e in ET.fromstring(svg).iter(SVG + "text")]


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.name)
class TestEverySample:
    def test_uses_plain_elements_and_attributes_only(self, sample: Sample) -> None:
        root = ET.fromstring(draw(sample))
        for element in root.iter():
            assert element.tag.removeprefix(SVG) in ELEMENTS
            assert set(element.attrib) <= PRESENTATION | GEOMETRY | BOOKKEEPING

    def test_is_an_image_named_by_its_title_and_words(self, sample: Sample) -> None:
        root = ET.fromstring(draw(sample))
        assert root.get("role") == "img"
        named = [root.find(f".//*[@id='{id_}']") for id_ in root.get("aria-labelledby", "").split()]
        assert [e.tag for e in named if e is not None] == [SVG + "title", SVG + "desc"]
        assert [root[0], root[1]] == named

    def test_words_say_every_man_lane_and_owner(self, sample: Sample) -> None:
        look = sample.look()
        words = ET.fromstring(draw(sample)).findtext(SVG + "desc") or ""
        said = words_of(look)
        for d in look.defenders:
            assert f"{said.man(d.role)} ({d.technique})" in words
            assert said.saw(d) in words and said.fit(d) in words
        for lane in look.lanes:
            name = said.lane(lane)
            assert f"{name} has {' and '.join(said.men(lane.owners))}" in words or f"{name} is open" in words
        assert all(f"{b.role} steps {b.step}: {b.does}" in words for b in look.blocks)
        assert all(said.retell(f.text) in words for f in look.findings)

    def test_shows_every_man_lane_and_technique(self, sample: Sample) -> None:
        look, shown = sample.look(), texts(draw(sample))
        for player in look.offense:
            assert player.role in shown
        for d in look.defenders:
            assert shown.count(d.position) >= sum(o.position == d.position for o in look.defenders)
            assert d.technique in shown
        said = words_of(look)
        for lane in look.lanes:
            name = said.lane(lane)
            assert any(set(name_lines(form)) <= set(shown) for form in (name, shortened(name)))
            assert set(" ".join(said.men(lane.owners) or ("OPEN",)).split()) <= set(" ".join(shown).split())

    def test_draws_twenty_two_men(self, sample: Sample) -> None:
        """Also where a defender and an offensive player share a role name."""
        look = sample.look()
        shapes = [
            e for e in ET.fromstring(draw(sample)).iter() if e.tag.removeprefix(SVG) in ("rect", "ellipse", "polygon")
        ]
        for role in {m.role for m in (*look.offense, *look.defenders)}:
            men = sum(m.role == role for m in (*look.offense, *look.defenders))
            assert sum(e.get("data-role") == role for e in shapes) >= men

    def test_has_an_arrowhead_polygon_for_every_defender_who_moves(self, sample: Sample) -> None:
        moving = {d.role for d in sample.look().defenders if math.dist((d.x, d.y), (d.fit_x, d.fit_y)) > 0.3}
        heads = [e.get("data-role") for e in ET.fromstring(draw(sample)).iter(SVG + "polygon")]
        assert all(heads.count(role) >= 1 for role in moving)

    def test_rounds_numbers_to_two_decimals(self, sample: Sample) -> None:
        for element in ET.fromstring(draw(sample)).iter():
            for key in GEOMETRY & set(element.attrib):
                assert not re.search(r"\.\d{3}|e-|nan|inf", element.attrib[key])

    def test_prefixes_its_ids_and_repeats_itself(self, sample: Sample) -> None:
        svg = draw(sample)
        assert svg == draw(sample)
        ids = [e.attrib["id"] for e in ET.fromstring(svg).iter() if "id" in e.attrib]
        assert len(ids) == len(set(ids)) and len({i.partition("-")[0] for i in ids}) == 1

    def test_is_small(self, sample: Sample) -> None:
        assert len(gzip.compress(draw(sample).encode())) < 12_000


@pytest.mark.parametrize("form", list(Form))
def test_a_drawing_for_a_page_comes_in_parts_of_layers_and_men(form: Form) -> None:
    look = BY_NAME["tackle-and-tailback-t"].look()
    svg = draw_parts(look, form)
    root = ET.fromstring(svg)
    drawn = root.find(f"{SVG}g")
    assert drawn is not None
    layers = {layer for part in drawn for layer in part.get("class", "").split()}
    assert layers == {"field", "formation", "alignment", "steps", "blocks", "ball", "fits", "lanes", "moves"}
    symbols = [p.get("data-man") for p in drawn if p.get("class") in ("formation moves", "alignment moves")]
    names = [f"d:{d.role}" for d in look.defenders] + [f"o:{p.role}" for p in look.offense]
    assert sorted(symbols) == sorted([*names, "ball"]), "also where the two units share a name"
    shown = texts(svg)
    assert look.concept not in " ".join(shown) and not any("Sound" in text for text in shown), "the page says it"
    assert not [r for r in root.iter(SVG + "rect") if r.get("width") == str(form.style.width)], "no ground"


def test_a_drawing_for_a_page_takes_the_pages_colours() -> None:
    svg = draw_parts(power_look(), Form.DESK, "MS")
    colours = {e.get(kind) for e in ET.fromstring(svg).iter() for kind in ("fill", "stroke")} - {None, "none"}
    assert colours and all(str(c).startswith(("var(--draw-", "color-mix(in srgb, var(--draw-")) for c in colours)
    ids = [set(re.findall(r' id="([^"]+)"', draw_parts(power_look(), form))) for form in Form]
    assert not ids[0] & ids[1] and not ids[1] & ids[2], "several stand on one page"


def test_a_mans_part_moves_as_far_as_he_runs() -> None:
    look = power_look()
    spots = [(d.x, d.y) for d in look.defenders if d.role == "MS"] * 2
    spots[1] = (spots[0][0] + 1.0, spots[0][1] - 1.0)

    class Track:
        role, side, places = "MS", "defense", spots

    up, down = (
        man_shifts(look, [Track()], [(0.0, 0.0), (0.0, 1.0)], 0, Form.DESK, up) for up in ("offense", "defense")
    )
    assert up["d:MS"][0] == up["ball"][0] == (0, 0)
    (right, lower), (_, raised) = up["d:MS"][1], up["ball"][1]
    assert right > 0 and lower > 0 > raised, "toward the offense is down the page, and the ball goes up it"
    assert down["d:MS"][1] == (-right, -lower)


def test_two_drawings_on_one_page_share_no_id() -> None:
    seen: set[str] = set()
    for sample in SAMPLES:
        ids = set(re.findall(r' id="([^"]+)"', draw(sample)))
        assert not seen & ids
        seen |= ids


def test_open_lane_says_so_in_words_and_frame() -> None:
    look = power_look()
    name = look.lanes[-1].name
    closed, open_ = draw_look(look), draw_look(opened(look, name))
    assert "OPEN" not in texts(closed)
    assert texts(open_).count("OPEN") == 1
    said = words_of(look).lane(look.lanes[-1])
    frames = [e for e in ET.fromstring(open_).iter(SVG + "rect") if e.get("data-role") == said]
    assert len(frames) == 1
    assert f"{said} is open" in (ET.fromstring(open_).findtext(SVG + "desc") or "")


def test_role_view_puts_the_man_and_his_reason_first() -> None:
    look = power_look()
    man = look.defender("MS")
    assert man is not None
    root = ET.fromstring(draw_look(look, role="MS"))
    words = root.findtext(SVG + "desc") or ""
    assert words.startswith(f"MS ({man.technique}) keys {man.key}")
    assert words_of(look).why(man) in words
    assert words.count("MS (") == 1
    assert any(text.startswith("MS (") for text in texts(draw_look(look, role="MS")))


def test_role_must_be_in_the_look() -> None:
    with pytest.raises(fits.UnknownName, match=r"unknown role 'MX'; nearest: .*MS"):
        draw_look(power_look(), role="MX")


def test_orientation_must_be_known() -> None:
    with pytest.raises(fits.BadRequest, match="expected up to be one of offense, defense, got 'left'"):
        draw_look(power_look(), up="left")


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
@pytest.mark.parametrize("field", ["x", "y", "fit_x", "fit_y"])
def test_a_place_that_is_no_number_is_refused(bad: float, field: str) -> None:
    look = power_look()
    first = look.defenders[0]._replace(**{field: bad})
    with pytest.raises(fits.BadRequest, match=f"{re.escape(first.role)}.*expected a finite number of yards, got"):
        draw_look(replace(look, defenders=(first, *look.defenders[1:])))


def test_a_block_or_lane_that_is_no_number_is_refused() -> None:
    look = power_look()
    block, lane = look.blocks[0]._replace(y=math.nan), look.lanes[2]._replace(x=math.nan)
    with pytest.raises(fits.BadRequest, match=f"{block.role}'s block"):
        draw_look(with_blocks(look, (block, *look.blocks[1:])))
    with pytest.raises(fits.BadRequest, match=f"lane {re.escape(lane.name)}"):
        draw_look(replace(look, lanes=(*look.lanes[:2], lane, *look.lanes[3:])))
    with pytest.raises(fits.BadRequest):
        number(math.nan)


@pytest.mark.parametrize(
    ("value", "text"), [(1.005, "1"), (-0.001, "0"), (12.5, "12.5"), (3.14159, "3.14"), (100.0, "100")]
)
def test_numbers_are_short(value: float, text: str) -> None:
    assert number(value) == text


def test_formation_alone_has_eleven_men_and_no_lane() -> None:
    formation = fits.load_library().formation("11-trips")
    svg = draw_formation(formation)
    root = ET.fromstring(svg)
    assert root.findtext(SVG + "title") == "Trips, flexed end, 11 personnel"
    assert {p.role for p in formation.players} <= set(texts(svg))
    men = [e.get("data-role") for e in root.iter() if e.tag in (SVG + "rect", SVG + "ellipse") and e.get("data-role")]
    assert sorted(men) == sorted(p.role for p in formation.players)


def test_front_alone_takes_hand_placed_defenders() -> None:
    formation = fits.load_library().formation("11-doubles")
    front = [
        Spot("N", "0", 0, 0.9),
        Spot("left E", "4i", -2.8, 0.9),
        Spot("M", "00", 0, 5),
        Spot("FS", "middle", 0, 10),
    ]
    svg = draw_front(formation, front, title="Nose and one end")
    assert {"N", "E", "M", "FS", "0", "4i", "00", "middle"} <= set(texts(svg))
    assert "left E (4i) 2.8 yards left, 0.9 off" in (ET.fromstring(svg).findtext(SVG + "desc") or "")
    derived = power_look()
    assert "BS" in texts(draw_front(derived.offense, derived.defenders))


def test_markup_in_a_staffs_own_words_is_text() -> None:
    look = power_look()
    odd = replace(look, labels=look.labels._replace(call='<b>"stack" & go</b>'))
    root = ET.fromstring(draw_look(odd))
    assert '<b>"stack" & go</b>' in (root.findtext(SVG + "desc") or "")


def test_units_that_share_a_role_name_keep_their_own_routes() -> None:
    """The defense's T is a tackle, the offense's T the tailback who carries the ball."""
    scene = look_scene(BY_NAME["tackle-and-tailback-t"].look())
    tackle, tailback = (next(m for m in scene.men if m.role == "T" and m.defense is d) for d in (True, False))
    assert not tackle.ball and tailback.ball
    ball = next(r for r in scene.routes if r.way is LineKind.BALL)
    assert ball.key == tailback.key != tackle.key
    shown = lay_out(scene)
    line = next(m for m in shown.marks if isinstance(m, Strokes) and m.kind == "ball").lines[0]
    carrier = next(m for m in shown.labels if m.kind == "role" and m.role == "T" and m.fill != "#FFFFFF")
    assert line[0].x == carrier.at.x


def test_a_role_both_units_use_means_the_defender() -> None:
    words = ET.fromstring(draw_look(BY_NAME["tackle-and-tailback-t"].look(), role="T")).findtext(SVG + "desc") or ""
    assert words.startswith("T (3) keys")


class TestWide:
    @pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.name)
    def test_text_is_large_and_the_box_is_not_compressed(self, sample: Sample) -> None:
        look = sample.look()
        shown = lay_out(look_scene(look, sample.role), sample.up or "offense", WIDE)
        assert shown.width == WIDE.width and all(label.size >= 12 for label in shown.labels)
        line = [p for p in look.offense if p.kind is Kind.LINE]
        at = {label.role: label.at.x for label in shown.labels if label.kind == "role" and label.role in ("LT", "RT")}
        scale = abs(at["RT"] - at["LT"]) / abs(line[-1].x - line[0].x)
        box = [d for d in look.defenders if abs(d.x) < WIDE.core[0] and d.y < 6.5]
        assert len(box) >= 5
        places = {m.role: (m.box.left + m.box.right) / 2 for m in shown.labels if m.kind == "role"}
        turn = 1 if at["RT"] > at["LT"] else -1
        ball = at["LT"] - turn * scale * line[0].x
        for d in box:
            assert abs(places[d.role] - (ball + turn * scale * d.x)) < 14, d.role

    def test_wide_men_have_their_distance_written(self) -> None:
        look = power_look()
        shown = texts(draw_look(look, wide=True))
        assert sum(f"{abs(p.x):.0f} yd" in text for p in look.offense if p.role == "Z" for text in shown) >= 1
        assert not any(" yd" in text for text in texts(draw_look(look)) if text.startswith("over"))

    def test_small_enough(self) -> None:
        for theme in Theme:
            size = len(gzip.compress(draw_look(power_look(), wide=True, theme=theme).encode()))
            assert size < 8000


@pytest.mark.parametrize("theme", [Theme.DARK, Theme.GREY])
@pytest.mark.parametrize("role", [None, "MS"])
def test_themes_change_only_colours(theme: Theme, role: str | None) -> None:
    light, other = (draw_look(power_look(), role, theme=t) for t in (Theme.LIGHT, theme))
    strip = re.compile(r"#[0-9A-F]{6}|d[0-9a-f]{8}")
    assert strip.sub("", light) == strip.sub("", other)
    kept = set(re.findall("#[0-9A-F]{6}", light)) & set(re.findall("#[0-9A-F]{6}", other))
    assert kept <= {"#FFFFFF"}
    if theme is Theme.GREY:
        assert all(c[1:3] == c[3:5] == c[5:7] for c in re.findall("#[0-9A-F]{6}", other))


def test_a_man_who_may_be_thrown_to_runs_his_route_and_blocks_nobody() -> None:
    look = BY_NAME["doubles-rpo"].look()
    (thrown,) = [t for t in look.threats if t.kind == "route"]
    routes = [r for r in look_scene(look).routes if r.role == thrown.role]
    assert [r.way for r in routes] == [LineKind.ROUTE]
    assert len(routes[0].turns) > 1


@pytest.mark.parametrize(("option", "upfield"), [("bubble", False), ("glance", True)])
def test_a_route_is_drawn_as_it_is_run_whatever_its_option_is_called(option: str, upfield: bool) -> None:
    """A staff's copy of an option has a name of its own; the drawing is the route that is timed."""
    lib, drawn = fits.load_library(), []
    for name in (option, "ours"):
        play = replace(lib.option(option), name=name)
        look = fits.derive_look(
            lib.call("over-quarters"), lib.formation("10-doubles"), lib.concept("zone-read"), options=(play,)
        )
        (thrown,) = [t for t in look.threats if t.kind == "route"]
        (route,) = [r for r in look_scene(look).routes if r.way is LineKind.ROUTE]
        assert route.role == thrown.role
        assert (route.turns[0].y > 0) == upfield
        drawn.append([(turn.x, turn.y) for turn in route.turns])
    assert drawn[0] == drawn[1] == list(look.routes[route.role][1:])


def test_a_read_man_is_marked_and_said() -> None:
    lib = fits.load_library()
    look = fits.derive_look(lib.call("odd-three-safety"), lib.formation("11-doubles"), lib.concept("zone-read"))
    (left,) = look.left_alone
    man = look.defender(left.name)
    assert man is not None and left.why == "read"
    svg = draw_look(look)
    assert f"{man.technique}, read" in texts(svg)
    assert sum(e.get("data-role") == left.name for e in ET.fromstring(svg).iter(SVG + "rect")) == 1


def test_a_climber_goes_through_the_double_to_his_backer() -> None:
    lib = fits.load_library()
    look = fits.derive_look(lib.call("odd-three-safety"), lib.formation("11-doubles"), lib.concept("inside-zone"))
    climbers = [b for b in look.blocks if b.climbs_to]
    assert climbers
    for b in climbers:
        (route,) = [r for r in look_scene(look).routes if r.way is LineKind.BLOCK and r.role == b.role]
        assert (route.via, route.to, len(route.turns)) == (b.on, b.climbs_to, 2)


def test_a_crack_and_a_stalk_run_to_their_man() -> None:
    lib = fits.load_library()
    look = fits.derive_look(lib.call("odd-three-safety"), lib.formation("11-doubles"), lib.concept("toss-crack"))
    for b in look.blocks:
        if b.step == "crack" or b.does == "stalk":
            (route,) = [r for r in look_scene(look).routes if r.way is LineKind.BLOCK and r.role == b.role]
            man = look.defender(str(b.on))
            assert man is not None and route.to == b.on
            assert (route.turns[-1].x, route.turns[-1].y) == (man.x, man.y)


def test_the_drawing_stands_the_way_its_words_are() -> None:
    own = replace(power_look(), frame=Frame.OWN)
    assert draw_look(own) == draw_look(own, up="defense")
    assert draw_look(power_look()) == draw_look(power_look(), up="offense")


class TestPair:
    """A look before and after a repair: two drawings that can be laid one on the other."""

    @pytest.fixture
    def looks(self):
        library = fits.load_library()
        call, formation = library.call("odd-three-safety"), library.formation("11-doubles")
        changed = fits.with_rules(call, (FitRule("X", "BS", "", "A gap"),))
        return [fits.derive_look(c, formation, library.concept("power")) for c in (call, changed)]

    def test_a_picture_beside_another_has_its_scale(self, looks):
        scene = look_scene(looks[0])
        wide = replace(scene, routes=(*scene.routes, Route(LineKind.FIT, "BS", (Turn(9.1, 21.0),))))
        alone, first, then = lay_out(scene), lay_out(scene, beside=wide), lay_out(wide, beside=scene)
        assert places(alone) != places(first), "the route asks for more room"
        assert places(first) == places(then)
        assert first.height == then.height

    def test_the_changed_man_has_a_double_ring_in_both(self, looks):
        for look, svg in zip(looks, draw_pair(*looks, ("BS",)), strict=True):
            plain = draw_look(look)
            assert svg.count('data-role="BS"') == plain.count('data-role="BS"') + 2
            assert svg.count('data-role="SS"') == plain.count('data-role="SS"')
            assert "Changed: BS." in "".join(ET.fromstring(svg).itertext())

    def test_no_two_drawings_of_a_page_share_an_id(self, looks):
        drawings = [draw_look(looks[0]), *draw_pair(*looks, ("BS",)), *draw_pair(*looks, ("BS", "M"))]
        ids = [i for svg in drawings for i in set(re.findall(r'id="([^"]+)"', svg))]
        assert len(ids) == len(set(ids))

    def test_the_defense_plays_up_in_the_frame_of_its_own_hands(self, looks):
        own = [fits.values.replace(look, frame=Frame.OWN) for look in looks]
        assert draw_pair(*own, ("BS",)) == draw_pair(*own, ("BS",), "defense")


def places(picture):
    """Where the symbols of the men are."""
    return {(m.kind, m.role, m.box) for m in picture.marks if getattr(m, "kind", "") == "man" and hasattr(m, "box")}
