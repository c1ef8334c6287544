"""Text boxes and the search for room."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fits.draw.labels import Leg, Places, Rect, overlapping, text_width, wrap_text
from fits.errors import BadRequest

BOX = Rect(10, 10, 20, 20)


@pytest.mark.parametrize(
    ("leg", "crosses"),
    [
        (Leg(0, 15, 30, 15), True),
        (Leg(12, 12, 13, 13), True),
        (Leg(0, 0, 30, 30), True),
        (Leg(0, 0, 30, 5), False),
        (Leg(0, 12, 12, 30), False),
        (Leg(0, 5, 5, 30), False),
        (Leg(25, 0, 25, 30), False),
        (Leg(15, 0, 15, 5), False),
    ],
)
def test_leg_crosses_a_box_only_when_part_of_it_lies_inside(leg: Leg, crosses: bool) -> None:
    assert leg.crosses(BOX) is crosses
    assert Leg(leg.bx, leg.by, leg.ax, leg.ay).crosses(BOX) is crosses


@given(st.text(alphabet="abc XY#+", max_size=80), st.floats(10, 200))
def test_wrapping_loses_no_word_and_keeps_the_width(text: str, width: float) -> None:
    lines = wrap_text(text, width, 10)
    assert "".join("".join(lines).split()) == "".join(text.split())
    assert all(text_width(line, 10) <= width or len(line) == 1 for line in lines)


@given(st.lists(st.tuples(st.floats(20, 340), st.floats(20, 280), st.floats(5, 60)), max_size=25))
def test_every_label_finds_room_of_its_own(wanted: list[tuple[float, float, float]]) -> None:
    bounds = Rect(0, 0, 360, 400)
    places = Places(bounds)
    found = [places.find(Rect(x - 5, y - 5, x + 5, y + 5), width, 9) for x, y, width in wanted]
    assert overlapping(found) == []
    assert all(b.left >= 0 and b.right <= 360 and b.top >= 0 and b.bottom <= 400 for b in found)


def test_a_full_picture_is_refused() -> None:
    places = Places(Rect(0, 0, 40, 10))
    places.take(Rect(0, 0, 40, 10))
    with pytest.raises(BadRequest, match="expected room for every label"):
        places.find(Rect(10, 2, 20, 8), 10, 5)


def test_a_label_stands_off_a_line_when_it_can() -> None:
    man, bounds = Rect(95, 95, 105, 105), Rect(0, 0, 200, 200)
    free, struck = Places(bounds), Places(bounds)
    struck.take_line([(100, 100), (100, 0)])
    assert free.find(man, 12, 8).bottom <= man.top
    assert struck.find(man, 12, 8).top > man.top - 8
