"""Any letters in any name: no page breaks, whoever put them there and by which way."""

from __future__ import annotations

import json
from collections.abc import Sequence
from contextlib import contextmanager
from io import BytesIO
from itertools import cycle, islice

import pytest
from django.db import models, transaction
from django.test import Client
from django.urls import get_resolver, reverse
from django.urls.converters import IntConverter, UUIDConverter

import fits
from fits.notation.toml import format_toml
from playbook.api import tokens
from playbook.models import Chart, Player, System, Week
from playbook.week import sheets
from tests.playbook.api.access_table import ROWS
from tests.playbook.hostile import ENGINE, TEXTS, Walk, make_world, rename_everything, url_names

pytestmark = pytest.mark.django_db

# Words of closed lists and the engine's own digests; everything else in an address is a number, or a report's name.
CLOSED = {"kind", "document", "what", "digest", "uidb64", "token", "step", "state"}


@pytest.fixture
def world(db):
    """The demo with one of everything, and every text in it turned into one that nobody expects."""
    people = make_world()
    rename_everything()
    for week in Week.objects.all():
        assert sheets.system_trouble(week) == ""
    return people


def test_no_address_is_made_of_a_name():
    for name, pattern in url_names(get_resolver().url_patterns):
        for argument, converter in pattern.pattern.converters.items():
            number = isinstance(converter, IntConverter | UUIDConverter)
            assert number or argument in CLOSED or name.startswith(("api:", "tendencies:")), f"{name}: {argument}"


NOT_LINKED = {
    "player": {"player:week-of"},
    # undoing, taking back a token and taking in what was deleted need something done before, which the walk takes back;
    # what is shipped otherwise goes by a system's own name, which is another one here; they take no text
    "staff": {
        "home:alive",
        "looks:repairs",
        "looks:repair",
        "system:undo",
        "system:drawn",
        "system:take-whole",
        "token:revoke",
        "people:second",
    }
    | {"charts:decide"}  # of one game that was loaded twice; it takes one of two words
    | {"week:bring-back"}  # like undoing
    | {"week:state"}  # only while looks of a week are not worked out
    | {f"system:{name}-shipped" for name in ("try", "take", "leave")},
    "admin": {"token:take-back", "people:take-second"},
}
ADMINS = {"token:list", "token:take-back"}


@pytest.mark.parametrize("role", ["player", "staff", "admin"])
def test_every_page_opens_and_every_form_answers(world, role):
    client = Client()
    client.force_login(world[role])
    chart, week = Chart.objects.latest("pk"), Week.objects.get(number=2)
    places = [("charts:chart", chart.pk), ("charts:opponent", chart.opponent_id)]
    places += [("system:changes", week.system_id), ("system:shipped", week.system_id), ("proof:weighed", week.pk)]
    places += [("looks:of-call", week.system.calls.first().pk), ("looks:of-week", week.expected_looks.first().pk)]
    places += [("roster:edit", Player.objects.filter(user__role="player").first().pk)]
    places += [("week:grades", Week.objects.get(number=1).pk)]
    front = week.system.fronts.first()
    rules = [f"{reverse('system:front', args=[front.pk])}?edit=fits-{n}" for n in ("new", front.fitrules.first().pk)]
    only = (
        ("people:", "exports:", "home:", "token:", "installation:") if role == "admin" else ("",)
    )  # the rest is the staff's
    walk = Walk(client, only=only).go(*(reverse(name, args=[pk]) for name, pk in places), *rules)
    assert walk.troubles == []
    wanted = {
        "player": {"player:week", "quiz:mine", "quiz:answer", "player:picture", "player:steps", "player:news"}
        | {"token:detail"},
        "staff": {
            name
            for name, _ in url_names(get_resolver().url_patterns)
            if not name.startswith(("api:", "player:", "exports:", "people:", "installation:"))
        }
        - ADMINS
        - {"quiz:mine", "quiz:of", "quiz:answer", "quiz:steps", "quiz:plan"},
        "admin": {"people:list", "people:edit", "exports:list", "exports:detail", "exports:file", "installation:show"}
        | ADMINS,
    }[role]
    asked = {key.split()[-1] for key in walk.names}
    assert " ".join(sorted(wanted - asked - NOT_LINKED[role])) == ""


def test_the_api_takes_any_text_or_says_why_not(world):
    client = Client()
    client.force_login(world["staff"])
    head = {"HTTP_AUTHORIZATION": f"Token {tokens.make_token(world['staff'])}"}
    told, turn = [], cycle(TEXTS)
    for address, model in ROWS.items():
        row = model.objects.first()
        texts = [
            f.name
            for f in model._meta.concrete_fields
            if isinstance(f, models.CharField | models.TextField) and not f.choices
        ]
        one = reverse(f"api:{address}-detail", args=[row.pk])
        told += _sent(client, "get", one, None, head)
        told += _sent(client, "get", reverse(f"api:{address}-list"), None, head)
        told += _sent(client, "get", reverse(f"api:{address}-history", args=[row.pk]), None, head)
        for name in texts:
            for text in (*islice(turn, 4), "a\0b", "\ud800"):
                body = json.dumps({name: text, "version": getattr(row, "version", 1)})
                told += _sent(client, "patch", one, body, head)
                if name not in ENGINE:
                    body = json.dumps({text: text, name: [text], "version": 1})
                    told += _sent(client, "post", reverse(f"api:{address}-list"), body, head)
    assert told == []


