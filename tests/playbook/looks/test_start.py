"""Picking a look."""

import pytest
from django.urls import reverse

from tests.playbook.looks.made import look_kwargs
from tests.playbook.week.made import make_week

pytestmark = pytest.mark.django_db


def test_it_offers_every_call_formation_and_run(as_staff):
    page = as_staff.get(reverse("looks:start"))
    assert page.status_code == 200
    assert b">Odd, three safeties (Odd, three safeties)<" in page.content and b"Doubles, tight end" in page.content
    assert b"11-doubles" not in page.content


def test_picking_goes_to_the_look(as_staff):
    kwargs = look_kwargs()
    assert as_staff.get(reverse("looks:start"), kwargs).headers["Location"] == reverse("looks:detail", kwargs=kwargs)


def test_without_a_week_it_starts_with_a_look_that_can_be_run(as_staff):
    form = as_staff.get(reverse("looks:start")).context["form"]
    picked = {name: row.pk for name, row in form.initial.items()}
    assert as_staff.get(reverse("looks:detail", kwargs=picked)).status_code == 200


def test_with_a_week_it_opens_that_weeks_first_look(as_staff):
    week = make_week()
    opened = as_staff.get(reverse("looks:start"))
    assert opened.status_code == 303 and opened.headers["Location"].endswith(f"week={week.pk}")
    page = as_staff.get(opened.headers["Location"])
    assert page.status_code == 200 and page.context["desk"].at == 0


def test_half_a_choice_is_refused_beside_the_field(as_staff):
    page = as_staff.get(reverse("looks:start"), {"formation": look_kwargs()["formation"]})
    assert page.status_code == 422
    assert b"This field is required" in page.content


def test_only_staff_and_only_get(client, player, staff):
    assert client.get(reverse("looks:start")).status_code == 302
    client.force_login(player)
    assert client.get(reverse("looks:start")).status_code == 404
    client.force_login(staff)
    assert client.post(reverse("looks:start")).status_code == 405
