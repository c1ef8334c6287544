"""Where somebody is signed in, the second factor, the log, and fences against guessing."""

import time

import pytest
from django.core.exceptions import ValidationError
from django.test import Client
from django.urls import reverse
from django_otp.oath import totp
from django_otp.plugins.otp_static.models import StaticToken
from django_otp.plugins.otp_totp.models import TOTPDevice

from playbook.models import AccessEntry, Happening, Installation, Rights, Session, User
from playbook.people import throttle
from playbook.people.passwords import NoKnownWords
from tests.playbook.week.made import make_bare_week

pytestmark = pytest.mark.django_db
PASSWORD = "a fine long password"


@pytest.fixture
def coach():
    return User.objects.create_user("corwin", password=PASSWORD, role=Rights.COORDINATOR)


def sign_in(name="corwin", password=PASSWORD, address="10.0.0.1", agent="Phone"):
    client = Client(headers={"User-Agent": agent})
    client.answer = client.post(reverse("people:log-in"), {"username": name, "password": password}, REMOTE_ADDR=address)
    return client


def gets_in(client):
    return client.get(reverse("home:start")).status_code == 200


# Where somebody is signed in


def test_everywhere_else_is_signed_out_and_here_is_not(coach):
    here, there = sign_in(agent="Laptop at home"), sign_in(agent="Phone in the bus")
    page = here.get(reverse("people:sign-ins")).content.decode()
    assert "Laptop at home" in page and "Phone in the bus" in page and "10.0.0.1" in page
    here.post(reverse("people:sign-out-elsewhere"))
    assert gets_in(here) and not gets_in(there)
    assert Session.objects.filter(user=coach).count() == 1


def test_an_admin_signs_a_person_out_everywhere(coach, as_admin):
    there = sign_in()
    assert "Phone" in as_admin.get(reverse("people:edit", args=[coach.pk])).content.decode()
    as_admin.post(reverse("people:sign-out-person", args=[coach.pk]))
    assert not gets_in(there) and gets_in(as_admin)


def test_a_log_in_that_ended_with_the_role_is_not_listed(coach, as_admin):
    sign_in(agent="An old phone")
    User.objects.filter(pk=coach.pk).update(role=Rights.ASSISTANT)
    assert "An old phone" not in as_admin.get(reverse("people:edit", args=[coach.pk])).content.decode()


# Second factor


def code_of(device, steps=0):
    return f"{totp(device.bin_key, step=device.step, t0=device.t0, digits=device.digits, drift=steps):06d}"


@pytest.fixture
def with_phone(coach):
    client = sign_in()
    assert b"QR code" in client.get(reverse("people:second-setup")).content
    device = TOTPDevice.objects.get(user=coach)
    assert client.post(reverse("people:second-setup"), {"code": "000000"}).status_code == 422
    device.refresh_from_db()
    device.throttle_reset()
    done = client.post(reverse("people:second-setup"), {"code": code_of(device)})
    assert done.status_code == 200 and b"spare codes" in done.content
    assert gets_in(client)
    return device


def test_the_password_alone_opens_no_page_and_no_api(with_phone, coach):
    client = sign_in()
    for address in (reverse("home:start"), reverse("week:list"), reverse("people:sign-ins"), reverse("token:detail")):
        assert client.get(address).headers["Location"] == reverse("people:second"), address
    assert client.get("/api/seasons/").status_code == 403
    assert client.get(reverse("people:second-setup")).headers["Location"] == reverse("people:second"), "no other phone"
    asked = Client().post("/api/token/", {"username": "corwin", "password": PASSWORD}, content_type="application/json")
    assert asked.status_code == 401


def test_the_code_opens_the_door_once(with_phone, coach):
    TOTPDevice.objects.update(last_t=-1)
    code = code_of(with_phone)
    client, second = sign_in(), sign_in()
    assert client.post(reverse("people:second"), {"code": code}).status_code == 303
    assert gets_in(client)
    assert second.post(reverse("people:second"), {"code": code}).status_code == 422, "used already"
    assert not gets_in(second)


def test_a_spare_code_is_good_once(with_phone, coach):
    spare = StaticToken.objects.filter(device__user=coach).first().token
    client, second = sign_in(), sign_in()
    assert client.post(reverse("people:second"), {"code": spare}).status_code == 303
    assert second.post(reverse("people:second"), {"code": spare}).status_code == 422


def test_codes_cannot_be_guessed(with_phone, coach):
    client = sign_in()
    for _ in range(3):
        client.post(reverse("people:second"), {"code": "000000"})
    TOTPDevice.objects.update(last_t=-1)
    assert client.post(reverse("people:second"), {"code": code_of(with_phone)}).status_code == 422, "it waits a while"


