"""A defender dragged to where he should line up."""

import html
import re

import pytest
from django.urls import reverse

from tests.playbook.looks.made import look_kwargs, week_ask

pytestmark = pytest.mark.django_db
PART = {"HX-Request": "true"}


@pytest.fixture
def ask():
    return week_ask()


def test_the_rule_that_places_him_is_proposed_with_the_new_place_and_tried_at_once(as_staff, ask):
    look = as_staff.get(ask.address()).context["look"]
    dragged = {"man": "M", "dx": 0, "dy": -60, "form": "wide"}
    part = as_staff.get(ask.part("place", [(k, str(v)) for k, v in dragged.items()]), headers=PART)
    assert part.status_code == 200 and b"<html" not in part.content
    place, rule = part.context["place"], part.context["rule"]
    assert place.y > look.defender("M").y + 1 and "deep" in place.at and rule.who
    address = html.unescape(re.search(r'hx-get="([^"]+edit=align-[^"]+)"', part.content.decode())[1])
    form = as_staff.get(address, headers=PART)
    text = form.content.decode()
    assert form.status_code == 200 and f'value="{place.at}"' in text and f'value="{rule.who}"' in text
    assert "hx-disinherit" in part.content.decode(), "the form is swapped as it says itself"
    assert "from:#rule-form, load" in text, "the drawing shows it without being asked"
    rule.refresh_from_db()
    assert rule.at != place.at, "nothing is saved yet"
    filled = form.context["form"]
    data = {name: filled[name].value() for name in filled.fields if filled[name].value() is not None}
    owner = "coverage" if rule.coverage_id else "front"
    tried = reverse("system:try-rule", args=[owner, getattr(rule, f"{owner}_id"), "align", rule.pk])
    after = as_staff.post(tried, dict(form.context["bench"].pairs()) | data, headers=PART)
    assert [side.title for side in after.context["sides"]] == ["Before", "After"]
    assert "M" in {one.man for one in after.context["differ"]}
    assert 'id="pair" hx-swap-oob="true"' in after.content.decode(), "large, under the look's drawing"


def test_a_man_hardly_moved_keeps_his_place(as_staff, ask):
    look = as_staff.get(ask.address()).context["look"]
    for man in look.defenders:
        part = as_staff.get(ask.part("place"), {"man": man.role, "dx": 1, "dy": 1}, headers=PART)
        place = part.context["place"]
        assert abs(place.x - man.x) < 0.75 and abs(place.y - man.y) < 0.75, man.role


@pytest.mark.parametrize("query", [{}, {"man": "Q9", "dx": 1, "dy": 1}, {"man": "M", "dx": "far", "dy": 1}])
def test_what_is_no_drag_is_refused(as_staff, ask, query):
    part = as_staff.get(ask.part("place"), query, headers=PART)
    assert part.status_code == 422 and b'role="alert"' in part.content


def test_a_whole_page_and_only_get(as_staff):
    address = reverse("looks:place", kwargs=look_kwargs())
    assert b"<html" in as_staff.get(address, {"man": "M", "dx": 9, "dy": 9}).content
    assert as_staff.post(address).status_code == 405
