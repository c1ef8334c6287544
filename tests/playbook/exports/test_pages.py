"""Pages of the documents: ask, watch, download, delete; for coaches, and a player's own page."""

import html
import re

import pytest
from django.urls import reverse

from playbook.exports.forms import FORMS
from playbook.models import Document, Export, Week
from playbook.week import queries as week_queries
from tests.playbook.exports.access_table import make_export, make_my_week
from tests.playbook.week.made import make_week

pytestmark = pytest.mark.django_db
HTMX = {"HTTP_HX_REQUEST": "true"}


def ask(client, week, document, **choice):
    sent = {f"{document}-{name}": value for name, value in choice.items()}
    return client.post(reverse("exports:add", args=[week.pk, document]), sent)


def test_without_a_week_it_says_what_to_do(as_admin):
    page = as_admin.get(reverse("exports:list")).content.decode()
    assert "no week to print" in page and "Made so far" not in page


def test_it_offers_every_document_of_the_week(as_admin):
    week = make_week()
    page = as_admin.get(reverse("exports:list"), {"week": week.pk}).content.decode()
    for document in FORMS:
        assert reverse("exports:add", args=[week.pk, document]) in page


def test_an_unknown_week_is_invalid(as_admin):
    make_week(pairs=[])
    assert as_admin.get(reverse("exports:list"), {"week": 999}).status_code == 422


def test_asking_keeps_who_asked_and_what_for(as_admin, admin):
    week = make_week()
    answer = ask(as_admin, week, "booklet", position="M", paper="a4")
    export = Export.objects.get()
    assert answer["Location"] == reverse("exports:detail", args=[export.pk])
    assert (export.made_by, export.choice, export.state) == (admin, {"position": "M", "paper": "a4"}, "waiting")
    page = as_admin.get(reverse("exports:list")).content.decode()
    assert str(admin) in page and export.title in page


def test_a_position_of_another_system_is_invalid(as_admin):
    answer = ask(as_admin, make_week(), "booklet", position="QB")
    assert answer.status_code == 422
    assert not Export.objects.exists()


def test_an_unknown_document_and_week_are_not_found(as_admin):
    week = make_week(pairs=[])
    assert ask(as_admin, week, "poster").status_code == 404
    assert as_admin.post(reverse("exports:add", args=[999, "install"])).status_code == 404


def test_a_running_document_asks_again_and_a_finished_one_does_not(as_admin):
    running = make_export(state="working", step=3, steps=8, content=None)
    page = as_admin.get(reverse("exports:detail", args=[running.pk])).content.decode()
    assert 'hx-trigger="every 1s"' in page and 'value="3" max="8"' in page and "3 of 8" in page
    done = as_admin.get(reverse("exports:detail", args=[make_export().pk])).content.decode()
    assert "every 1s" not in done and "Download" in done


def test_htmx_gets_only_the_state(as_admin):
    page = as_admin.get(reverse("exports:detail", args=[make_export().pk]), **HTMX).content.decode()
    assert page.lstrip().startswith('<div id="export-state"') and "<html" not in page


def test_a_failed_one_says_why(as_admin):
    failed = make_export(state="failed", content=None, trouble="The week has no days yet.")
    assert "The week has no days yet." in as_admin.get(reverse("exports:detail", args=[failed.pk])).content.decode()


def test_the_download_is_a_file_with_a_plain_name(as_admin):
    answer = as_admin.get(reverse("exports:file", args=[make_export(title='Install "A"/B: Week 1').pk]))
    assert answer.content == b"%PDF-1.7" and answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == 'attachment; filename="install-ab-week-1.pdf"'


def test_what_is_not_ready_cannot_be_downloaded(as_admin):
    export = make_export(state="waiting", content=None)
    assert as_admin.get(reverse("exports:file", args=[export.pk])).status_code == 404


def test_it_can_be_deleted(as_admin):
    export = make_export()
    assert as_admin.post(reverse("exports:delete", args=[export.pk])).status_code == 303
    assert not Export.objects.exists()