def test_a_setting_requires_it_of_the_staff_and_of_nobody_else(coach, player, settings):
    settings.SECOND_FACTOR = "staff"
    assert sign_in().get(reverse("home:start")).headers["Location"] == reverse("people:second-setup")
    man = Client()
    man.force_login(player)
    assert gets_in(man)


def test_an_admin_takes_it_away_and_that_ends_log_ins(with_phone, coach, as_admin):
    TOTPDevice.objects.update(last_t=-1)
    client = sign_in()
    client.post(reverse("people:second"), {"code": code_of(with_phone)})
    as_admin.post(reverse("people:take-second", args=[coach.pk]))
    assert not gets_in(client) and not TOTPDevice.objects.filter(user=coach).exists()
    assert gets_in(sign_in())


# The log


def test_the_log_has_log_ins_roles_documents_and_plans(as_admin, coach):
    sign_in(password="wrong one", address="10.9.9.9")
    client = sign_in(address="10.1.1.1")
    week = make_bare_week()
    client.get(reverse("week:plan", args=[week.pk]))
    client.get(reverse("week:plan", args=[week.pk]))
    client.post(reverse("people:log-out"))
    sent = {"username": "corwin", "role": "assistant", "is_active": ""}
    as_admin.post(reverse("people:edit", args=[coach.pk]), sent)
    whats = list(AccessEntry.objects.order_by("pk").values_list("what", "name"))
    assert whats == [
        ("refused", "corwin"), ("signed in", "corwin"), ("plan", "corwin"), ("signed out", "corwin"),
        ("role", "the-admin"), ("access", "the-admin"),
    ]  # fmt: skip
    page = as_admin.get(reverse("people:log"), {"name": "corwin"}).content.decode()
    assert "10.9.9.9" in page and "10.1.1.1" in page and str(week) in page
    only = as_admin.get(reverse("people:log"), {"what": "refused"}).content.decode()
    assert "10.9.9.9" in only and "10.1.1.1" not in only
    assert as_admin.get(reverse("people:log"), {"what": "nonsense"}).status_code == 422


def test_a_name_that_cannot_be_kept_breaks_no_log():
    assert sign_in(name="a\0b").answer.status_code in (400, 422)


# Guessing: the model stands in playbook/people/throttle.py


def wrong(name, address, count=1):
    for _ in range(count):
        AccessEntry.objects.create(what=Happening.REFUSED, name=name, address=address)


def tries(pairs):
    """How many of the tries reach the password."""
    reached = 0
    for name, address in pairs:
        if not throttle.is_closed(name, address):
            reached += 1
            wrong(name, address)
    return reached


def test_a_thousand_tries_on_a_name_from_a_thousand_addresses_get_thirty(coach, settings):
    settings.AXES_ENABLED = True
    sign_in(address="192.168.1.9")
    assert tries(("corwin", f"10.0.{n // 250}.{n % 250}") for n in range(1000)) == throttle.MOST_OF_A_NAME
    assert sign_in(address="172.16.0.1").answer.status_code == 429, (
        "the right password from anywhere is not let through"
    )
    assert gets_in(sign_in(address="192.168.1.9")), "the coach gets in where he was before"


def test_a_thousand_tries_on_a_thousand_names_from_an_address_get_three_hundred(coach):
    sign_in(address="10.0.0.1")
    assert tries((f"player{n}", "10.0.0.1") for n in range(1000)) == throttle.MOST_OF_AN_ADDRESS
    assert gets_in(sign_in(address="10.0.0.1"))


def test_a_locker_room_behind_one_address_is_not_shut_out():
    names = [f"player{n}" for n in range(95)]
    assert tries((name, "10.0.0.1") for name in names for _ in range(3)) == 285
    assert not any(throttle.is_closed(name, "10.0.0.1") for name in names)


def test_an_hour_later_and_a_day_later_the_fences_are_open():
    wrong("corwin", "10.0.0.1", 300)
    assert throttle.is_closed("corwin", "10.0.0.2") and throttle.is_closed("tavish", "10.0.0.1")
    AccessEntry.objects.update(at=time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime(time.time() - 3700)))
    assert throttle.is_closed("corwin", "10.0.0.2") and not throttle.is_closed("tavish", "10.0.0.1")
    AccessEntry.objects.update(at=time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime(time.time() - 90_000)))
    assert not throttle.is_closed("corwin", "10.0.0.2")


@pytest.mark.parametrize(
    "password", ["Laneproof2031", "l4n3pr00f!!", "playbook-1234", "Harrowgate31", "Coach-Football"]
)
def test_words_that_everybody_here_knows_are_no_password(password):
    Installation.objects.create(name="Harrowgate")
    with pytest.raises(ValidationError):
        NoKnownWords().validate(password)


@pytest.mark.parametrize("password", ["a fine long password", "quince-lantern-44", "92837465019283"])
def test_other_passwords_are_fine(password):
    NoKnownWords().validate(password)
