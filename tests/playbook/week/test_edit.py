"""Seasons and weeks: list, add, change."""

import pytest
from django.urls import reverse

from playbook import convert
from playbook.models import Season, System, Week
from playbook.week import services
from tests.playbook.week.made import SYSTEM, make_bare_week, make_season, make_week

pytestmark = pytest.mark.django_db


def test_the_list_says_what_to_do_first(as_staff):
    assert "No season yet" in as_staff.get(reverse("week:list")).content.decode()
    page = as_staff.get(reverse("week:add"))
    assert page.context["form"].fields["year"] and "Save" in page.content.decode(), "the season is made with its week"


def test_a_season_is_added_with_the_published_limits_as_default(as_staff):
    page = as_staff.get(reverse("week:season-add")).content.decode()
    assert "2014" in page
    sent = {
        "year": 2031,
        "book": "college",
        "contact_day_min": 30,
        "contact_week_min": 90,
        "contact_source": "Ours, 2031",
    }
    assert as_staff.post(reverse("week:season-add"), sent).status_code == 303
    assert Season.objects.get().contact_source == "Ours, 2031"


def test_a_season_twice_is_invalid(as_staff):
    make_season(2031)
    sent = {"year": 2031, "book": "college", "contact_day_min": 30, "contact_week_min": 90, "contact_source": "Ours"}
    assert as_staff.post(reverse("week:season-add"), sent).status_code == 422


def test_limits_changed_by_two_people_conflict(as_staff):
    season = make_season()
    sent = {"year": 2031, "book": "college", "contact_day_min": 20, "contact_week_min": 60, "contact_source": "Ours"}
    address = reverse("week:season-edit", args=[season.pk])
    assert as_staff.post(address, sent | {"version": 1}).status_code == 303
    assert as_staff.post(address, sent | {"version": 1, "contact_day_min": 25}).status_code == 409
    season.refresh_from_db()
    assert season.contact_day_min == 20


def test_a_new_week_can_start_from_another(as_staff):
    week = make_week(pairs=[])
    sent = {"season": week.season_id, "number": 2, "system": week.system_id, "start_from": week.pk}
    answer = as_staff.post(reverse("week:add"), sent)
    made = Week.objects.get(number=2)
    assert answer["Location"] == reverse("week:detail", args=[made.pk])
    assert [call.call_id for call in made.menu_calls.all()] == [call.call_id for call in week.menu_calls.all()]
    assert [day.label for day in made.days.all()] == ["Tuesday", "Wednesday"]
    assert made.days.first().entries.count() == 2
    assert not made.released


def test_the_same_number_twice_is_invalid(as_staff):
    week = make_bare_week()
    sent = {"season": week.season_id, "number": 1, "system": week.system_id}
    assert as_staff.post(reverse("week:add"), sent).status_code == 422


def test_another_system_keeps_the_menu_by_name():
    week = make_week(pairs=[])
    variant = convert.copy_system(week.system, "odd-for-week-1", "Odd for week 1")
    services.change_week(week, week.version, {"system": variant})
    assert {entry.call.system for entry in week.menu_calls.all()} == {variant}


def test_a_system_without_the_calls_is_refused(as_staff):
    week = make_week(pairs=[])
    other = System.objects.create(name="other", scheme=week.system.scheme)
    sent = {"season": week.season_id, "number": 1, "system": other.pk, "version": week.version}
    answer = as_staff.post(reverse("week:edit", args=[week.pk]), sent)
    assert answer.status_code == 422
    assert SYSTEM in answer.content.decode()
    week.refresh_from_db()
    assert week.system.name == SYSTEM


def test_two_coaches_change_a_week_and_nothing_is_lost(as_staff):
    week = make_bare_week()
    sent = {"season": week.season_id, "number": 1, "system": week.system_id, "version": 1}
    address = reverse("week:edit", args=[week.pk])
    assert as_staff.post(address, sent | {"note": "from the first coach"}).status_code == 303
    second = as_staff.post(address, sent | {"note": "from the second coach"})
    assert second.status_code == 409
    assert "from the first coach" in second.content.decode() and "from the second coach" in second.content.decode()


def test_the_wrong_method_is_refused(as_staff):
    assert as_staff.post(reverse("week:list")).status_code == 405
    assert as_staff.delete(reverse("week:add")).status_code == 405


def test_the_first_week_is_made_with_its_season_in_one_form(as_staff):
    form = as_staff.get(reverse("week:add")).context["form"]
    sent = {"year": 2031, "book": form.fields["book"].choices[0][0], "system": System.objects.first().pk}
    answer = as_staff.post(reverse("week:add"), sent)
    week = Week.objects.get()
    assert answer.headers["Location"] == reverse("week:detail", args=[week.pk])
    assert (week.season.year, week.number) == (2031, 1)


def test_a_week_without_looks_is_not_released(as_staff):
    week = make_week()
    week.expected_looks.all().delete()
    address = reverse("week:release", args=[week.pk])
    page = as_staff.get(as_staff.post(address, {"version": week.version, "released": "yes"}).headers["Location"])
    assert "no look yet" in page.content.decode()
    week.refresh_from_db()
    assert not week.released
