"""Signing in and out, the throttle, links for a first password, and the list of people."""

import pytest
from django.urls import reverse

from playbook.models import Rights, User
from playbook.people import services

pytestmark = pytest.mark.django_db
PASSWORD = "a fine long password"


@pytest.fixture
def coach():
    return User.objects.create_user("corwin", password=PASSWORD, role=Rights.COORDINATOR)


def sign_in(client, username, password, address="10.0.0.1"):
    return client.post(reverse("people:log-in"), {"username": username, "password": password}, REMOTE_ADDR=address)


def test_the_right_password_leads_to_the_first_screen(client, coach):
    assert sign_in(client, "corwin", PASSWORD).headers["Location"] == reverse("home:start")
    assert client.get(reverse("home:start")).status_code == 200


def test_a_wrong_password_shows_the_form_again_as_422(client, coach):
    response = sign_in(client, "corwin", "wrong")
    assert response.status_code == 422
    assert b"correct username and password" in response.content


def test_signing_out_ends_the_session_and_needs_a_post(as_staff):
    assert as_staff.get(reverse("people:log-out")).status_code == 405
    as_staff.post(reverse("people:log-out"))
    assert as_staff.get(reverse("home:start")).status_code == 302


def test_the_throttle_locks_one_name_from_one_place_only(client, coach, settings):
    settings.AXES_ENABLED = True
    User.objects.create_user("tavish", password=PASSWORD)
    for _ in range(settings.AXES_FAILURE_LIMIT):
        locked = sign_in(client, "corwin", "wrong")
    assert locked.status_code == 429
    assert b"quarter of an hour" in locked.content
    assert sign_in(client, "corwin", PASSWORD).status_code == 429
    assert sign_in(client, "tavish", PASSWORD).status_code == 302, "another player behind the same address"
    assert sign_in(client, "corwin", PASSWORD, "10.0.0.2").status_code == 302, "the same coach from elsewhere"


def test_a_forged_header_does_not_dodge_the_throttle(client, coach, settings):
    settings.AXES_ENABLED = True
    for number in range(settings.AXES_FAILURE_LIMIT):
        client.post(
            reverse("people:log-in"),
            {"username": "corwin", "password": "wrong"},
            headers={"x-forwarded-for": f"1.1.1.{number}"},
        )
    assert sign_in(client, "corwin", PASSWORD, "127.0.0.1").status_code == 429


def test_a_link_sets_the_password_once(client, as_admin, coach):
    page = as_admin.post(reverse("people:link", args=[coach.pk]))
    assert b"data:image/svg+xml" in page.content
    client.logout()
    address = client.get(reverse("people:welcome", args=services.log_in_path(coach))).headers["Location"]
    new = {"new_password1": "another long one", "new_password2": "another long one"}
    assert client.post(address, new).headers["Location"] == reverse("home:start")
    coach.refresh_from_db()
    assert coach.check_password("another long one")
    assert b"no longer works" in client.get(address).content


@pytest.mark.parametrize(("host", "warned"), [("127.0.0.1:8000", True), ("localhost", True), ("testserver", False)])
def test_a_link_that_no_phone_can_open_says_so(as_admin, coach, host, warned):
    page = as_admin.post(reverse("people:link", args=[coach.pk]), headers={"host": host}).content.decode()
    assert ("no phone and no other computer can open it" in page) is warned


def test_an_htmx_request_without_a_session_is_sent_to_the_log_in_page(client):
    response = client.get(reverse("home:start"), headers={"HX-Request": "true"})
    assert response.status_code == 204
    assert response.headers["HX-Redirect"].startswith(reverse("people:log-in"))


def test_the_list_filters_and_htmx_gets_only_the_table(as_admin, coach):
    whole = as_admin.get(reverse("people:list"))
    part = as_admin.get(reverse("people:list"), {"q": "corw"}, headers={"HX-Request": "true"})
    assert b"<html" in whole.content and b"<html" not in part.content
    assert b"corwin" in part.content and b"the-admin" not in part.content
    assert "HX-Request" in part.headers["Vary"]


def test_adding_a_person_and_a_user_name_taken_twice(as_admin, coach):
    data = {"username": "newman", "first_name": "Nell", "last_name": "Ostrey", "role": "player", "is_active": "on"}
    assert as_admin.post(reverse("people:add"), data).status_code == 303
    assert not User.objects.get(username="newman").has_usable_password()
    refused = as_admin.post(reverse("people:add"), data | {"username": "corwin"})
    assert refused.status_code == 422
    assert b"already exists" in refused.content


@pytest.mark.parametrize("change", [{"role": "coordinator", "is_active": "on"}, {"role": "admin"}])
def test_the_last_admin_stays_one(as_admin, admin, change):
    refused = as_admin.post(reverse("people:edit", args=[admin.pk]), {"username": "the-admin"} | change)
    assert refused.status_code == 422
    assert b"last admin" in refused.content
    admin.refresh_from_db()
    assert admin.role == Rights.ADMIN and admin.is_active


def test_the_database_refuses_an_unknown_role(coach):
    from django.db import IntegrityError

    with pytest.raises(IntegrityError, match="user_role_known"):
        User.objects.filter(pk=coach.pk).update(role="owner")


def test_pages_are_served_with_a_strict_policy_and_no_inline_code(as_staff):
    page = as_staff.get(reverse("home:start"))
    policy = page.headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy and "unsafe" not in policy
    assert b"<style" not in page.content and b"onclick" not in page.content and b" style=" not in page.content
