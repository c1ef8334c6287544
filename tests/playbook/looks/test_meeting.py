"""A look on the projector, and two looks beside each other."""

import re

import pytest
from django.urls import reverse

from fits.words import words_of
from playbook.looks import specs
from playbook.models import Call
from tests.playbook.looks.made import look_kwargs
from tests.playbook.week.made import SYSTEM, make_week

pytestmark = pytest.mark.django_db


@pytest.fixture
def asks():
    week = make_week()
    call = week.system.calls.get(name=SYSTEM)
    return specs.asks_of(week, specs.expected_looks(week), call)


def test_the_meeting_view_has_the_look_and_nothing_else(as_staff, asks):
    page = as_staff.get(asks[0].part("meeting"))
    text = page.content.decode()
    assert page.status_code == 200 and text.count("<svg") == 2
    assert "<header" not in text and '<nav aria-label="Main"' not in text and "men-list" not in text
    for layer in ("formation", "alignment", "steps", "blocks", "fits", "lanes"):
        assert re.search(rf'class="{layer}[" ]', text), "each layer can be revealed by itself"
    assert page.context["verdict"].title in text


def test_it_leads_to_the_looks_beside_it_and_back_to_the_desk(as_staff, asks):
    first, second = (as_staff.get(ask.part("meeting")).context for ask in asks[:2])
    assert first["next"] == asks[1].part("meeting") and not first["previous"]
    assert second["previous"] == asks[0].part("meeting") and second["leave"] == asks[1].address()
    assert as_staff.get(asks[0].address()).context["meeting"] == asks[0].part("meeting")


def test_what_cannot_be_run_is_told_there(as_staff):
    kwargs = look_kwargs("10-doubles", "split-zone")
    page = as_staff.get(reverse("looks:meeting", kwargs=kwargs))
    assert page.status_code == 422 and b'role="alert"' in page.content
    assert as_staff.get(reverse("looks:meeting", kwargs=kwargs), {"hash": "sideways"}).status_code == 303
    assert as_staff.post(reverse("looks:meeting", kwargs=kwargs)).status_code == 405


def test_two_calls_stand_beside_each_other_with_who_does_something_else(as_staff, asks):
    page = as_staff.get(asks[0].part("compare"))
    one, other = page.context["sides"]
    assert (one.ask.call, other.ask.call) == (asks[0].call, page.context["other"])
    assert one.ask.formation == other.ask.formation and page.content.decode().count("<svg") == 4
    picked = Call.objects.filter(system=asks[0].call.system).exclude(pk=asks[0].call.pk).last()
    assert as_staff.get(asks[0].part("compare"), {"other": picked.pk}).context["other"] == picked


def test_differences_name_each_man_once_in_the_looks_own_words(as_staff, asks):
    for other in asks[0].call.system.calls.exclude(pk=asks[0].call.pk):
        page = as_staff.get(asks[0].part("compare", [("other", str(other.pk))]))
        differ = page.context["differ"]
        looks = [as_staff.get(side.ask.address()).context["look"] for side in page.context["sides"]]
        wanted = {
            words_of(looks[0]).man(d.role)
            for d in looks[0].defenders
            if (e := looks[1].defender(d.role)) is None
            or (d.technique, words_of(looks[0]).fit(d)) != (e.technique, words_of(looks[1]).fit(e))
        }
        assert {man for man, _, _ in differ} >= wanted
        assert len(differ) == len({man for man, _, _ in differ})


def test_a_system_of_one_call_has_nothing_to_compare_with(as_staff, asks):
    system = asks[0].call.system
    system.calls.exclude(pk=asks[0].call.pk).delete()
    page = as_staff.get(asks[0].part("compare"))
    assert page.status_code == 200 and b"This system has one call" in page.content
