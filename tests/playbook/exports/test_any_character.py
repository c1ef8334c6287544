"""Any character in any text prints in every document: drawn, or replaced where everybody sees it and is told."""

from __future__ import annotations

import itertools
import re
import unicodedata
from collections import Counter

import pytest
from django.urls import reverse

from fits.draw.svg import NOT_XML
from playbook.exports import documents, lettering, making, typesetting
from playbook.models import (
    Call,
    Concept,
    Coverage,
    Day,
    ExpectedLook,
    Export,
    FitRule,
    Formation,
    Front,
    Opponent,
    PlanEntry,
    Position,
    Season,
    System,
)  # fmt: skip
from playbook.week import queries
from tests.playbook import hostile
from tests.playbook.exports.test_documents import CHOICES, collect, inflated
from tests.playbook.week.made import make_week

UNDRAWN = ("Cc", "Cn", "Co", "Cs")
# Every text that some document prints, and how long it may be.
PRINTED = [
    (Opponent, "name", 120), (Season, "name", 80), (System, "label", 120), (Call, "label", 120), (Call, "note", 300),
    (Front, "label", 120),
    (Coverage, "label", 120), (Position, "label", 60), (FitRule, "say", 300), (Day, "label", 60), (Day, "note", 4_000),
    (PlanEntry, "text", 300), (ExpectedLook, "note", 300), (Formation, "name", 60), (Concept, "label", 120),
]  # fmt: skip
HOSTILE = (
    "\u202eabc \u2066x \u200f\u200b\ufeff\u00ad a\u0301\u0337 क्षि 👩🏽‍🚒🇺🇳 ✌🏿 "
    "\ue000 \ufffe \U000e0fff \U0010ffff \x01\x1b\x7f\x85 \u2028"
)


def letters_of_every_block() -> str:
    """Assigned characters of every sixteen code points, the unit of Unicode's blocks; big uniform ranges less often."""
    rows = itertools.chain(range(0x20, 0x3400, 0x10), range(0x3400, 0xD800, 0x400), range(0xE000, 0x20000, 0x40))
    found = (
        next((chr(c) for c in range(row, row + 0x10) if unicodedata.category(chr(c)) not in UNDRAWN), "")
        for row in rows
    )
    return "".join(found) + "".join(chr(c) for c in range(0x1F300, 0x1FB00) if unicodedata.category(chr(c)) == "So")


def write_everywhere(text: str) -> None:
    """Cuts the text into pieces and writes them, over and over, into everything that prints."""
    start = 0
    for model, name, most in PRINTED:
        for number, row in enumerate(model.objects.order_by("pk")[:120]):
            if name == "say" and not row.say:
                continue
            piece = (text[start : start + most - 4] or "x") + f"{number}"
            model.objects.filter(pk=row.pk).update(**{name: piece})
            start = (start + most - 4) % len(text)


@pytest.fixture
def week(db):
    return make_week()


TEXTS = "".join(text[:120] for text in hostile.TEXTS)


@pytest.mark.parametrize(
    "text", [letters_of_every_block(), HOSTILE, TEXTS], ids=["every block", "hostile", "names nobody expects"]
)
def test_every_document_prints_every_character(week, text):
    write_everywhere(text)
    warned = set()
    for document in CHOICES:
        _, _, choice = collect(document, week)
        export = Export.objects.create(document=document, week=week, choice=choice, title="B", made_by_name="A")
        making.make(export.pk)
        export.refresh_from_db()
        assert (document, export.state, export.trouble) == (document, "done", "")
        pdf = inflated(bytes(export.content))
        assert b"<pdfuaid:part>1</pdfuaid:part>" in pdf
        fonts = {name.split(b"+")[-1] for name in re.findall(rb"/FontName\s*/([\w+-]+)", pdf)}
        assert any(name.startswith(b"Unifont") for name in fonts)
        warned |= {document} if "stand" in export.warning else set()
    assert warned == set(CHOICES) or text != HOSTILE


