"""The documents themselves: PDF/UA with our own font, reproducible, nothing in the data is ever run."""

import itertools
import re
import zlib

import pytest
import typst

from playbook.exports import documents, making, services, typesetting
from playbook.models import Export, FitRule, PlanEntry
from playbook.week import queries, words
from tests.playbook.week.made import LOOKS, make_bare_week, make_week

CHOICES = {
    "booklet": {"position": "M"},
    "my-week": {"position": "M"},
    "quiz": {"position": "M", "call": "odd-three-safety", "looks": 0},
    "hand-out": {"call": "odd-three-safety"},
    "wall": {"call": "odd-three-safety"},
    "cards": {"call": "odd-three-safety"},
    "call-book": {"calls": "all"},
    "install": {"group": "line"},
}


def week_of(pk):
    return queries.weeks().get(pk=pk)


def collect(document, week, **choice):
    given = (
        CHOICES[document]
        | ({"look": week.expected_looks.first().pk} if document in ("hand-out", "wall") else {})
        | choice
    )
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
    assert (data["caution"], data["cautions"]) == (words.CAUTION, list(words.CAUTIONS))
    template = (typesetting.TEMPLATES / f"{document}.typ").read_text()
    assert "cautions()" in template or "#data.caution" in template


@pytest.mark.django_db
def test_the_booklet_has_a_line_a_look_and_a_drawing_only_where_the_job_changes():
    week = make_week()
    (sheet,) = collect("booklet", week)[0]["sheets"]
    assert [line["number"] for line in sheet["lines"]] == [1, 2, 3, 4]
    jobs = {(line["technique"], line["key"], line["fit"], line["leverage"]): line["job"] for line in sheet["lines"]}
    assert len(sheet["jobs"]) == len(jobs) == len(set(jobs.values())) > 1
    assert sorted(n for job in sheet["jobs"] for n in job["looks"]) == [1, 2, 3, 4]
    for line in sheet["lines"]:
        (job,) = [job for job in sheet["jobs"] if line["number"] in job["looks"]]
        assert (job["letter"], job["fit"]) == (line["job"], line["fit"]) and job["svg"].startswith("<svg")


@pytest.mark.django_db
def test_looks_of_one_job_share_a_drawing():
    week = make_week(pairs=[("11-doubles", "power")] * 1)
    twin = week.expected_looks.get()
    twin.pk, twin.order, twin.hash = None, 1, "left"
    twin.save()
    (sheet,) = collect("booklet", week)[0]["sheets"]
    told = {(line["technique"], line["key"], line["fit"]) for line in sheet["lines"]}
    assert (len(sheet["lines"]), len(sheet["jobs"])) == (2, len(told))


@pytest.mark.django_db
def test_a_page_of_a_big_week_stays_one_page():
    week = make_week(pairs=LOOKS)
    data = collect("my-week", week)[0]
    (page,) = data["pages"]
    call = page["calls"][0]
    job = call["jobs"][0]
    looks = [{"number": n, "text": f"Inside zone from formation number {n}, a longer name of it"} for n in range(1, 61)]
    jobs = [job | {"against": [n, n + 1], "technique": f"{n}i"} for n in range(1, 60)]
    data["pages"] = [page | {"looks": looks, "calls": [call | {"jobs": jobs}] * 4}]
    assert pages(typesetting.make_pdf("my-week", data)) == 1


@pytest.mark.django_db
def test_my_week_is_one_page_a_man_however_many_looks():
    few, many = make_week(), make_week(2, pairs=LOOKS)
    twins = itertools.product(many.expected_looks.all(), ("left", "right"))
    for number, (look, hash_) in enumerate(list(twins), 10):
        look.pk, look.hash, look.order = None, hash_, number
        look.save()
    for week in (few, many):
        assert pages(typesetting.make_pdf("my-week", collect("my-week", week)[0])) == 1
    assert pages(typesetting.make_pdf("my-week", collect("my-week", few, position="E")[0])) == 2


