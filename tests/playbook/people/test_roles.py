"""What coordinators, position coaches and assistants change."""

import pytest
from django.urls import reverse
from rest_framework.test import APIClient

from playbook.api import tokens
from playbook.models import FitGrade, PlanEntry, Player, Rights, User
from tests.playbook.week.made import make_week, put_at

pytestmark = pytest.mark.django_db


@pytest.fixture
def week():
    return make_week(pairs=[])


@pytest.fixture
def as_position(client, position):
    client.force_login(position)
    return client


@pytest.fixture
def as_assistant(client, assistant):
    client.force_login(assistant)
    return client


def man_at(place):
    man = Player.objects.create(first_name="Jory", last_name=f"Wenlack {place}", number=55)
    put_at(man, place)
    return man


def entry(week, group):
    return {"day": week.days.first().pk, "group": group, "text": "Shed drill", "minutes": 10}


def test_a_position_coach_plans_for_his_groups_only(as_position, week):
    address = reverse("week:row-add", args=[week.pk, "entry"])
    assert as_position.post(address, entry(week, "linebacker")).status_code == 303
    for group in ("line", ""):
        answer = as_position.post(address, entry(week, group))
        assert answer.status_code == 403 and "Nothing was changed" in answer.content.decode()
    assert list(PlanEntry.objects.filter(text="Shed drill").values_list("group", flat=True)) == ["linebacker"]


def test_a_position_coach_changes_no_entry_into_or_out_of_his_groups(as_position, week):
    theirs = PlanEntry.objects.filter(day__week=week, group="line").first()
    address = reverse("week:row-edit", args=["entry", theirs.pk])
    assert as_position.post(address, entry(week, "linebacker") | {"version": theirs.version}).status_code == 403
    assert as_position.post(reverse("week:row-delete", args=["entry", theirs.pk]), {"version": 1}).status_code == 403
    assert as_position.post(reverse("week:row-move", args=["entry", theirs.pk]), {"to": "up"}).status_code == 403
    theirs.refresh_from_db()
    assert (theirs.group, theirs.text) == ("line", "Hands")


def test_a_position_coach_grades_the_men_of_his_groups(as_position, week):
    own, other = man_at("M"), man_at("N")
    address = reverse("week:grades", args=[week.pk])
    sent = {"effort": 2, "fit_right": "on", "leverage_right": "on"}
    assert as_position.post(address, sent | {"player": own.pk}).status_code == 303
    assert as_position.post(address, sent | {"player": other.pk}).status_code == 422
    grade = FitGrade.objects.create(week=week, player=other)
    assert as_position.post(reverse("week:grade-delete", args=[grade.pk]), {"version": 1}).status_code == 403
    mine = FitGrade.objects.get(player=own)
    assert as_position.post(reverse("week:grade-delete", args=[mine.pk]), {"version": 1}).status_code == 303


def test_an_assistant_reads_the_week_and_changes_none_of_it(as_assistant, week):
    for name in ("week:menu", "week:plan", "week:grades"):
        assert as_assistant.get(reverse(name, args=[week.pk])).status_code == 200
    refused = as_assistant.post(reverse("week:row-add", args=[week.pk, "entry"]), entry(week, "line"))
    assert refused.status_code == 403 and "signed in as assistant" in refused.content.decode()
    part = as_assistant.post(
        reverse("week:release", args=[week.pk]), {"released": "yes", "version": 1}, headers={"HX-Request": "true"}
    )
    assert part.status_code == 403 and part.headers["HX-Retarget"] == "#messages" and b"<html" not in part.content
    week.refresh_from_db()
    assert not week.released


@pytest.mark.parametrize("role", [Rights.POSITION, Rights.ASSISTANT, Rights.PLAYER])
def test_the_api_lets_only_leads_write(role):
    person = User.objects.create_user("someone", role=role, coaches=["line"])
    client = APIClient(headers={"Authorization": f"Token {tokens.make_token(person)}"})
    assert client.get("/api/seasons/").status_code == 200
    assert client.post("/api/seasons/", {"year": 2031}).status_code == 403


def test_an_admin_gives_a_coach_his_groups(as_admin):
    sent = {"username": "corwin", "role": "position", "coaches": ["line", "linebacker"], "is_active": "on"}
    assert as_admin.post(reverse("people:add"), sent).status_code == 303
    assert User.objects.get(username="corwin").coaches == ["line", "linebacker"]
    assert as_admin.post(reverse("people:add"), sent | {"username": "b", "coaches": ["kickers"]}).status_code == 422
