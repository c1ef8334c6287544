"""Rows mended on the page, and a mended file in the place of the one before."""

from __future__ import annotations

import pytest
from django.urls import reverse

from playbook.charts import queries
from playbook.charts import services as charts
from playbook.models import ChartedSnap, MendedRow, RefusedRow
from tests.playbook.charts.made import HEADER, season

DOWN, PLAY, FORM, KIND, RESULT, CALL = (
    HEADER.index(name) for name in ("Dn", "Play", "Off Form", "R/P", "Result", "Def Call")
)


@pytest.fixture
def wrong():
    """Rows: line 6 has a down that is none, line 8 tells nothing."""
    rows = season(30)
    rows[4][DOWN] = "nine"
    for column in (PLAY, FORM, KIND, RESULT):
        rows[6][column] = ""
    return rows


def test_a_listed_row_is_mended_on_the_page_and_stays_mended(as_staff, read, wrong):
    chart = read(wrong)
    assert (chart.taken, chart.blanked, chart.refused) == (29, 1, 1)
    page = as_staff.get(reverse("charts:chart", args=[chart.pk])).content.decode()
    address = reverse("charts:row", args=[chart.pk, 6])
    assert address in page
    form = as_staff.get(address).content.decode()
    assert 'value="nine"' in form
    assert "its snap counts without a cell" in form
    cells = {f"cell-{number}": cell for number, cell in enumerate(wrong[4])}
    answer = as_staff.post(address, cells | {f"cell-{DOWN}": "3"})
    assert answer.status_code == 303
    chart.refresh_from_db()
    assert (chart.taken, chart.blanked, chart.refused) == (29, 0, 1)
    assert ChartedSnap.objects.get(chart=chart, line=6).down == 3
    assert not RefusedRow.objects.filter(chart=chart, line=6).exists()

    charts.map_chart(chart, chart.version, chart.mapping, chart.yard_style)
    charts.read_chart(chart.pk)
    assert ChartedSnap.objects.get(chart=chart, line=6).down == 3, "also when the file is read again"


def test_a_refused_row_counts_once_it_is_mended(read, wrong, staff):
    chart = read(wrong)
    charts.mend_row(chart, 8, [*wrong[6][:KIND], "R", "IZ", *wrong[6][PLAY + 1 :]], staff)
    chart.refresh_from_db()
    assert (chart.taken, chart.refused) == (30, 0)


def test_a_snap_that_was_read_wrong_is_mended_too(as_staff, read, wrong):
    chart = read(wrong)
    page = as_staff.get(reverse("charts:rows", args=[chart.pk])).content.decode()
    address = reverse("charts:row", args=[chart.pk, 20])
    assert address in page
    cells = {f"cell-{number}": cell for number, cell in enumerate(wrong[18])} | {f"cell-{PLAY}": "Wham"}
    as_staff.post(address, cells)
    assert ChartedSnap.objects.get(chart=chart, line=20).concept == "Wham"
    as_staff.post(address, cells | {f"cell-{PLAY}": "Duo"})
    assert ChartedSnap.objects.get(chart=chart, line=20).concept == "Duo"
    assert MendedRow.objects.count() == 1


@pytest.mark.parametrize("line", [1, 99, 4_000_000_000_000])
def test_a_row_that_is_not_there(as_staff, read, line):
    chart = read(season(10))
    assert as_staff.get(reverse("charts:row", args=[chart.pk, line])).status_code == 404


def test_a_cell_that_cannot_be_kept_is_refused(as_staff, read):
    chart = read(season(10))
    answer = as_staff.post(reverse("charts:row", args=[chart.pk, 3]), {"cell-0": "x" * 3_000})
    assert answer.status_code == 422
    assert not MendedRow.objects.exists()


def test_a_mended_file_takes_the_place_of_the_old_one_row_by_row(as_staff, upload, read, wrong, opponent):
    old = read(wrong)
    mended = [list(row) for row in wrong]
    mended[4][DOWN] = "3"
    mended[6][KIND], mended[6][PLAY] = "R", "Iso"
    del mended[20]
    new = upload(mended, name="mended.csv", replaces=old)
    charts.map_chart(new, new.version, new.mapping, new.yard_style)
    assert len(queries.snaps_of(opponent)) == 29, "until it is read the old one counts"
    charts.read_chart(new.pk)
    new.refresh_from_db()
    old.refresh_from_db()
    assert (old.counts, new.counts) == (False, True)
    assert len(queries.snaps_of(opponent)) == 29
    kinds = [(change["kind"], change["was"], change["line"]) for change in new.changes]
    assert kinds == [("changed", 6, 6), ("new", None, 8), ("gone", 22, None)]
    assert new.changes[0]["fields"] == [["Down", "empty", "3"]]
    page = as_staff.get(reverse("charts:chart", args=[new.pk])).content.decode()
    assert "Down: empty → 3" in page
    assert not queries.same_games(opponent).exists(), "a mended copy is no game that two files have"


def test_what_differs_can_be_mended_where_it_is_listed(as_staff, upload, read, opponent):
    rows = season(30)
    old = read(rows)
    mended = [list(row) for row in rows]
    mended[4][DOWN] = "3" if mended[4][DOWN] != "3" else "1"
    mended[9][KIND] = mended[9][PLAY] = mended[9][HEADER.index("Off Form")] = mended[9][HEADER.index("Result")] = "?"
    new = upload(mended, name="mended.csv", replaces=old)
    charts.map_chart(new, new.version, new.mapping, new.yard_style)
    charts.read_chart(new.pk)
    page = as_staff.get(reverse("charts:chart", args=[new.pk])).content.decode()
    listed = page[page.index("What differs") : page.index("Rows to mend")]
    new.refresh_from_db()
    assert [(change["kind"], change["was"], change["line"]) for change in new.changes] == [
        ("changed", 6, 6),
        ("refused", 11, 11),
    ]
    for line in (6, 11):
        assert reverse("charts:row", args=[new.pk, line]) + "?back=changes" in listed
    assert "nothing to count" in listed, "why it is not taken"
    cells = {f"cell-{number}": cell for number, cell in enumerate(rows[9])}
    answer = as_staff.post(reverse("charts:row", args=[new.pk, 11]) + "?back=changes", cells)
    assert answer["Location"].endswith("#changes")
    new.refresh_from_db()
    assert [change["kind"] for change in new.changes] == ["changed"], "mended there, it differs no more"