@pytest.mark.django_db
def test_the_call_book_says_the_same_rules_once():
    first, *others = collect("call-book", make_week())[0]["calls"]
    positions = {man["name"] for man in first["men"]}
    assert first["alike"] == [] and len(positions) > 5
    assert any(same["call"] == first["name"] for call in others for same in call["alike"])
    for call in others:
        named = [name.split()[0] for same in call["alike"] for name in same["men"]]
        assert sorted(named + [man["name"] for man in call["men"]]) == sorted(positions)


@pytest.mark.django_db
def test_the_quiz_gives_no_answer_before_its_last_page():
    (man,) = collect("quiz", make_week())[0]["men"]
    assert [ask["number"] for ask in man["asked"]] == [1, 2, 3, 4]
    for ask in man["asked"]:
        assert 'class="fits' not in ask["svg"] and 'class="lanes' not in ask["svg"] and ask["fit"] not in ask["alt"]
    assert len(collect("quiz", make_week(2), looks=2)[0]["men"][0]["asked"]) == 2


@pytest.mark.django_db
def test_the_hand_out_has_three_frames_in_which_men_have_moved():
    data, _, _ = collect("hand-out", make_week())
    first, second, third = data["frames"]
    assert (first["seconds"], second["seconds"]) == ("0.0 s", "0.8 s") and float(third["seconds"][:-2]) > 0.8
    assert len({frame["svg"] for frame in data["frames"]}) == 3
    boxes = {re.search(r'viewBox="([^"]*)"', frame["svg"])[1] for frame in data["frames"]}
    assert len(boxes) == 1 and len(data["card"]["men"]) == 11


@pytest.mark.django_db
@pytest.mark.parametrize("document", list(CHOICES))
def test_every_document_comes_on_both_papers(document):
    week = make_week()
    sizes = {}
    for paper in ("a4", "us-letter"):
        pdf = typesetting.make_pdf(document, collect(document, week, paper=paper)[0])
        box = re.search(rb"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)", inflated(pdf))
        sizes[paper] = {round(float(box[1])), round(float(box[2]))}
    large = document == "wall"
    assert sizes == {"a4": {842, 1191} if large else {595, 842}, "us-letter": {792, 1224} if large else {612, 792}}


@pytest.mark.django_db
def test_every_picture_has_words_and_without_them_it_is_refused():
    data, _, _ = collect("wall", make_week())
    assert data["card"]["alt"]
    data["card"]["alt"] = None
    with pytest.raises(typst.TypstError):
        typesetting.make_pdf("wall", data)


@pytest.mark.django_db
def test_what_coaches_write_is_shown_and_never_run():
    week = make_week()
    evil = '#panic("run") $x$ *bold* #read("base.typ") \\ " } ] // @ref <label>'
    PlanEntry.objects.filter(day__week=week).update(text=evil)
    FitRule.objects.exclude(say="").update(say=evil)
    for document in ("install", "booklet", "my-week", "call-book"):
        data, _, _ = collect(document, week)
        assert evil in str(data) or evil.replace("\\", "\\\\") in str(data)
        assert typesetting.make_pdf(document, data).startswith(b"%PDF")


def test_the_fonts_are_shipped_with_their_licence():
    assert {path.name for path in typesetting.FONTS.iterdir()} >= {"Inter-Regular.otf", "Inter-Bold.otf", "OFL.txt"}
    fonts = typst.Fonts(include_system_fonts=False, font_paths=[str(typesetting.FONTS)])
    assert "Inter" in {str(name) for name in fonts.families()}


@pytest.mark.django_db
def test_the_drawing_asks_for_no_font_that_is_not_there():
    data, _, _ = collect("wall", make_week())
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
    [
        ("booklet", {"position": "QB"}),
        ("quiz", {"call": "gone"}),
        ("cards", {"call": "gone"}),
        ("wall", {"look": 0}),
        ("hand-out", {"call": "gone"}),
    ],
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
