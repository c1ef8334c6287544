"""Charts in the database: all or nothing, nothing replaced silently, every row accounted for."""

from __future__ import annotations

import time
import tracemalloc

import pytest
from django.db import IntegrityError, transaction

from playbook.charts import services as charts
from playbook.charts.errors import ChartError
from playbook.models import Chart, ChartContent, ChartedSnap, ChartState, RefusedRow, RememberedHeader, StaleVersion
from tests.playbook.charts.conftest import as_bytes
from tests.playbook.charts.made import HEADER, season, write_xlsx


def test_an_upload_guesses_its_columns_and_counts_nothing_yet(upload):
    chart = upload()
    assert chart.state == ChartState.UPLOADED
    assert chart.mapping["formation"] == "Off Form"
    assert chart.samples[HEADER.index("Off Form")] == ["Trips Rt", "Trips Lt", "Ace Rt", "Pro Lt"] or chart.samples
    assert not ChartedSnap.objects.exists()
    assert bytes(ChartContent.objects.get().data) == as_bytes(season(60))


def test_a_chart_is_read_whole(read):
    rows = season(2_500)
    chart = read(rows)
    assert (chart.state, chart.taken, chart.refused, chart.trouble) == (ChartState.DONE, 2_500, 0, "")
    snap = ChartedSnap.objects.get(chart=chart, line=2)
    assert (str(snap.down), str(snap.distance), snap.formation, snap.strength) == (
        rows[0][2], rows[0][3], rows[0][7].split()[0], {"Rt": "right", "Lt": "left"}[rows[0][7].split()[1]],
    )  # fmt: skip


def test_every_row_is_taken_or_listed_with_line_and_reason(read):
    rows = season(100)
    rows[10][2] = "nine"
    rows[20][10] = "Punt"
    rows[30] = rows[30][:4]
    chart = read(rows)
    assert (chart.taken, chart.blanked, chart.refused, chart.not_counted) == (98, 1, 1, 1)
    listed = {row.line: row.reason for row in RefusedRow.objects.filter(chart=chart)}
    assert set(listed) == {12, 22, 32}
    assert "Dn: expected a down from 1 to 4, got “nine”" in listed[12]
    assert "a kick" in listed[22]
    assert "half a row" in listed[32]


def test_the_same_file_twice_is_not_taken_silently(upload):
    first = upload()
    with pytest.raises(charts.SameFile, match="very file is already there") as caught:
        upload()
    assert caught.value.chart == first
    assert Chart.objects.count() == 1
    upload(again=True)
    assert Chart.objects.count() == 2


def test_another_file_stands_beside_the_first_and_replaces_nothing(read):
    first = read(season(50))
    second = read(season(50, seed=8))
    assert ChartedSnap.objects.filter(chart=first).count() == ChartedSnap.objects.filter(chart=second).count() == 50


def test_reading_again_with_other_columns_replaces_only_this_chart(read):
    other = read(season(30, seed=3))
    chart = read(season(40))
    mapping = {column: header for column, header in chart.mapping.items() if column != "gain"}
    charts.map_chart(chart, chart.version, mapping, chart.yard_style)
    charts.read_chart(chart.pk)
    assert ChartedSnap.objects.filter(chart=chart).count() == 40
    assert not ChartedSnap.objects.filter(chart=chart, gain__isnull=False).exists()
    assert ChartedSnap.objects.filter(chart=other, gain__isnull=False).count() == 30


def test_a_job_that_runs_twice_reads_once(read):
    chart = read(season(40))
    before = set(ChartedSnap.objects.values_list("pk", flat=True))
    charts.read_chart(chart.pk)
    assert set(ChartedSnap.objects.values_list("pk", flat=True)) == before


def test_a_file_that_breaks_off_changes_nothing(read, monkeypatch):
    chart = read(season(3_000))
    before = set(ChartedSnap.objects.values_list("pk", flat=True))
    original = charts.read_snaps

    def broken(*args):
        for number, item in enumerate(original(*args)):
            if number == 2_000:
                raise ChartError("the file breaks off here.")
            yield item

    monkeypatch.setattr(charts, "read_snaps", broken)
    charts.map_chart(chart, chart.version, chart.mapping, chart.yard_style)
    charts.read_chart(chart.pk)
    chart.refresh_from_db()
    assert (chart.state, chart.trouble) == (ChartState.FAILED, "the file breaks off here.")
    assert set(ChartedSnap.objects.values_list("pk", flat=True)) == before


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"\x89PNG\r\n\x1a\n", "a picture"),
        (b"", "is empty"),
        (b"Dn,Play\n", "no rows below it"),
        (b"Dn,Play,dn\n1,x,2\n", "stands twice"),
        (bytes(range(256)) * 20, "not text"),
    ],
)
def test_bad_files_leave_nothing_behind(upload, data, said):
    with pytest.raises(ChartError, match=said):
        upload(data)
    assert not Chart.objects.exists()
    assert not ChartContent.objects.exists()


