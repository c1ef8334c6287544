"""A place put by hand comes back as the words that put a man there."""

from __future__ import annotations

import math

import pytest

import fits
from fits.defense.align import place_at
from fits.defense.placing import STEP, name_place
from fits.draw.scale import NARROW, WIDE, fit_frame
from fits.errors import UnknownName
from fits.field import COLLEGE, Hash

LIB = fits.load_library()
CALLS = ("odd-three-safety", "over-quarters", "under-cover-3")


def stand(call: str, formation: str):
    standing = fits.Deriver().stand(LIB.formation(formation))
    return LIB.call(call), standing.snap.offense, standing.alignment(LIB.call(call))


@pytest.mark.parametrize("call", CALLS)
@pytest.mark.parametrize("formation", ["11-doubles", "12-two-tight", "11-trips"])
def test_where_a_man_stands_is_said_near_enough_and_by_the_rule_that_puts_him(call: str, formation: str) -> None:
    asked, offense, alignment = stand(call, formation)
    for man in alignment.men:
        place = name_place(asked, offense, man.name, man.x, man.y)
        assert math.dist((place.x, place.y), (man.x, man.y)) <= STEP, (man.name, man.technique, place.at)
        assert place.rule is not None
        role = next(r for r in asked.roles if r.name == man.name)
        assert place_at(asked, role, place.rule.at, offense) == (man.x, man.y)


def test_after_a_motion_sides_are_those_that_were_called_before_it() -> None:
    """A receiver goes across and the other side is the passing strength; the front stays as it was called."""
    asked = LIB.call("over-quarters")
    standing = fits.Deriver().stand(LIB.formation("20-split"), motion=LIB.motions["across"])
    offense, alignment = standing.snap.offense, standing.alignment(asked)
    assert offense.before is not None and offense.before.passing is not offense.passing
    assert alignment.strength is offense.before.passing
    for role, words in (("SS", "over tackle, 8 deep"), ("FS", "over #2 inside by 1, 9 deep")):
        man = next(m for m in alignment.men if m.name == role)
        place = name_place(asked, offense, role, man.x, man.y)
        assert (place.at, place.x, place.y) == (words, man.x, man.y)
        assert place.rule is not None and place.rule.at == words


@pytest.mark.parametrize("call", CALLS)
def test_a_lineman_moved_a_technique_over_is_said_by_that_technique(call: str) -> None:
    asked, offense, alignment = stand(call, "11-doubles")
    for man in (m for m in alignment.men if m.group.value == "line" and m.side is not None):
        role = next(r for r in asked.roles if r.name == man.name)
        for label in ("3", "5"):
            x, y = place_at(asked, role, label, offense)
            assert name_place(asked, offense, man.name, x, y).at == label, man.name


def test_a_man_put_deeper_or_wider_keeps_what_he_is_placed_by() -> None:
    asked, offense, alignment = stand("over-quarters", "11-doubles")
    safety = next(m for m in alignment.men if m.name == "FS")
    x, y = place_at(asked, next(r for r in asked.roles if r.name == "FS"), "over #2, 7 deep", offense)
    deeper = name_place(asked, offense, "FS", x, y + 3.0)
    assert deeper.at == "over #2, 10 deep"
    wider = name_place(asked, offense, "FS", x + (1.5 if safety.x > 0 else -1.5), y)
    assert wider.at == "over #2 outside by 1.5, 7 deep"


def test_nobody_of_that_name_is_told() -> None:
    asked, offense, _ = stand("over-quarters", "11-doubles")
    with pytest.raises(UnknownName):
        name_place(asked, offense, "MX", 0.0, 4.0)


@pytest.mark.parametrize("style", [NARROW, WIDE])
@pytest.mark.parametrize("up", ["offense", "defense"])
def test_a_point_of_the_picture_is_the_point_of_the_field(style, up: str) -> None:
    frame = fit_frame([-4.8, 4.8], [-18.0, -9.0, 16.0], Hash.MIDDLE, COLLEGE, up, style)
    for x, y in ((0.0, 0.0), (3.2, 1.0), (-4.8, 5.0), (-9.0, 7.5), (16.0, 12.0), (-18.0, -6.0)):
        assert frame.field(*frame.at(x, y)) == pytest.approx((x, y))
