"""A changed password, a changed role or deactivation ends a person's log-ins, open links and API token at once."""

from unittest.mock import patch

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.test import Client
from django.urls import reverse
from rest_framework.test import APIClient

from playbook.api import tokens
from playbook.models import Rights, User
from playbook.people import services

pytestmark = pytest.mark.django_db
PASSWORD = "a fine long password"
NEW = {"new_password1": "another long one", "new_password2": "another long one"}


@pytest.fixture
def coach():
    return User.objects.create_user("corwin", password=PASSWORD, role=Rights.COORDINATOR)


class Held:
    """What a person has in his hands: two log-ins, a link, a link already opened, and a token."""

    def __init__(self, person):
        self.log_in, self.opened = Client(), Client()
        self.log_in.force_login(person)
        self.link = reverse("people:welcome", args=services.log_in_path(person))
        self.form = self.opened.get(self.link).headers["Location"]
        self.token = tokens.make_token(person)

    def good(self):
        """Returns which of them still open a door."""
        asked = {
            "log-in": self.log_in.get(reverse("home:start")).status_code == 200,
            "token": APIClient().get("/api/seasons/", HTTP_AUTHORIZATION=f"Token {self.token}").status_code == 200,
            "link": Client().get(self.link).status_code == 302,
            "opened link": b"new_password1" in self.opened.get(self.form).content,
        }
        return {name for name, fine in asked.items() if fine}


ALL = {"log-in", "token", "link", "opened link"}
SAME = {"username": "corwin", "first_name": "", "last_name": "", "email": ""}


def by_page(**changes):
    def change(coach, admin):
        boss = Client()
        boss.force_login(admin)
        sent = {**SAME, "role": coach.role, "is_active": "on", **changes}
        answer = boss.post(reverse("people:edit", args=[coach.pk]), {k: v for k, v in sent.items() if v is not None})
        assert answer.status_code == 303

    return change


def by_service(**changes):
    def change(coach, admin):
        person = User.objects.get(pk=coach.pk)
        for name, value in changes.items():
            setattr(person, name, value)
        services.save_person(person)

    return change


def by_rows(**changes):
    return lambda coach, admin: User.objects.filter(pk=coach.pk).update(**changes)


def by_sql(coach, admin):
    with connection.cursor() as cursor:
        cursor.execute("update playbook_user set is_active = false where id = %s", [coach.pk])


def by_own_page(coach, admin):
    at_home = Client()
    at_home.force_login(coach)
    answer = at_home.post(reverse("people:password"), {"old_password": PASSWORD, **NEW})
    assert answer.headers["Location"] == reverse("home:start")
    assert at_home.get(reverse("home:start")).status_code == 200, "who changes it stays signed in where he did"


def by_link(coach, admin):
    phone = Client()
    form = phone.get(reverse("people:welcome", args=services.log_in_path(coach))).headers["Location"]
    assert phone.post(form, NEW).headers["Location"] == reverse("home:start")
    assert phone.get(reverse("home:start")).status_code == 200


def by_command(coach, admin):
    with patch("getpass.getpass", return_value="another long one"):
        call_command("changepassword", "corwin")


WAYS = {
    "role, on the admin's page": by_page(role="player"),
    "deactivation, on the admin's page": by_page(is_active=None),
    "role, by the service": by_service(role=Rights.PLAYER),
    "deactivation, by the service": by_service(is_active=False),
    "role, in many rows at once": by_rows(role=Rights.PLAYER),
    "deactivation, in many rows at once": by_rows(is_active=False),
    "deactivation, past the program": by_sql,
    "password, on his own page": by_own_page,
    "password, by a link": by_link,
    "password, by the command": by_command,
}


@pytest.mark.parametrize("way", WAYS)
def test_it_ends_all_at_once(way, coach, admin, capsys):
    held = Held(coach)
    assert held.good() == ALL
    WAYS[way](coach, admin)
    assert held.good() == set()


@pytest.mark.parametrize("back", [by_page(), by_service(is_active=True), by_rows(is_active=True)])
def test_activating_again_brings_none_back(back, coach, admin):
    held = Held(coach)
    by_rows(is_active=False)(coach, admin)
    back(coach, admin)
    assert held.good() == set()
    signed_in = Client().post(reverse("people:log-in"), {"username": "corwin", "password": PASSWORD})
    assert signed_in.status_code == 302, "he signs in anew"


