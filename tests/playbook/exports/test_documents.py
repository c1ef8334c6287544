"""The documents themselves: PDF/UA with our own font, reproducible, nothing in the data is ever run."""

import re
import zlib

import pytest
import typst

from playbook.exports import documents, making, services, typesetting
from playbook.models import Export, FitRule, PlanEntry
from playbook.week import queries, words
from tests.playbook.week.made import make_bare_week, make_week

CHOICES = {
    "booklet": {"position": "M"},
    "look": {"call": "odd-three-safety"},
    "call-book": {},
    "install": {"group": "line"},
}


def week_of(pk):
    return queries.weeks().get(pk=pk)


def collect(document, week, **choice):
    given = CHOICES[document] | ({"look": week.expected_looks.first().pk} if document == "look" else {}) | choice
    steps = []
    data = documents.collect(document, week_of(week.pk), given, lambda: steps.append(1))
    return data, len(steps), given


def inflated(pdf):
    streams = re.findall(rb"stream\r?\n(.*?)\r?\nendstream", pdf, re.S)
    out = [pdf]
    for stream in streams:
        try:
            out.append(zlib.decompress(stream))
        except zlib.error:
            continue
    return b"\n".join(out)


def pages(pdf):
    return max(int(n) for n in re.findall(rb"/Count (\d+)", inflated(pdf)))


@pytest.mark.django_db
@pytest.mark.parametrize("document", list(CHOICES))
def test_every_document_is_accessible_in_our_font_and_the_same_again(document):
    week = make_week()
    data, steps, choice = collect(document, week)
    pdf = typesetting.make_pdf(document, data)
    text = inflated(pdf)
    assert b"pdfuaid:part" in text and b"<pdfuaid:part>1</pdfuaid:part>" in text
    fonts = set(re.findall(rb"/FontName\s*/(?:[A-Z]{6}\+)?([\w-]+)", text))
    assert fonts and all(name.startswith(b"Inter") for name in fonts)
    assert typesetting.make_pdf(document, collect(document, week)[0]) == pdf
    assert 0 < steps <= documents.count_steps(document, week_of(week.pk), choice)


@pytest.mark.django_db
@pytest.mark.parametrize("document", list(CHOICES))
def test_every_document_carries_the_cautions(document):
    data, _, _ = collect(document, make_week())
    assert data["cautions"] == list(words.CAUTIONS)
    assert (
        "#cautions()" in (typesetting.TEMPLATES / f"{document}.typ").read_text()
        or "#cover(" in (typesetting.TEMPLATES / f"{document}.typ").read_text()
    )


@pytest.mark.django_db
def test_the_booklet_has_a_page_for_every_look_and_call():
    week = make_week()
    data, _, _ = collect("booklet", week)
    (sheet,) = data["sheets"]
    assert len(sheet["cards"]) == 4
    assert pages(typesetting.make_pdf("booklet", data)) >= 2 + 4


@pytest.mark.django_db
def test_every_picture_has_words_and_without_them_it_is_refused():
    data, _, _ = collect("look", make_week())
    assert data["card"]["alt"]
    data["card"]["alt"] = None
    with pytest.raises(typst.TypstError):
        typesetting.make_pdf("look", data)


@pytest.mark.django_db
def test_what_coaches_write_is_shown_and_never_run():
    week = make_week()
    evil = '#panic("run") $x$ *bold* #read("base.typ") \\ " } ] // @ref <label>'
    PlanEntry.objects.filter(day__week=week).update(text=evil)
    FitRule.objects.exclude(say="").update(say=evil)
    for document in ("install", "booklet", "call-book"):
        data, _, _ = collect(document, week)
        assert evil in str(data) or evil.replace("\\", "\\\\") in str(data)
        assert typesetting.make_pdf(document, data).startswith(b"%PDF")


def test_the_fonts_are_shipped_with_their_licence():
    assert {path.name for path in typesetting.FONTS.iterdir()} >= {"Inter-Regular.otf", "Inter-Bold.otf", "OFL.txt"}
    fonts = typst.Fonts(include_system_fonts=False, font_paths=[str(typesetting.FONTS)])
    assert "Inter" in {str(name) for name in fonts.families()}


@pytest.mark.django_db
def test_the_drawing_asks_for_no_font_that_is_not_there():
    data, _, _ = collect("look", make_week())
    assert set(re.findall(r'font-family="([^"]*)"', data["card"]["svg"])) == {documents.OWN_FONT}


@pytest.mark.django_db
def test_install_counts_contact_against_the_limits():
    week = make_week()
    data, _, _ = collect("install", week)
    assert (data["contact"], data["week_limit"], [day["contact"] for day in data["days"]]) == (50, 90, [25, 25])
    assert "2014" in data["limit_source"]


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("document", "choice"),
    [("booklet", {"position": "QB"}), ("look", {"look": 0}), ("look", {"call": "gone"})],
)
def test_what_is_gone_is_said(document, choice):
    with pytest.raises(documents.NothingToPrint):
        collect(document, make_week(), **choice)


@pytest.mark.django_db(transaction=True)
def test_the_worker_makes_it_and_it_is_ready(run_jobs, admin):
    week = make_week()
    export = services.ask_for("install", week, {"group": "line"}, "Install", admin)
    run_jobs()
    export.refresh_from_db()
    assert (export.state, export.step) == ("done", export.steps)
    assert bytes(export.content).startswith(b"%PDF") and export.size == len(export.content)


@pytest.mark.django_db
def test_after_a_workers_death_the_next_one_makes_the_same(monkeypatch):
    week = make_week()
    export = Export.objects.create(document="booklet", week=week, choice={"position": "M"}, title="B", made_by_name="A")

    class Killed(BaseException):
        pass

    def die(*_):
        raise Killed

    monkeypatch.setattr(typesetting, "make_pdf", die)
    with pytest.raises(Killed):
        making.make(export.pk)
    export.refresh_from_db()
    assert (export.state, export.step > 0, export.content) == ("working", True, None)
    monkeypatch.undo()
    making.make(export.pk)
    export.refresh_from_db()
    assert export.state == "done"
    first, finished = bytes(export.content), export.finished_at
    making.make(export.pk)
    export.refresh_from_db()
    assert (bytes(export.content), export.finished_at) == (first, finished)


@pytest.mark.django_db
def test_trouble_is_kept_where_the_admin_reads_it():
    bare = make_bare_week()
    export = Export.objects.create(document="call-book", week=bare, title="B", made_by_name="A")
    making.make(export.pk)
    export.refresh_from_db()
    assert export.state == "failed" and "role" in export.trouble


@pytest.mark.django_db
def test_a_deleted_document_is_not_made():
    making.make(12345)
    assert not Export.objects.exists()
