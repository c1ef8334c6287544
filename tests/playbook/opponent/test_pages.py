"""Opponents, their menus, and the library."""

import pytest
from django.urls import reverse

from playbook.models import Concept, Formation, Opponent, Season, Week
from tests.playbook.looks.made import make_opponent, the_system

pytestmark = pytest.mark.django_db


def to(name, *args):
    return reverse(f"opponent:{name}", args=args)


def test_without_opponents_the_list_says_what_to_do(as_staff):
    assert b"No opponent yet" in as_staff.get(to("list")).content


def test_an_opponent_is_added_and_gets_his_menu(as_staff):
    added = as_staff.post(to("add"), {"name": "Harrowmere Polytechnic", "short_name": "HP", "note": "Fast."})
    opponent = Opponent.objects.get(name="Harrowmere Polytechnic")
    assert added.headers["Location"] == to("menu", opponent.pk)
    formation, concept = Formation.objects.first(), Concept.objects.first()
    data = {"version": opponent.version, "formations": [formation.pk], "concepts": [concept.pk]}
    assert as_staff.post(to("menu", opponent.pk), data).status_code == 303
    page = as_staff.get(to("detail", opponent.pk))
    assert [list(page.context[name]) for name in ("formations", "concepts", "motions")] == [[formation], [concept], []]
    stale = as_staff.post(to("menu", opponent.pk), data | {"formations": []})
    assert stale.status_code == 409 and formation.label.encode() in stale.content


def test_a_name_is_needed_and_taken_once(as_staff):
    make_opponent("Varnholt State")
    assert as_staff.post(to("add"), {"name": ""}).status_code == 422
    page = as_staff.post(to("add"), {"name": "Varnholt State"})
    assert page.status_code == 422 and b"already exists" in page.content


def test_two_people_changing_the_same_opponent(as_staff):
    opponent = make_opponent()
    seen = {"name": "Mine", "version": opponent.version}
    opponent.save_version(opponent.version, note="theirs")
    page = as_staff.post(to("edit", opponent.pk), seen)
    assert page.status_code == 409 and b"Mine" in page.content and b"theirs" in page.content


def test_an_opponent_in_a_week_is_not_deleted(as_staff):
    opponent, free = make_opponent(), make_opponent("Ashcombe Vale")
    Week.objects.create(season=Season.objects.create(year=2031), number=1, opponent=opponent, system=the_system())
    told = as_staff.post(to("delete", opponent.pk)).headers["Location"]
    assert b"still used by week" in as_staff.get(told).content
    as_staff.post(to("delete", free.pk))
    assert [o.pk for o in Opponent.objects.all()] == [opponent.pk]


def test_the_library_lists_what_every_menu_can_use(as_staff):
    page = as_staff.get(to("library")).content.decode()
    for entry in (*Formation.objects.all(), *Concept.objects.all()):
        assert entry.label in page


def test_strangers_players_and_wrong_methods(client, player, staff):
    opponent = make_opponent()
    addresses = [to("list"), to("library"), to("add"), to("detail", opponent.pk), to("menu", opponent.pk)]
    assert {client.get(address).status_code for address in addresses} == {302}
    client.force_login(player)
    assert {client.get(address).status_code for address in addresses} == {404}
    client.force_login(staff)
    assert client.post(to("list")).status_code == 405
    assert client.get(to("delete", opponent.pk)).status_code == 405
