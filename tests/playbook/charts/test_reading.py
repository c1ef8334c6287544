"""Charted files: what is read, and what is refused with which words."""

from __future__ import annotations

import tracemalloc
import zipfile

import pytest
from openpyxl import Workbook

from playbook.charts import reading
from playbook.charts.columns import HEADER_WORDS
from playbook.charts.errors import ChartError
from playbook.charts.reading import open_chart
from tests.playbook.charts.made import HEADER, season, write_csv, write_xlsx


def rows_of(chart):
    return [row for row in chart.rows() if not row.reason]


def refused(chart):
    return [row for row in chart.rows() if row.reason]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_text_in_any_usual_encoding_and_delimiter(tmp_path, encoding, delimiter):
    rows = season(30)
    rows[3][11] = "Änderung – “Stück”"
    path = write_csv(tmp_path / "chart.csv", rows, delimiter=delimiter, encoding=encoding, end="\r\n")
    chart = open_chart(path)
    assert chart.headers == HEADER
    assert chart.delimiter == delimiter
    assert [list(row.cells) for row in chart.rows()] == rows
    assert [row.line for row in chart.rows()] == list(range(2, 32))


def test_a_semicolon_file_with_decimal_commas_is_not_cut_at_the_commas(tmp_path):
    path = tmp_path / "chart.csv"
    path.write_text("Dn;Play;Gain\n1;Power, weak;3,0\n2;Iso, strong;4,0\n")
    assert [row.cells for row in open_chart(path).rows()] == [("1", "Power, weak", "3,0"), ("2", "Iso, strong", "4,0")]


def test_a_quoted_newline_stays_in_its_cell_and_lines_are_counted_in_the_file(tmp_path):
    path = tmp_path / "chart.csv"
    path.write_text('Dn,Play,Note\n1,"Power\nweak",a\n2,Iso,b\n')
    rows = list(open_chart(path).rows())
    assert [(row.line, row.cells[1]) for row in rows] == [(2, "Power\nweak"), (4, "Iso")]


def test_the_header_is_found_below_a_title(tmp_path):
    path = write_xlsx(tmp_path / "chart.xlsx", season(5), title="Scouting of the season")
    chart = open_chart(path, HEADER_WORDS)
    assert chart.headers == HEADER
    assert next(chart.rows()).line == 4


def test_a_workbook_gives_the_same_rows_as_text(tmp_path):
    rows = season(40)
    text = open_chart(write_csv(tmp_path / "a.csv", rows))
    numbers = [[int(cell) if cell.lstrip("-").isdigit() else cell for cell in row] for row in rows]
    book = open_chart(write_xlsx(tmp_path / "a.xlsx", numbers))
    assert [row.cells for row in book.rows()] == [row.cells for row in text.rows()]


def test_half_a_row_is_listed_with_its_line(tmp_path):
    path = tmp_path / "chart.csv"
    path.write_text("Dn,Dist,Play,Gain\n1,10,Power,3\n2,7,Is")
    chart = open_chart(path)
    assert len(rows_of(chart)) == 1
    (half,) = refused(chart)
    assert half.line == 3
    assert "only 3 cells where the header has 4" in half.reason


def test_a_row_that_is_too_long_is_listed(tmp_path):
    path = tmp_path / "chart.csv"
    path.write_text("Dn,Dist,Play\n1,10,Power\n1,10,Power,weak\n1,10,Iso,,\n")
    chart = open_chart(path)
    assert [row.line for row in refused(chart)] == [3]
    assert [row.line for row in rows_of(chart)] == [2, 4]


def test_a_quotation_mark_that_never_closes_is_listed_and_the_rows_before_it_are_read(tmp_path):
    path = tmp_path / "chart.csv"
    path.write_text('Dn,Dist,Play\n1,10,Power\n2,5,"Iso\n3,2,Duo\n')
    chart = open_chart(path)
    assert [row.line for row in rows_of(chart)] == [2]
    (broken,) = refused(chart)
    assert broken.line == 3
    assert "never closes" in broken.reason


def test_blank_lines_are_skipped_and_a_stray_null_is_dropped(tmp_path):
    path = tmp_path / "chart.csv"
    path.write_bytes(b"Dn,Dist,Play\n\n1,10,Po\0wer\n,,\n" + b"2,5,Iso\n" * 400)
    assert next(open_chart(path).rows()).cells == ("1", "10", "Power")


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "is empty"),
        (b"\n\n\n", "no rows"),
        (b"%PDF-1.7 ...", "a PDF"),
        (b"\x89PNG\r\n\x1a\n", "a picture"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "an old .xls"),
        (bytes(range(256)) * 50, "not text"),
        (b"\x81\x8d\x8f" * 100, "not text"),
        (b"Dn,Dist,dn\n1,10,1\n", "stands twice, in columns 1 and 3"),
        (b"just a sentence\nand another\n", "Expected a header row"),
        (b"PK\x03\x04garbage", "damaged or cut off"),
    ],
)
def test_files_that_are_no_chart_are_refused(tmp_path, content, said):
    path = tmp_path / "chart.csv"
    path.write_bytes(content)
    with pytest.raises(ChartError, match=said):
        list(open_chart(path).rows())