def test_no_player(as_player):
    export = make_export()
    for name in ("detail", "file"):
        assert as_player.get(reverse(f"exports:{name}", args=[export.pk])).status_code == 404
    assert as_player.get(reverse("exports:list")).status_code == 404


def test_a_coach_prints_and_deletes_his_own_and_nobody_elses(as_staff, staff, admin):
    week = make_week()
    assert ask(as_staff, week, "my-week", position="M", paper="a4").status_code == 303
    own, other = Export.objects.get(), make_export(made_by=admin)
    assert own.made_by == staff
    assert "Delete it" in as_staff.get(reverse("exports:detail", args=[own.pk])).content.decode()
    assert "Delete it" not in as_staff.get(reverse("exports:detail", args=[other.pk])).content.decode()
    assert as_staff.get(reverse("exports:file", args=[other.pk])).status_code == 200
    assert as_staff.post(reverse("exports:delete", args=[other.pk])).status_code == 404
    assert as_staff.post(reverse("exports:delete", args=[own.pk])).status_code == 303
    assert list(Export.objects.all()) == [other]


def test_the_paper_is_remembered_and_the_address_names_a_document_and_its_choices(as_staff):
    week = make_week()
    ask(as_staff, week, "call-book", calls="menu", paper="a4")
    look = week.expected_looks.last()
    asked = {"week": week.pk, "document": "wall", "look": look.pk}
    page = as_staff.get(reverse("exports:list"), asked).content.decode()
    assert page.index("Wall picture</h2>") < page.index("Position booklet</h2>")
    assert page.count('<option value="a4" selected>') == len(FORMS)
    assert f'<option value="{look.pk}" selected>' in page


def test_names_of_calls_are_never_identifiers(as_staff):
    week = make_week()
    week.system.calls.filter(name="odd-three-safety").update(label="Mint \u00e9lan 3")
    page = as_staff.get(reverse("exports:list"), {"week": week.pk}).content.decode()
    assert "Mint \u00e9lan 3</option>" in page and ">odd-three-safety<" not in page


def test_each_document_is_led_to_from_where_its_thing_stands(as_staff):
    week = make_week()
    desk = week_queries.look_rows(week, ["odd-three-safety"])[0].states[0].address
    position = week.system.positions.get(name="M")
    places = {
        desk: "hand-out",
        f"{reverse('board:show')}?of=w{week.pk}": "call-book",
        reverse("week:menu", args=[week.pk]): "call-book",
        reverse("week:plan", args=[week.pk]): "install",
        reverse("week:sheets", args=[week.pk]): "booklet",
        reverse("week:sheet", args=[week.pk, position.pk]): "my-week",
    }
    for place, document in places.items():
        page = as_staff.get(place).content.decode()
        links = re.findall(rf'href="({reverse("exports:list")}\?[^"]*document={document}[^"]*)"', page)
        assert links, place
        told = as_staff.get(html.unescape(links[0])).content.decode()
        assert 'aria-current="true"' in told and Document(document).label in told


def test_a_player_is_led_to_his_page(as_player):
    week = make_my_week()["pk"]
    assert reverse("exports:my-week", args=[week]) in as_player.get(reverse("player:week")).content.decode()


def test_a_player_has_his_own_page_and_no_other(as_player, player):
    week = make_my_week()["pk"]
    address = reverse("exports:my-week", args=[week])
    answer = as_player.get(address)
    assert answer.content.startswith(b"%PDF") and answer["Cache-Control"].startswith("private")
    assert b"Tannermoor" not in answer.content[:100]
    assert as_player.get(address, {"paper": "a4"}).content != answer.content
    assert as_player.get(address, {"as": "left E"}).status_code == 404
    assert as_player.get(address, {"paper": "a0"}).status_code == 404
    Week.objects.filter(pk=week).update(released=False)
    assert as_player.get(address).status_code == 404


def test_wrong_methods_are_refused(as_admin):
    export = make_export()
    assert as_admin.post(reverse("exports:detail", args=[export.pk])).status_code == 405
    assert as_admin.get(reverse("exports:delete", args=[export.pk])).status_code == 405
    assert as_admin.post(reverse("exports:file", args=[export.pk])).status_code == 405
