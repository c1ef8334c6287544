"""Tokens: made, used, taken back."""

import re
from datetime import timedelta

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse
from django.utils import timezone
from rest_framework.test import APIClient

from playbook.api import tokens
from playbook.models import ApiToken

pytestmark = pytest.mark.django_db


def status(secret):
    return APIClient().get("/api/seasons/", HTTP_AUTHORIZATION=f"Token {secret}").status_code


def shown(response):
    return re.search(r"<code>([\w-]{40})</code>", response.content.decode())[1]


def test_the_page_makes_a_token_and_shows_it_once(as_staff, staff):
    secret = shown(as_staff.post(reverse("token:make")))
    assert status(secret) == 200
    assert secret not in as_staff.get(reverse("token:detail")).content.decode()


def test_only_a_digest_is_kept(as_staff, staff):
    secret = shown(as_staff.post(reverse("token:make")))
    kept = ApiToken.objects.get(user=staff).digest
    assert kept != secret
    assert status(kept) == 401


def test_each_token_has_its_label_and_is_taken_back_by_itself(as_staff, staff):
    old = shown(as_staff.post(reverse("token:make"), {"label": "the film room"}))
    new = shown(as_staff.post(reverse("token:make"), {"label": "the laptop"}))
    page = as_staff.get(reverse("token:detail")).content.decode()
    assert "the film room" in page and "the laptop" in page and "never used" in page
    as_staff.post(reverse("token:revoke", args=[staff.tokens.get(label="the film room").pk]))
    assert (status(old), status(new)) == (401, 200)
    assert "last used" in as_staff.get(reverse("token:detail")).content.decode()


def test_a_token_of_another_is_not_taken_back_by_me(as_staff, admin):
    secret = tokens.make_token(admin)
    as_staff.post(reverse("token:revoke", args=[admin.tokens.get().pk]))
    assert status(secret) == 200


def test_a_token_ends_on_its_day(staff):
    secret = tokens.make_token(staff, days=7)
    assert status(secret) == 200
    ApiToken.objects.update(expires_at=timezone.now() - timedelta(seconds=1))
    answer = APIClient().get("/api/seasons/", HTTP_AUTHORIZATION=f"Token {secret}")
    assert answer.status_code == 401 and "good until" in answer.json()["detail"]


def test_a_token_for_reading_changes_nothing(as_staff):
    reads = shown(as_staff.post(reverse("token:make"), {"days": 7}))
    client = APIClient(headers={"Authorization": f"Token {reads}"})
    assert client.get("/api/seasons/").status_code == 200
    refused = client.post("/api/seasons/", {"year": 2031})
    assert refused.status_code == 403 and "reading only" in refused.json()["detail"]
    writes = shown(as_staff.post(reverse("token:make"), {"days": 7, "writes": "on"}))
    assert (
        APIClient(headers={"Authorization": f"Token {writes}"}).post("/api/seasons/", {"year": 2031}).status_code == 201
    )


def test_nobody_has_more_tokens_than_he_can_oversee(as_staff, staff):
    for _ in range(tokens.MOST):
        tokens.make_token(staff)
    refused = as_staff.post(reverse("token:make"))
    assert refused.status_code == 422 and "Take one back first" in refused.content.decode()
    assert as_staff.post(reverse("token:make"), {"days": 9999}).status_code == 422


def test_a_token_is_taken_back(as_staff):
    secret = shown(as_staff.post(reverse("token:make")))
    assert as_staff.post(reverse("token:revoke", args=[ApiToken.objects.get().pk])).status_code == 303
    assert status(secret) == 401


def test_a_token_of_somebody_who_may_no_longer_sign_in(as_staff, staff):
    secret = shown(as_staff.post(reverse("token:make")))
    staff.is_active = False
    staff.save()
    assert status(secret) == 401


def test_the_page_takes_no_get_for_changes(as_staff):
    assert as_staff.get(reverse("token:make")).status_code == 405
    assert as_staff.get(reverse("token:revoke", args=[1])).status_code == 405


def test_a_password_gets_a_token(staff):
    client = APIClient()
    made = client.post("/api/token/", {"username": "the-staff", "password": "password of staff"})
    assert made.status_code == 201
    client.credentials(HTTP_AUTHORIZATION=f"Token {made.json()['token']}")
    assert client.get("/api/seasons/").status_code == 200
    assert client.delete("/api/token/").status_code == 204
    assert client.get("/api/seasons/").status_code == 401


@pytest.mark.parametrize("body", [{"username": "the-staff", "password": "wrong"}, {"username": "x", "password": "y"}])
def test_a_wrong_password_gets_none(staff, body):
    assert APIClient().post("/api/token/", body).status_code == 401
    assert not ApiToken.objects.exists()


def test_guessing_is_throttled(staff, settings):
    settings.AXES_ENABLED = True
    client = APIClient()
    for _ in range(settings.AXES_FAILURE_LIMIT):
        client.post("/api/token/", {"username": "the-staff", "password": "wrong"})
    right = client.post("/api/token/", {"username": "the-staff", "password": "password of staff"})
    assert (right.status_code, right["Content-Type"]) == (429, "application/json")
    assert not ApiToken.objects.exists()


def test_the_command(staff, capsys):
    call_command("token", "the-staff")
    secret = capsys.readouterr().out.strip()
    assert status(secret) == 200
    call_command("token", "the-staff", "--revoke")
    assert status(secret) == 401
    with pytest.raises(CommandError, match="no token"):
        call_command("token", "the-staff", "--revoke")
    with pytest.raises(CommandError, match="nobody"):
        call_command("token", "not-there")
