"""Picking a look."""

import pytest
from django.urls import reverse

from tests.playbook.looks.made import look_kwargs

pytestmark = pytest.mark.django_db


def test_it_offers_every_call_formation_and_run(as_staff):
    page = as_staff.get(reverse("looks:start"))
    assert page.status_code == 200
    assert b"11-doubles" in page.content and b"odd-three-safety" in page.content


def test_picking_goes_to_the_look(as_staff):
    kwargs = look_kwargs()
    assert as_staff.get(reverse("looks:start"), kwargs).headers["Location"] == reverse("looks:detail", kwargs=kwargs)


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