def test_a_file_of_200_megabytes_is_refused_unread(tmp_path):
    path = tmp_path / "chart.csv"
    with path.open("wb") as file:
        file.truncate(200_000_000)
    with pytest.raises(ChartError, match=r"has 200 MB; at most 25 MB"):
        open_chart(path)


def test_more_rows_than_a_chart_can_have_are_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(reading, "MAX_ROWS", 10)
    with pytest.raises(ChartError, match="more than 10 rows"):
        list(open_chart(write_csv(tmp_path / "a.csv", season(11))).rows())


# --- workbooks ----------------------------------------


def repacked(path, change):
    """Writes the workbook again with its parts changed by `change(name, data)`."""
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in parts.items():
            archive.writestr(name, change(name, data))
    return path


def test_a_zip_bomb_is_refused_before_it_is_unpacked(tmp_path):
    path = write_xlsx(tmp_path / "bomb.xlsx", season(3))
    repacked(path, lambda name, data: data + b" " * 60_000_000 if "worksheets/" in name else data)
    assert path.stat().st_size < 100_000
    tracemalloc.start()
    with pytest.raises(ChartError, match="times its size"):
        open_chart(path)
    assert tracemalloc.get_traced_memory()[1] < 5_000_000
    tracemalloc.stop()


def test_a_workbook_that_unpacks_too_far_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(reading, "MAX_UNPACKED", 1_000)
    with pytest.raises(ChartError, match="was not unpacked"):
        open_chart(write_xlsx(tmp_path / "a.xlsx", season(3)))


def test_xml_entities_are_refused(tmp_path):
    path = write_xlsx(tmp_path / "a.xlsx", season(3))
    evil = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaa">]>'
    repacked(path, lambda name, data: evil + data if "worksheets/" in name else data)
    with pytest.raises(ChartError, match="XML entities"):
        open_chart(path)


def test_a_cut_off_workbook_is_refused(tmp_path):
    path = write_xlsx(tmp_path / "a.xlsx", season(50))
    path.write_bytes(path.read_bytes()[:-400])
    with pytest.raises(ChartError, match="damaged or cut off"):
        open_chart(path)


def test_another_archive_is_no_workbook(tmp_path):
    path = tmp_path / "a.xlsx"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("readme.txt", "hello")
    with pytest.raises(ChartError, match=r"a zip archive, not an \.xlsx"):
        open_chart(path)


def test_a_formula_gives_its_saved_value_and_one_without_is_listed(tmp_path):
    path = tmp_path / "a.xlsx"
    book = Workbook()
    sheet = book.active
    for cells in (["Dn", "Dist", "Play"], [1, "=5+5", "Power"], [2, 5, "Iso"], [3, "=1+1", "Duo"]):
        sheet.append(cells)
    book.save(path)

    def with_value(name, data):
        return data.replace(b"<f>5+5</f><v />", b"<f>5+5</f><v>10</v>").replace(
            b"<f>5+5</f><v/>", b"<f>5+5</f><v>10</v>"
        )

    chart = open_chart(repacked(path, with_value))
    assert [row.cells for row in rows_of(chart)] == [("1", "10", "Power"), ("2", "5", "Iso")]
    (unsaved,) = refused(chart)
    assert "without a saved value in cell B4" in unsaved.reason
    assert any("formulas" in note for note in chart.notes)


def test_the_named_sheet_is_read_and_an_unknown_one_refused(tmp_path):
    path = tmp_path / "a.xlsx"
    book = Workbook()
    book.active.title = "Cover"
    for title in ("Week 1", "Week 2"):
        sheet = book.create_sheet(title)
        sheet.append(["Dn", "Play"])
        sheet.append([1, title])
    book.save(path)
    assert open_chart(path).sheet == "Week 1"
    assert next(open_chart(path, sheet="Week 2").rows()).cells == ("1", "Week 2")
    with pytest.raises(ChartError, match="no sheet “Week 9”"):
        open_chart(path, sheet="Week 9")


def test_a_stray_cell_far_away_does_not_stop_the_reading(tmp_path):
    path = tmp_path / "a.xlsx"
    book = Workbook()
    sheet = book.active
    sheet.append(["Dn", "Play"])
    sheet.append([1, "Power"])
    sheet.cell(1_048_576, 1, "x")
    book.save(path)
    assert len(list(open_chart(path).rows())) == 1


def test_memory_stays_flat_while_streaming(tmp_path):
    def peak(rows):
        path = write_csv(tmp_path / f"{rows}.csv", season(rows))
        tracemalloc.start()
        count = sum(1 for _ in open_chart(path).rows())
        top = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        assert count == rows
        return top

    assert peak(20_000) < peak(1_000) + 1_500_000