def test_a_role_given_back_brings_none_back(coach, admin):
    held = Held(coach)
    by_rows(role=Rights.ADMIN)(coach, admin)
    by_rows(role=Rights.COORDINATOR)(coach, admin)
    assert held.good() == set()


def test_a_row_read_before_and_saved_after_brings_none_back(coach, admin):
    held = Held(coach)
    old = User.objects.get(pk=coach.pk)
    by_rows(is_active=False)(coach, admin)
    by_rows(is_active=True)(coach, admin)
    old.first_name = "Corwin"
    old.save()
    assert held.good() == set()


def test_other_changes_end_nothing(coach, admin):
    held = Held(coach)
    by_page(first_name="Corwin")(coach, admin)
    assert held.good() == ALL


def test_signing_in_elsewhere_ends_no_log_in_and_no_token(coach):
    held = Held(coach)
    Client().post(reverse("people:log-in"), {"username": "corwin", "password": PASSWORD})
    assert {"log-in", "token"} <= held.good()


def test_a_better_hash_of_the_same_password_ends_nothing(coach, settings):
    held, before = Held(coach), coach.password
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.ScryptPasswordHasher", *settings.PASSWORD_HASHERS]
    assert User.objects.get(pk=coach.pk).check_password(PASSWORD)
    after = User.objects.get(pk=coach.pk)
    assert after.password != before and after.check_password(PASSWORD)
    assert {"log-in", "token"} <= held.good()


def test_a_better_hash_is_not_written_over_a_newer_password(coach, settings):
    old = User.objects.get(pk=coach.pk)
    services.set_password(coach, "another long one")
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.ScryptPasswordHasher", *settings.PASSWORD_HASHERS]
    assert old.check_password(PASSWORD)
    assert User.objects.get(pk=coach.pk).check_password("another long one")


def test_nobody_who_was_read_before_gets_a_token_or_a_password_after(coach, admin):
    old = User.objects.get(pk=coach.pk)
    by_rows(role=Rights.PLAYER)(coach, admin)
    with pytest.raises(services.AccessEnded):
        tokens.make_token(old)
    with pytest.raises(services.AccessEnded):
        services.set_password(old, "another long one")
    coach.refresh_from_db()
    assert coach.role == Rights.PLAYER and coach.check_password(PASSWORD)


def test_saving_a_person_does_not_bring_an_old_password_back(coach):
    old = User.objects.get(pk=coach.pk)
    services.set_password(coach, "another long one")
    old.first_name = "Corwin"
    services.save_person(old)
    assert User.objects.get(pk=coach.pk).check_password("another long one")


def test_no_link_and_no_token_for_who_may_not_sign_in(coach):
    User.objects.filter(pk=coach.pk).update(is_active=False)
    coach.refresh_from_db()
    assert b"no longer works" in Client().get(reverse("people:welcome", args=services.log_in_path(coach))).content
    with pytest.raises(CommandError, match="may not sign in"):
        call_command("token", "corwin")


def test_an_admin_lists_tokens_and_takes_one_back(as_admin, coach, staff):
    mine, other = Held(coach), Held(staff)
    page = as_admin.get(reverse("token:list")).content.decode()
    assert "corwin" in page and "the-staff" in page and mine.token not in page
    kept = tokens.tokens_of(coach).get()
    assert kept.digest not in page
    address = reverse("token:take-back", args=[kept.pk])
    assert address in page
    assert as_admin.post(address).headers["Location"] == reverse("token:list")
    assert "token" not in mine.good() and "token" in other.good()
    as_admin.get(reverse("token:list"))  # the message names him once more
    assert "corwin" not in as_admin.get(reverse("token:list")).content.decode()
    assert as_admin.get(address).status_code == 405
    assert as_admin.post(reverse("token:take-back", args=[0])).status_code == 404


def test_without_tokens_the_list_says_so(as_admin):
    assert "Nobody has a token." in as_admin.get(reverse("token:list")).content.decode()
