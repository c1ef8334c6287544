"""Charts that no program writes: refused before they cost time or memory."""

from __future__ import annotations

import time
import tracemalloc
import zipfile

import pytest

from playbook.charts import reading
from playbook.charts.errors import ChartError

SECONDS, MEGABYTES = 20, 40
HEAD = "Formation,Play,R/P\n"
SHEET = (
    '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>{}</sheetData></worksheet>'
)
CELL = '<c r="{}1" t="inlineStr"><is><t>{}</t></is></c>'
ROW = f'<row r="1">{CELL.format("A", "Formation")}{CELL.format("B", "Play")}</row>'
ROWS = 450_000


def read(path):
    """Seconds, megabytes at the most, and what was said."""
    tracemalloc.start()
    started, said = time.process_time(), ""
    try:
        for _ in reading.open_chart(path).rows():
            pass
    except ChartError as error:
        said = str(error)
    seconds = time.process_time() - started
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    return seconds, peak / 1_000_000, said


CSV = {
    "one line of cells": HEAD + "," * 6_000_000,
    "one row over many lines": HEAD + '"\n",' * 1_500_000,
    "one cell": HEAD + '"' + "x" * 6_000_000,
    "a header of cells": "," * 6_000_000,
    "short rows": HEAD + "a\n" * 3_000_000,
}


@pytest.mark.parametrize("name", CSV)
def test_text_files(tmp_path, name):
    path = tmp_path / "chart.csv"
    path.write_text(CSV[name])
    seconds, megabytes, said = read(path)
    assert said
    assert len(said) < 400
    assert seconds < SECONDS and megabytes < MEGABYTES, (seconds, megabytes)


def workbook(path, sheet, **parts):
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as book:
        book.writestr(
            "[Content_Types].xml",
            '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" '
            'ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Override PartName="/xl/workbook'
            '.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/>'
            '<Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.openxmlformats-'
            'officedocument.spreadsheetml.worksheet+xml"/></Types>',
        )
        relations = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
        book.writestr(
            "_rels/.rels",
            '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship '
            f'Id="rId1" Type="{relations}/officeDocument" Target="xl/workbook.xml"/></Relationships>',
        )
        book.writestr(
            "xl/_rels/workbook.xml.rels",
            '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship '
            f'Id="rId1" Type="{relations}/worksheet" Target="worksheets/sheet1.xml"/></Relationships>',
        )
        book.writestr(
            "xl/workbook.xml",
            f'<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="{relations}">'
            '<sheets><sheet name="Snaps" sheetId="1" r:id="rId1"/></sheets></workbook>',
        )
        book.writestr("xl/worksheets/sheet1.xml", SHEET.format(sheet))
        for name, text in parts.items():
            book.writestr(name, text)
    return path


def varied(count, piece):
    """Pieces that pack less well than one repeated, so that the ratio of the archive does not refuse them first."""
    return "".join(piece.format(n * 2_654_435_761 % 4_294_967_296) for n in range(count))


XLSX = {
    "elements outside the rows": ROW + varied(ROWS, '<x a="{}"/>'),
    "elements within elements": ROW + varied(ROWS // 4, '<x a="{}">'),
    "one row of cells": f'{ROW}<row r="2">' + varied(ROWS // 4, '<c t="{}"/>') + "</row>",
    "one element of attributes": ROW + "<x " + "".join(f'a{n}="{n * 7919 % 99991}" ' for n in range(ROWS)) + "/>",
    "the same row again": ROW + varied(ROWS * 3, '<row r="1" a="{}"/>'),
}


@pytest.mark.parametrize("name", XLSX)
def test_workbooks(tmp_path, name):
    seconds, megabytes, said = read(workbook(tmp_path / "chart.xlsx", XLSX[name]))
    assert said
    assert len(said) < 400
    assert seconds < SECONDS and megabytes < MEGABYTES, (seconds, megabytes)


def test_a_plain_workbook_of_this_kind_is_read(tmp_path):
    row = '<row r="{0}"><c r="A{0}" t="inlineStr"><is><t>Trips</t></is></c><c r="B{0}"><v>1</v></c></row>'
    chart = reading.open_chart(workbook(tmp_path / "chart.xlsx", ROW + "".join(row.format(n) for n in range(2, 50))))
    assert len(list(chart.rows())) == 48


def test_far_cells_do_not_make_rows_wide(tmp_path):
    row = '<row r="{0}"><c r="A{0}" t="inlineStr"><is><t>Trips</t></is></c><c r="XFD{0}"><v>1</v></c></row>'
    path = workbook(tmp_path / "chart.xlsx", ROW + "".join(row.format(n) for n in range(2, 5_000)))
    seconds, megabytes, _ = read(path)
    assert seconds < SECONDS and megabytes < MEGABYTES, (seconds, megabytes)