def _sent(client, method, address, body, head):
    with transaction.atomic():
        try:
            with transaction.atomic():
                more = {"content_type": "application/json"} if body is not None else {}
                status = getattr(client, method)(address, body, **more, **head).status_code
        except Exception as error:
            status = f"{type(error).__name__}: {str(error)[:200]}"
        transaction.set_rollback(True)
    return [] if isinstance(status, int) and status < 500 else [f"{method} {address} {str(body)[:120]}: {status}"]


PLACES = {
    "a system's name": ("system", "name"),
    "a system's label": ("system", "label"),
    "a system's source": ("system", "source"),
    "a position's name": ("role", "name"),
    "a position's label": ("role", "label"),
    "a front's name": ("front", "name"),
    "a front's label": ("front", "label"),
    "a coverage's name": ("coverage", "name"),
    "a call's name": ("call", "name"),
    "a call's note": ("call", "note"),
    "a rule's id": ("fits", "id"),
    "a rule's sentence": ("fits", "say"),
    "a scheme's name": ("techniques", "name"),
    "a technique's label": ("technique", "label"),
}


ANY_LETTERS = (
    "a system's name",
    "a system's label",
    "a front's name",
    "a front's label",
    "a coverage's name",
    "a call's name",
)


def file_with(place: str, text: str, more: Sequence[str] = ()) -> str:
    """A whole system's file with the text at that place (and more places), and wherever that name is used."""
    data = fits.load_library().systems["odd-three-safety"].as_dict()
    scheme = data.pop("techniques", None) or next(iter(fits.load_library().schemes.values())).as_dict()
    system = {key: value for key, value in data.pop("system").items() if key != "techniques"} | {"name": "in"}
    data = {"system": system, "techniques": {key: scheme[key] for key in ("name", "source", "technique")}, **data}
    for one in (place, *more):
        _put(data, *PLACES[one], text)
    return format_toml(data)


def _put(data, table, key, text):
    row = {
        "fits": lambda: data["front"][0]["fits"][0],
        "system": lambda: data["system"],
        "techniques": lambda: data["techniques"],
        "technique": lambda: data["techniques"]["technique"][-1],
    }.get(table, lambda: data[table][0])()
    was, row[key] = row.get(key), text
    if table in ("front", "coverage") and key == "name":
        for call in data["call"]:
            call[table] = text if call[table] == was else call[table]
    if table == "role" and key == "name":
        for rule in _rules(data):
            rule["who"] = ", ".join(text if who.strip() == was else who.strip() for who in rule["who"].split(","))


def _rules(data):
    for owner in (*data["front"], *data["coverage"]):
        for rows in owner.values():
            yield from rows if isinstance(rows, list) else ()


def test_a_system_file_with_any_text_is_taken_or_refused_in_words(as_staff):
    """A text in every place at once; where that is refused, in some places alone."""
    told, taken, turn = [], set(), cycle(PLACES)
    for text in (*TEXTS, "a\0b"):
        if _import(as_staff, text, ANY_LETTERS, told):
            taken |= {(place, text) for place in ANY_LETTERS}
        for place in islice(turn, 4):
            if (place, text) not in taken and _import(as_staff, text, [place], told):
                taken.add((place, text))
    assert told == []
    everywhere = {text for text in TEXTS if all((place, text) in taken for place in ANY_LETTERS)}
    assert len(everywhere) >= 12, everywhere


def test_the_api_takes_the_same_files(as_staff):
    told = []
    for text in (*TEXTS, "a\0b"):
        with _undone():
            body = json.dumps({"file": file_with("a system's name", text)})
            answer = as_staff.post(reverse("api:systems-list"), body, content_type="application/json")
            told += [] if answer.status_code in (201, 400, 422) else [f"{text[:40]!r}: {answer.status_code}"]
            told += [] if len(answer.content) < 5_000 else [f"{text[:40]!r}: {len(answer.content)} bytes"]
    assert told == []


@contextmanager
def _undone():
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


def _import(client, text, places, told):
    """Whether a file with the text at those places was taken; anything else than a refusal in words is told."""
    file = BytesIO(file_with(places[0], text, places[1:]).encode())
    file.name = "system.toml"
    with _undone():
        answer = client.post(reverse("system:import"), {"file": file})
        if answer.status_code == 303:
            newest = System.objects.order_by("pk").last()
            told += _pages_of(client, newest, text)
            return True
        if answer.status_code != 422 or "Nothing was changed" not in answer.content.decode():
            told.append(f"{places} {text[:40]!r}: {answer.status_code}")
        if len(answer.content) > 10_000:
            told.append(f"{places} {text[:40]!r}: {len(answer.content)} bytes of answer")
    return False


def _pages_of(client, system, text):
    pages = [reverse("roster:list")]
    pages += [reverse(name, args=[system.pk]) for name in ("roster:depth", "system:detail", "system:export")]
    return [f"{page} with {text[:40]!r}: {s}" for page in pages if (s := client.get(page).status_code) != 200]
