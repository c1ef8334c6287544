"""What is older than the staff keeps is forgotten, and nothing else."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from playbook.api import tokens
from playbook.models import AccessEntry, ApiToken, FitGrade, Happening, Installation, SentForm, Session
from playbook.people import retention
from tests.playbook.week.made import make_grade, make_week

pytestmark = pytest.mark.django_db


def aged(model, days, field="at", **fields):
    row = model.objects.create(**fields)
    model.objects.filter(pk=row.pk).update(**{field: timezone.now() - timedelta(days=days)})
    return row.pk


def test_only_what_is_too_old_goes(staff):
    Installation.objects.create(log_days=60)
    for days in (59, 61):
        aged(AccessEntry, days, what=Happening.PLAN, name=str(days))
    for days in (1, 3):
        aged(SentForm, days, digest=str(days))
    for days in (-1, 1):
        aged(Session, days, "expire_date", session_key=str(days), session_data="", expire_date=timezone.now())
    tokens.make_token(staff, days=7)
    ApiToken.objects.create(user=staff, digest="x", expires_at=timezone.now() - timedelta(days=1))
    gone = retention.forget_old()
    assert (gone["log"], gone["forms"], gone["sessions"], gone["tokens"]) == (1, 1, 1, 1)
    assert list(AccessEntry.objects.filter(what=Happening.PLAN).values_list("name", flat=True)) == ["59"]
    assert Session.objects.get().session_key == "-1" and ApiToken.objects.get().digest != "x"


def test_old_grades_go_with_their_history_where_the_staff_says_so():
    week = make_week(pairs=[])  # of 2031
    grade = make_grade(week=week)
    this_year = timezone.localdate().year
    events = FitGrade.pgh_event_models["insert"].objects.filter(pgh_obj_id=grade.pk)
    type(week.season).objects.filter(pk=week.season_id).update(year=this_year - 3)
    assert retention.forget_old()["grades"] == 0, "zero keeps all"
    Installation.objects.create(grade_years=3)
    assert retention.forget_old()["grades"] == 0
    Installation.objects.update(grade_years=2)
    assert retention.forget_old()["grades"] == 1
    assert not FitGrade.objects.exists() and not events.exists()


def test_an_admin_says_how_long(as_admin):
    address = reverse("installation:keep")
    assert as_admin.post(address, {"log_days": 90, "grade_years": 4}).status_code == 303
    row = Installation.objects.get()
    assert (row.log_days, row.grade_years) == (90, 4)
    assert as_admin.post(address, {"log_days": 1, "grade_years": 4}).status_code == 422
