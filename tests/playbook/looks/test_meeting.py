"""A look on the projector, and two looks beside each other."""

import re

import pytest
from django.urls import reverse

from fits.words import words_of
from playbook.looks import specs
from playbook.models import Call, FitRule
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
        assert {one.man for one in differ} >= wanted
        assert len(differ) == len({one.man for one in differ})
        assert all(one.here != one.there for one in differ), "what stands there tells them apart"


def test_a_system_of_one_call_has_nothing_to_compare_with(as_staff, asks):
    system = asks[0].call.system
    system.calls.exclude(pk=asks[0].call.pk).delete()
    page = as_staff.get(asks[0].part("compare"))
    assert page.status_code == 200 and b"This system has one call" in page.content


def test_one_call_before_and_after_a_change_that_was_saved(as_staff, asks):
    ask = asks[0]
    man = next(d for d in as_staff.get(ask.address()).context["look"].defenders if d.rule.rule.id)
    rule = FitRule.objects.get(rule_id=man.rule.rule.id, front__system=ask.call.system)
    change(as_staff, rule, fit="free")
    change(as_staff, FitRule.objects.filter(front=rule.front).exclude(pk=rule.pk).first(), say="other words")
    page = as_staff.get(ask.part("compare"))
    second, first = page.context["changes"]
    assert second.title.startswith("fit rule of") and str(first.id) in page.content.decode()
    page = as_staff.get(ask.part("compare"), {"other": first.id})
    assert [side.title for side in page.context["sides"]] == ["Before", "After"]
    told = {one.man: one for one in page.context["differ"]}
    name = words_of(as_staff.get(ask.address()).context["look"]).man(man.role)
    assert "no gap" in told[name].there and "no gap" not in told[name].here
    assert "changed: " in page.context["sides"][1].wide.lower(), "his ring is told to who cannot see it"
    latest = as_staff.get(ask.part("compare"), {"other": "last"})
    assert latest.context["change"].id == second.id and b"fits alike here" in latest.content
    plays = [as_staff.get(address).json() for address in page.context["plays"].split()]
    assert len(plays) == 2 and all(play["forms"]["wide"] for play in plays)
    rule.refresh_from_db()
    assert rule.fit == "free", "looking back changes nothing"


def test_the_history_leads_to_a_look_that_a_change_made_another(as_staff, asks):
    man = next(d for d in as_staff.get(asks[0].address()).context["look"].defenders if d.rule.rule.id)
    rule = FitRule.objects.get(rule_id=man.rule.rule.id, front__system=asks[0].call.system)
    change(as_staff, rule, fit="free")
    saved = as_staff.get(reverse("system:changes", args=[asks[0].call.system_id])).context["changes"][0]
    address = as_staff.get(reverse("system:drawn", args=[asks[0].call.system_id, saved.id])).headers["Location"]
    assert as_staff.get(address).context["differ"]


def change(client, rule, **values):
    kept = {name: getattr(rule, name) for name in ("rule_id", "who", "when", "fit", "leverage", "say")}
    address = reverse("system:save-rule", args=["front", rule.front_id, "fits", rule.pk])
    assert client.post(address, kept | values | {"version": rule.version}).status_code == 303