def test_a_file_too_big_is_refused_before_a_byte_is_read(opponent, staff):
    def blocks():
        raise AssertionError("was read")
        yield b""

    with pytest.raises(ChartError, match="has 200 MB"):
        charts.add_chart(opponent, "big.csv", 200_000_000, blocks(), staff)


def test_the_mapping_is_remembered_for_the_next_file(upload):
    chart = upload()
    mapping = {**chart.mapping, "concept": "Result"}
    del mapping["result"]
    charts.map_chart(chart, chart.version, mapping, chart.yard_style)
    assert RememberedHeader.objects.get(header="result").column == "concept"
    following = upload(season(20, seed=5))
    assert following.mapping["concept"] == "Result"
    assert "Play" not in following.mapping.values()


def test_a_mapping_that_does_not_fit_or_is_stale_changes_nothing(upload):
    chart = upload()
    with pytest.raises(ChartError, match="no header “Nope”"):
        charts.map_chart(chart, chart.version, {"concept": "Nope"}, chart.yard_style)
    with pytest.raises(StaleVersion):
        charts.map_chart(chart, chart.version + 1, chart.mapping, chart.yard_style)
    assert Chart.objects.get().state == ChartState.UPLOADED


def test_a_chart_that_is_being_read_is_not_mapped_anew(upload):
    chart = upload()
    charts.map_chart(chart, chart.version, chart.mapping, chart.yard_style)
    with pytest.raises(ChartError, match="being read right now"):
        charts.map_chart(chart, chart.version, chart.mapping, chart.yard_style)


def test_a_workbook_is_read_like_text(upload, tmp_path):
    rows = season(80)
    chart = upload(write_xlsx(tmp_path / "a.xlsx", rows).read_bytes(), name="a.xlsx")
    charts.map_chart(chart, chart.version, chart.mapping, chart.yard_style)
    charts.read_chart(chart.pk)
    assert Chart.objects.get().taken == 80


@pytest.mark.django_db(transaction=True)
def test_the_worker_reads_it_and_progress_is_seen_outside_the_transaction(upload, run_jobs, monkeypatch):
    chart = upload(season(3_000))
    charts.map_chart(chart, chart.version, chart.mapping, chart.yard_style)
    seen = []
    tell = charts._tell

    def watch(progress, pk, step):
        tell(progress, pk, step)
        with progress.cursor() as cursor:
            cursor.execute(
                "SELECT step, (SELECT count(*) FROM playbook_chartedsnap) FROM playbook_chart WHERE id = %s", [pk]
            )
            seen.append(cursor.fetchone())

    monkeypatch.setattr(charts, "_tell", watch)
    run_jobs()
    assert seen == [(1_000, 0), (2_000, 0), (3_000, 0)]
    assert ChartedSnap.objects.count() == 3_000


def test_twenty_thousand_rows_are_read_with_flat_memory(read):
    """Measured on two cores: about four seconds; the limit leaves room for a loaded machine."""
    start = time.monotonic()
    chart = read(season(20_000))
    assert chart.taken == 20_000
    assert time.monotonic() - start < 40


def test_memory_does_not_grow_with_the_rows(upload):
    def peak(rows):
        chart = upload(season(rows, seed=rows))
        charts.map_chart(chart, chart.version, chart.mapping, chart.yard_style)
        tracemalloc.start()
        charts.read_chart(chart.pk)
        top = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return top - chart.size * 3  # the file itself comes from the database in one piece

    assert peak(6_000) < peak(1_500) + 2_000_000


def test_the_database_refuses_what_cannot_be(read):
    chart = read(season(20))
    for fields in ({"down": 5}, {"yard_line": 100}, {"play_type": "kick"}, {"line": 2}):
        snap = ChartedSnap(chart=chart, **{"line": 999, **fields})
        with pytest.raises(IntegrityError), transaction.atomic():
            snap.save()
