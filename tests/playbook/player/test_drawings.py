"""Drawings: each address is one state of one card; of any other state there is a picture that says so."""

import html
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from django.db import transaction
from django.urls import reverse

from playbook.models import Concept, ExpectedLook, FitRule, Formation, MenuCall, Option, Season
from playbook.week import services, sheets
from tests.playbook.week.made import LOOKS, make_week

pytestmark = pytest.mark.django_db
ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture
def week(backer):
    return make_week(released=True)


def cards(client):
    """Returns the words of each card on my week, and the address of its drawing."""
    page = client.get(reverse("player:week")).content.decode()
    found = re.findall(r'(?s)<article class="look-card".*?</article>', page)
    return {html.unescape(re.search(r'src="([^"]+)"', card)[1]): card for card in found}


def first(week):
    return week.expected_looks.select_related("formation", "concept").order_by("order").first()


def option(week):
    ExpectedLook.objects.filter(pk=first(week).pk).update(options=[Option.objects.filter(opponent=None).first().name])


CHANGES = {
    "a fit rule": lambda week: FitRule.objects.filter(front__system=week.system).update(leverage="box"),
    "a coach's sentence": lambda week: FitRule.objects.filter(front__system=week.system).update(say="Now this."),
    "a formation's places": lambda week: first(week).formation.players.filter(kind="receiver").update(y=-1.7),
    "a formation's label": lambda week: Formation.objects.filter(pk=first(week).formation_id).update(label="Again"),
    "a concept's label": lambda week: Concept.objects.filter(pk=first(week).concept_id).update(label="Relabelled"),
    "a concept's blocks": lambda week: first(week).concept.blockrules.filter(order=0).update(step="in"),
    "the direction": lambda week: ExpectedLook.objects.filter(pk=first(week).pk).update(to="left", flip=True),
    "the hash": lambda week: ExpectedLook.objects.filter(pk=first(week).pk).update(hash="left"),
    "an option": option,
    "the coach's note": lambda week: ExpectedLook.objects.filter(pk=first(week).pk).update(note="Watch the guard."),
    "the rule book": lambda week: Season.objects.filter(pk=week.season_id).update(book="professional"),
    "the look taken off": lambda week: ExpectedLook.objects.filter(pk=first(week).pk).delete(),
    "a look that cannot be lined up any more": lambda week: first(week).formation.players.all().delete(),
}


@pytest.mark.parametrize("change", CHANGES)
def test_the_address_of_an_old_state_is_refused_with_a_picture_that_says_so(change, as_player, week):
    before = cards(as_player)
    assert len(before) == len(LOOKS)
    drawn = {address: as_player.get(address).content for address in before}
    with transaction.atomic():  # in a transaction of its own, as every change is
        CHANGES[change](week)
    after = cards(as_player)
    assert set(before) - set(after), "the card has another address now"
    for address in before:
        answer = as_player.get(address)
        if address in after:  # not touched by the change: the same words, the same drawing
            assert answer.status_code == 200 and answer.content == drawn[address]
            assert strip(after[address]) == strip(before[address])
        else:
            assert answer.status_code == 410
            assert answer["Content-Type"] == "image/svg+xml" and "no-store" in answer["Cache-Control"]
            assert b"This look has changed" in answer.content and b"Load the page again" in answer.content
    for address in after:
        assert as_player.get(address).status_code == 200


def strip(card):
    """Returns the words of a card without its place among the others."""
    return re.sub(r'(?s)<p class="pager">.*|(card|title|setting)-\d+', "", card)


def test_what_was_changed_back_has_its_old_address_back(as_player, week):
    before = cards(as_player)
    for hash_ in ("left", "middle"):
        with transaction.atomic():
            ExpectedLook.objects.filter(pk=first(week).pk).update(hash=hash_)
    assert set(cards(as_player)) == set(before)
    assert all(as_player.get(address).status_code == 200 for address in before)


def test_another_engine_draws_nothing_under_words_of_the_last_one(as_player, week, monkeypatch):
    before = cards(as_player)
    monkeypatch.setattr(sheets, "engine_digest", lambda: "a new release")
    assert {as_player.get(address).status_code for address in before} == {410}


def test_a_call_that_is_gone(as_player, week):
    before = cards(as_player)
    MenuCall.objects.all().delete()
    week.system.calls.all().delete()
    assert {as_player.get(address).status_code for address in before} == {410}


def test_of_a_withdrawn_week_no_drawing_is_shown_to_players(client, as_player, staff, week):
    before = cards(as_player)
    services.release_week(week, week.version, False)
    for address in before:
        answer = as_player.get(address)
        assert answer.status_code == 410 and b"withdrew this week" in answer.content
        assert "no-store" in answer["Cache-Control"]
    client.force_login(staff)
    assert {client.get(address).status_code for address in before} == {200}


def test_in_the_dark_the_drawing_is_dark(as_player, week):
    for address, card in cards(as_player).items():
        assert html.unescape(re.search(r'prefers-color-scheme: dark\)" srcset="([^"]+)"', card)[1]) == f"{address}&dark"
        light, dark = (as_player.get(a).content.decode() for a in (address, f"{address}&dark"))
        assert "#14181D" in dark and "#14181D" not in light


def test_a_drawing_is_the_mans_own_and_for_his_browser_only(as_player, week):
    for address in cards(as_player):
        kept = as_player.get(address)["Cache-Control"]
        assert "private" in kept and "immutable" in kept and "max-age=86400" in kept


NAMES = """
import sys
import fits
from fits.draw.scene import look_scene
from playbook.week import sheets
library = fits.load_library()
for system in library.systems.values():
    for call in system.calls().values():
        for concept in ("power", "inside-zone-rpo", "jet-sweep"):
            try:
                look = fits.derive_look(call, library.formation("11-doubles"), library.concept(concept))
            except fits.FitsError:
                continue
            print(*[sheets.digest(repr(look_scene(look, man.role))) for man in look.defenders])
"""


def test_every_process_gives_a_state_the_same_name():
    """Web servers on several machines, started on other days: what one puts into a page another one must know."""

    def names(seed):
        program = f"import django; django.setup()\n{NAMES}"
        environment = os.environ | {"PYTHONHASHSEED": seed, "DJANGO_SETTINGS_MODULE": "tests.settings"}
        said = subprocess.run(
            [sys.executable, "-c", program], cwd=ROOT, env=environment, capture_output=True, text=True
        )
        assert said.returncode == 0, said.stderr
        return said.stdout.split()

    one, two = names("1"), names("2")
    assert one == two and len(set(one)) > 6
