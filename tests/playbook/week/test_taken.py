"""What is taken off a week is what was seen, and comes back with what hung on it."""

import pytest
from django.urls import reverse

from playbook.models import Day, FitGrade, PlanEntry
from playbook.week import taken
from tests.playbook.week.made import make_grade, make_week

pytestmark = pytest.mark.django_db
ROWS = {"look": ("expected_looks", "looks"), "call": ("menu_calls", "menu"), "day": ("days", "plan")}


@pytest.fixture
def week():
    return make_week(pairs=[("11-doubles", "power"), ("10-doubles", "inside-zone")])


def off(client, kind, row, version=None):
    address = reverse("week:row-delete", args=[kind, row.pk])
    return client.post(address, {"version": row.version if version is None else version})


def back(client, week, tab):
    (one, *_) = taken.taken_off(week, tab)
    address = reverse("week:bring-back", args=[week.pk, one.change])
    return one, client.post(address, {"tab": tab})


@pytest.mark.parametrize("kind", ROWS)
def test_a_row_comes_back_as_it_was(as_staff, week, kind):
    related, tab = ROWS[kind]
    rows = getattr(week, related)
    row, before = rows.first(), list(rows.order_by("order").values_list("pk", "order"))
    entries = list(PlanEntry.objects.filter(day__week=week).order_by("pk").values_list("pk", "look_id"))
    assert off(as_staff, kind, row).status_code == 303
    assert not rows.filter(pk=row.pk).exists()
    one, answer = back(as_staff, week, tab)
    assert answer.status_code == 303 and one.what == str(row)
    assert list(rows.order_by("order").values_list("pk", "order")) == before
    assert list(PlanEntry.objects.filter(day__week=week).order_by("pk").values_list("pk", "look_id")) == entries
    assert taken.taken_off(week, tab) == []


def test_the_tab_offers_it(as_staff, week):
    off(as_staff, "day", week.days.first())
    page = as_staff.get(reverse("week:plan", args=[week.pk])).content.decode()
    assert "Taken off lately" in page and "Bring back<span" in page


def test_a_row_that_was_changed_since_stays_and_is_shown(as_staff, week):
    day = week.days.first()
    seen = day.version
    day.save_version(seen, note="from the other coach")
    answer = off(as_staff, "day", day, seen)
    assert answer.status_code == 409 and "from the other coach" in answer.content.decode()
    assert Day.objects.filter(pk=day.pk).exists()
    assert as_staff.post(reverse("week:row-delete", args=["day", day.pk])).status_code == 409, "without a version"


def test_a_grade_checks_the_version_and_comes_back(as_staff, week):
    grade = make_grade(week=week, snap=9, correction="Eyes on the guard.")
    address = reverse("week:grade-delete", args=[grade.pk])
    grade.save_version(1, correction="Feet first.")
    assert as_staff.post(address, {"version": 1}).status_code == 409
    assert as_staff.post(address, {"version": 2}).status_code == 303
    assert not FitGrade.objects.exists()
    one, _ = back(as_staff, week, "grades")
    assert "snap 9" in one.what
    assert FitGrade.objects.get().correction == "Feet first."


def test_bringing_back_twice_is_once_and_into_its_own_week_only(as_staff, week):
    off(as_staff, "call", week.menu_calls.first())
    (one,) = taken.taken_off(week, "menu")
    address = reverse("week:bring-back", args=[week.pk, one.change])
    other = reverse("week:bring-back", args=[make_week(2, pairs=[]).pk, one.change])
    assert as_staff.post(other, {"tab": "menu"}).status_code == 303
    assert week.menu_calls.count() == 1
    for _ in range(2):
        as_staff.post(address, {"tab": "menu"})
    assert week.menu_calls.count() == 2
    assert as_staff.post(address, {"tab": "nowhere"}).status_code == 404


def test_the_same_added_meanwhile_is_said(as_staff, week):
    look = week.expected_looks.first()
    off(as_staff, "look", look)
    (one,) = taken.taken_off(week, "looks")
    type(look).objects.create(week=week, order=7, formation=look.formation, concept=look.concept)
    answer = as_staff.post(reverse("week:bring-back", args=[week.pk, one.change]), {"tab": "looks"})
    assert "the same was added meanwhile" in as_staff.get(answer.headers["Location"]).content.decode()