def test_a_document_without_odd_characters_says_nothing(week):
    export = Export.objects.create(document="install", week=week, choice={"group": "line"}, title="B", made_by_name="A")
    making.make(export.pk)
    export.refresh_from_db()
    assert (export.state, export.warning) == ("done", "")


def test_what_is_replaced_is_counted_and_named(as_admin, week):
    Day.objects.filter(week=week).update(note="one \U00017000 two \U00017000 and \U000f0000")
    export = Export.objects.create(document="install", week=week, choice={"group": "line"}, title="B", made_by_name="A")
    making.make(export.pk)
    export.refresh_from_db()
    assert (
        "U+17000" in export.warning and "U+F0000" in export.warning and "6 characters stand as \ufffd" in export.warning
    )
    assert export.warning in as_admin.get(reverse("exports:detail", args=[export.pk])).content.decode()


def test_halves_of_characters_and_nul_print_too(week):
    data, _, _ = collect("install", week)
    for day in data["days"]:
        day["note"] = "\ud800 \udfff \0"
    replaced = Counter()
    assert typesetting.make_pdf("install", data, replaced).startswith(b"%PDF")
    assert sorted(replaced.items()) == [("\0", 2), ("\ud800", 2), ("\udfff", 2)]


def test_a_font_that_fails_leaves_the_page_in_plain_letters(week, monkeypatch):
    import typst

    real, tried = typesetting._compile, []

    def fails_once(document, data):
        tried.append(str(data))
        if len(tried) == 1:
            raise typst.TypstError("no glyph")
        return real(document, data)

    monkeypatch.setattr(typesetting, "_compile", fails_once)
    data, _, _ = collect("install", week)
    data["days"][0]["note"] = "壁 and é"
    replaced = Counter()
    assert typesetting.make_pdf("install", data, replaced).startswith(b"%PDF")
    assert replaced == {"壁": 1} and "é" in tried[1]


def test_an_unclosed_turn_of_direction_ends_with_its_text():
    counted = Counter()
    shown = lettering.printable(["\u202eab\u2066c", "plain", "\u2069x"], lettering.all_letters(), counted)
    assert shown == ["\u202eab\u2066c\u2069\u202c", "plain", "\u2069x"]
    assert lettering.printable("<svg>\u202ex</svg>", lettering.all_letters(), counted) == "<svg>x</svg>"


def test_the_character_maps_are_read_right():
    """Against the letters a page of this program itself needs, and ones that no font has."""
    own, every = lettering.own_letters(), lettering.all_letters()
    assert {ord(c) for c in "Aé–“”→✓Ωж"} <= own
    assert {ord(c) for c in "שעربहिन中한あไ🏈𝄞ᚠ"} <= every
    counted = Counter()
    assert lettering.printable("\u0378\ud800\uffff\U000f0000", every, counted) == "\ufffd" * 4
    assert 65_000 < len(every) < 75_000


def test_a_drawing_is_xml_whatever_the_names(week):
    from xml.etree import ElementTree

    from playbook.looks import specs
    from playbook.week import sheets

    for number, row in enumerate(Formation.objects.all()):
        Formation.objects.filter(pk=row.pk).update(name=f"a\x01b\ufffe\x1b<&\"'{number}")
    Concept.objects.all().update(label="\x02\u202e\uffff")
    found = queries.weeks().get(pk=week.pk)
    call = next(iter(sheets.calls_of(found).values()))
    for play in sheets.derive_plays(found, specs.expected_looks(found), call):
        svg = sheets.draw_play(play, None)
        ElementTree.fromstring(svg)
        assert not NOT_XML.search(svg)
        assert documents.drawing(play, None).startswith("<svg")


@pytest.mark.parametrize(("kind", "field"), [("day", "label"), ("entry", "text")])
def test_a_form_refuses_nul_in_words(as_staff, week, kind, field):
    sent = {field: "a\0b", "day": week.days.first().pk}
    answer = as_staff.post(reverse("week:row-add", args=[week.pk, kind]), sent)
    assert answer.status_code == 422
    assert "Null characters are not allowed" in answer.content.decode()
