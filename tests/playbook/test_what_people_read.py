"""No identifier and no word of the engine stands on a page, in a drawing, a document or a table."""

from __future__ import annotations

import re

import pytest
from django.db.models import F
from django.test import Client
from django.urls import reverse

from fits.told import told
from playbook.exports import making
from playbook.models import (
    AlignRule,
    Chart,
    Document,
    Export,
    FitRule,
    ForceRule,
    Formation,
    KeyRule,
    TakeRule,
    Week,
)
from tests.playbook.hostile import Walk, make_world
from tests.playbook.reading import Reader, identifiers, texts_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def people(db):
    return make_world()


STATISTICS = re.compile(
    r"Wilson|Benjamini|Dirichlet|posterior|\bprior\b|p-value|\bp ?[=<]|interval|Fisher|\bn \d", re.I
)
# Lists of the rule language itself; a word of it may stand alone there.
LANGUAGE = (
    "/systems/phrasebook",
    "/systems/front",
    "/systems/coverage",
    "/opponents/run",
    "/opponents/option",
    "/looks/",
    "/pressures/",
)


def heard(role, ours, told):
    """What listens to a walk: each answer is read, and what should not be read is told with its address."""
    conditions = rule_conditions() if role == "player" else ()

    def hear(address, answer):
        kind = answer.get("content-type", "")
        content = b"".join(answer) if answer.streaming else answer.content
        texts = [text for text in texts_of(content, kind) if "DROP TABLE" not in text]  # what the chart says
        for found in ours.seen_in(texts):
            if not (found.endswith("alone") and any(place in address for place in LANGUAGE)):
                told.setdefault(found, address)
        for text in Reader(content.decode()).plain if kind.startswith("text/html") else ():
            if STATISTICS.search(text):
                told.setdefault(f"statistics in “{text[:90]}”", address)
        for text in texts:
            for condition in conditions:
                if condition in text:
                    told.setdefault(f"{condition} in “{text[:90]}”", address)

    return hear


def rule_conditions():
    """The conditions of stored rules that are no plain words."""
    kinds = (AlignRule, KeyRule, FitRule, TakeRule, ForceRule)
    whens = {when for kind in kinds for when in kind.objects.values_list("when", flat=True)}
    atoms = {atom.strip() for when in whens for atom in when.split(" and ")}
    return {atom for atom in atoms if " " in atom and atom not in told(atom)}


@pytest.mark.parametrize("role", ["player", "staff", "admin"])
def test_no_identifier_is_read(people, role):
    client, told_of = Client(), {}
    client.force_login(people[role])
    chart, week = Chart.objects.latest("pk"), Week.objects.get(number=2)
    front = week.system.fronts.first()
    places = [("charts:chart", chart.pk), ("charts:opponent", chart.opponent_id), ("proof:weighed", week.pk)]
    places += [("system:changes", week.system_id), ("system:shipped", week.system_id)]
    rules = [f"{reverse('system:front', args=[front.pk])}?edit=fits-{n}" for n in ("new", front.fitrules.first().pk)]
    only = ("people:", "exports:", "home:", "token:", "installation:") if role == "admin" else ("",)
    walk = Walk(client, most=2, only=only, odd=0, hear=heard(role, identifiers(), told_of))
    walk.go(*(reverse(name, args=[pk]) for name, pk in places), *rules)
    assert walk.troubles == []
    if told_of:
        pytest.fail("\n".join(f"{found}: {address}" for found, address in sorted(told_of.items())))


def test_no_identifier_is_printed(people):
    """Every kind of document, of the week that is charted."""
    week, ours = Week.objects.get(number=2), identifiers()
    call, look = week.system.calls.first().name, week.expected_looks.first().pk
    choices = {
        "booklet": {"position": "M"}, "my-week": {"position": "M"}, "install": {"group": "line"},
        "quiz": {"position": "M", "call": call, "looks": 0}, "hand-out": {"call": call, "look": look},
        "wall": {"call": call, "look": look}, "cards": {"call": call}, "call-book": {"calls": "all"},
    }  # fmt: skip
    for document in Document.values:
        export = Export.objects.create(
            document=document, week=week, choice=choices[document], title="x", made_by_name="x"
        )
        making.make(export.pk)
        export.refresh_from_db()
        assert export.state == "done", export.trouble
        lines = texts_of(bytes(export.content), "application/pdf")  # cut anywhere: a plain word may stand alone
        assert [found for found in ours.seen_in(lines) if not found.endswith("alone")] == []


def test_one_that_is_planted_is_found(people):
    """In text, an option, a title, a label that is read out, an alternative text, a drawing, a table and a document."""
    ours = identifiers()
    planted = {
        "text/html": b"<p>The call over-quarters-two.</p>", "text/html; charset=utf-8": b"<option>11-trips</option>",
        "text/html;1": b'<p title="inside-zone">x</p>', "text/html;2": b'<p aria-label="W12 fires">x</p>',
        "text/html;3": b'<img alt="force_player">', "image/svg+xml": b"<svg><title>okie-slant</title></svg>",
        "text/csv": b"a,qb-power\n",
    }  # fmt: skip
    for kind, content in planted.items():
        assert list(ours.seen_in(texts_of(content, kind))), content
    quiet = b'<a href="/x/inside-zone">A well-kept H-back, B-gap</a><option value="11-trips">Trips</option>'
    assert list(ours.seen_in(texts_of(quiet, "text/html"))) == []
    assert STATISTICS.search("its 95 % Wilson interval") and not STATISTICS.search("likely between 64 and 97 %")
    Formation.objects.update(label=F("name"))
    client, told_of = Client(), {}
    client.force_login(people["staff"])
    Walk(client, most=1, only=("opponent:library",), odd=0, hear=heard("staff", ours, told_of)).go(
        reverse("opponent:library")
    )
    assert any("11-trips-nub" in found for found in told_of)
