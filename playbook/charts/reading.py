"""A charted file (CSV or XLSX) as a header and a stream of rows, each with its line in the file.

Only one row is held at a time. The kind is told from the content, never from the file's name.
"""

from __future__ import annotations

import codecs
import csv
import io
import itertools
import re
import zipfile
from collections import Counter
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from pathlib import Path
from xml.parsers import expat

from openpyxl import load_workbook
from openpyxl.utils import get_column_letter

from .errors import ChartError

MEGABYTE = 1_000_000
MAX_BYTES = 25 * MEGABYTE
MAX_ROWS = 100_000
MAX_COLUMNS = 200
MAX_CELL = 2_000
MAX_HEADER = 120
# A workbook's unpacked size: 20,000 charted rows take about 25 MB, packed ten to thirty times smaller.
MAX_UNPACKED = 200 * MEGABYTE
MAX_SHARED_TEXT = 20 * MEGABYTE
MAX_RATIO = 150
MAX_PARTS = 2_000
MAX_RECORD = MAX_COLUMNS * MAX_CELL  # characters of one row, however many lines it has
MAX_DEEP = 32
MAX_ROW_ELEMENTS = 40_000  # of one row of a sheet: 16,384 columns and what stands in them
MAX_SHEET_ROWS = 1_048_576
MAX_ELEMENTS = 400_000  # of a part, outside the rows of a sheet
HEADER_WITHIN = 15

_DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}
_KNOWN_BINARY = (
    (b"%PDF", "a PDF"),
    (b"\xd0\xcf\x11\xe0", "an old .xls or a password-protected workbook"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"\x1f\x8b", "a gzip archive"),
    (b"7z\xbc\xaf", "a 7z archive"),
    (b"Rar!", "a RAR archive"),
)
_ASK = "Save it as CSV or .xlsx and upload that."


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a chart: its line in the file and its cells as text, one per header; or why it cannot be read."""

    line: int
    cells: tuple[str, ...]
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Chart:
    """A charted file whose header has been read. `rows()` streams the rest, from the start each time."""

    path: Path
    kind: str  # "CSV" or "XLSX"
    headers: tuple[str, ...]
    header_line: int
    encoding: str = ""
    delimiter: str = ""
    sheet: str = ""
    sheets: tuple[str, ...] = ()
    formulas: bool = False
    notes: tuple[str, ...] = field(default=())

    @property
    def described(self) -> str:
        """How the file was read, for people."""
        if self.kind == "XLSX":
            return f"Excel workbook, sheet “{self.sheet}”, header in row {self.header_line}"
        return f"text ({self.encoding}), {_DELIMITERS[self.delimiter]} between cells, header in line {self.header_line}"

    def rows(self) -> Iterator[Row]:
        """Streams the rows below the header that are not blank. Raises ChartError where the file breaks off."""
        source = _xlsx_lines(self) if self.kind == "XLSX" else _csv_lines(self)
        width, taken = len(self.headers), 0
        for line, cells, trouble in source:
            if line <= self.header_line or not any(cells):
                continue
            taken += 1
            if taken > MAX_ROWS:
                raise ChartError(f"the file has more than {MAX_ROWS:,} rows. Split it by game or by season.")
            yield _fit_row(line, cells, width, trouble, strict=self.kind == "CSV")


def open_chart(path: Path, header_words: frozenset[str] = frozenset(), sheet: str = "") -> Chart:
    """Returns the chart in a file, its header read.

    `header_words` are headers one may expect, lower case: they find the header below a title.
    Raises ChartError: too big, binary, damaged, no header, a header twice, a workbook that unpacks too far.
    """
    size = path.stat().st_size
    if size == 0:
        raise ChartError("the file is empty. Expected a header row and one row per snap.")
    if size > MAX_BYTES:
        raise too_big(size)
    with path.open("rb") as file:
        start = file.read(8)
    for magic, what in _KNOWN_BINARY:
        if start.startswith(magic):
            raise ChartError(f"this is {what}, not a chart. {_ASK}")
    if start.startswith((b"PK\x03\x04", b"PK\x05\x06")):
        return _open_xlsx(path, header_words, sheet)
    return _open_csv(path, header_words)


def too_big(size: int) -> ChartError:
    """Returns the error for a file of that many bytes."""
    return ChartError(
        f"the file has {size / MEGABYTE:,.0f} MB; at most {MAX_BYTES // MEGABYTE} MB are read. "
        "A season of charted snaps takes under 5 MB: remove pictures or split the file."
    )


# --- rows and headers, for both kinds ----------------------------------------


def _fit_row(line: int, cells: list[str], width: int, trouble: str, strict: bool) -> Row:
    reason = trouble
    if not reason and len(cells) > width and any(cells[width:]):
        reason = f"has {len(cells)} cells where the header has {width}"
    if not reason and strict and len(cells) < width:
        reason = f"has only {len(cells)} cells where the header has {width}: half a row"
    if not reason:
        long = next((cell for cell in cells if len(cell) > MAX_CELL), None)
        reason = f"has a cell of {len(long):,} characters; at most {MAX_CELL:,} are read" if long else ""
    padded = [*cells[:width], *[""] * (width - len(cells))]
    return Row(line, tuple(cell[:MAX_CELL] for cell in padded), reason)


def _find_header(first_lines: list[tuple[int, list[str]]], words: frozenset[str]) -> tuple[int, tuple[str, ...]]:
    filled = [(line, cells) for line, cells in first_lines if any(cells)][:HEADER_WITHIN]
    if not filled:
        raise ChartError("the file has no rows. Expected a header row and one row per snap.")

    def known(cells: list[str]) -> int:
        return sum(cell.casefold() in words for cell in cells)

    best = max(filled, key=lambda item: (known(item[1]), -item[0]))
    line, cells = best if known(best[1]) >= 2 else filled[0]
    cells = [" ".join(cell.split())[:MAX_HEADER] for cell in cells]
    while cells and not cells[-1]:
        cells.pop()
    if len(cells) < 2:
        raise ChartError(
            f"line {line} holds only “{cells[0][:60]}”. Expected a header row such as “Down, Distance, Formation, "
            "Play”, with comma, semicolon or tab between the cells."
        )
    if len(cells) > MAX_COLUMNS:
        raise ChartError(f"the header has {len(cells)} columns; at most {MAX_COLUMNS} are read.")
    _refuse_twice(cells)
    return line, tuple(cell or f"column {number}" for number, cell in enumerate(cells, 1))


def _refuse_twice(cells: list[str]) -> None:
    seen: dict[str, int] = {}
    for number, cell in enumerate(cells, 1):
        key = " ".join(cell.casefold().split())
        if key and key in seen:
            raise ChartError(
                f"the header “{cell}” stands twice, in columns {seen[key]} and {number}. Give each column its own name."
            )
        seen[key] = number


# --- text files ----------------------------------------


def _open_csv(path: Path, words: frozenset[str]) -> Chart:
    encoding = _encoding_of(path)
    with path.open(encoding=encoding, newline="") as file:
        sample = file.read(64_000)
    delimiter = _delimiter_of(sample)
    chart = Chart(path, "CSV", (), 0, encoding, delimiter)
    first: list[tuple[int, list[str]]] = []
    for line, cells, trouble in _csv_lines(chart):
        if trouble and not any(any(cells) for _, cells in first):
            raise ChartError(f"line {line} {trouble}.")
        if not trouble:
            first.append((line, cells))
        if len(first) >= HEADER_WITHIN:
            break
    line, headers = _find_header(first, words)
    return Chart(path, "CSV", headers, line, encoding, delimiter)


def _encoding_of(path: Path) -> str:
    """Returns the encoding of a text file, after decoding all of it. Raises ChartError when it is not text."""
    with path.open("rb") as file:
        start = file.read(4_096)
    if start.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        guesses = ["utf-16"]
    elif start.startswith(codecs.BOM_UTF8):
        guesses = ["utf-8-sig"]
    else:
        even, odd, mostly = start[0::2].count(0), start[1::2].count(0), len(start) // 4
        wide = ["utf-16-le"] if odd > mostly > even else ["utf-16-be"] if even > mostly > odd else []
        guesses = wide or ["utf-8", "cp1252"]
    for guess in guesses:
        if _decodes(path, guess):
            return guess
    raise ChartError(f"the file is not text (binary, or an encoding other than UTF-8, UTF-16 and Windows). {_ASK}")


_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1b\x1e\x1f\x7f]")


def _decodes(path: Path, encoding: str) -> bool:
    decoder = codecs.getincrementaldecoder(encoding)()
    controls = total = 0
    try:
        with path.open("rb") as file:
            while block := file.read(1 << 18):
                text = decoder.decode(block)
                total += len(text)
                controls += len(_CONTROL.findall(text))
        decoder.decode(b"", final=True)
    except UnicodeDecodeError:
        return False
    # A stray control character is a slip of the keyboard and stays in its cell; more of them are no text.
    return controls <= max(2, total // 2_000)


def _delimiter_of(sample: str) -> str:
    """Returns the character between cells: the one that cuts the first lines into the most, most even columns."""
    told = re.match(r"﻿?sep=(.)\r?\n", sample)
    if told and told[1] in _DELIMITERS:
        return told[1]
    best, best_score = ",", (0.0, 0)
    for delimiter in _DELIMITERS:
        try:
            rows = list(itertools.islice(csv.reader(io.StringIO(sample, newline=""), delimiter=delimiter), 60))
        except csv.Error:
            continue
        widths = Counter(len(row) for row in rows if any(row))
        if not widths:
            continue
        width, often = max(widths.items(), key=lambda item: (item[1] * (item[0] > 1), item[0]))
        score = (often / widths.total() if width > 1 else 0.0, width)
        if score[0] * (score[1] - 1) > best_score[0] * (best_score[1] - 1):
            best, best_score = delimiter, score
    return best


def _csv_lines(chart: Chart) -> Iterator[tuple[int, list[str], str]]:
    with chart.path.open(encoding=chart.encoding, newline="") as file:
        lines = _Lines(file)
        reader = csv.reader(lines, delimiter=chart.delimiter, strict=True)
        while True:
            line = reader.line_num + 1
            lines.begin(line)
            try:
                cells = next(reader, None)
            except csv.Error as error:
                swallowed = f" (lines {line} to {reader.line_num})" if reader.line_num > line else ""
                yield line, ["?"], _csv_trouble(str(error)) + swallowed
                if reader.line_num < line or "unexpected end" in str(error):
                    return
                continue
            if cells is None:
                return
            if line == 1 and len(cells) <= 2 and cells and re.fullmatch(r"﻿?sep=.?", cells[0]):
                continue
            yield line, [_clean(cell) for cell in cells], ""


class _Lines:
    """The lines of a text file without NUL characters, as long as those of one row are not too long together."""

    def __init__(self, file: io.TextIOBase) -> None:
        self.file, self.line, self.read = file, 1, 0

    def begin(self, line: int) -> None:
        """A row begins."""
        self.line, self.read = line, 0

    def __iter__(self) -> _Lines:
        return self

    def __next__(self) -> str:
        text = self.file.readline(MAX_RECORD + 1)
        self.read += len(text)
        if self.read > MAX_RECORD:
            raise ChartError(
                f"the row in line {self.line} has more than {MAX_RECORD:,} characters. No charted snap has."
            )
        if not text:
            raise StopIteration
        return text.replace("\0", "")


def _csv_trouble(error: str) -> str:
    if "unexpected end" in error:
        return "opens a quotation mark that never closes: the file breaks off here"
    if "field larger" in error:
        return "opens a quotation mark that does not close for more than 130,000 characters"
    return "has text right after a closing quotation mark; write a quotation mark inside quotes twice"


def _clean(cell: str) -> str:
    return _CONTROL.sub("", cell.replace(" ", " ").replace("﻿", "")).strip()


# --- workbooks ----------------------------------------


def _open_xlsx(path: Path, words: frozenset[str], sheet: str) -> Chart:
    formulas = _guard_workbook(path)
    with _workbook(path) as book:
        names = [name for name in book.sheetnames if book[name].__class__.__name__ != "Chartsheet"]
        visible = [name for name in names if getattr(book[name], "sheet_state", "visible") == "visible"]
    if sheet and sheet not in names:
        raise ChartError(f"the workbook has no sheet “{sheet}”. It has: {', '.join(names)}.")
    candidates = [sheet] if sheet else visible or names
    if not candidates:
        raise ChartError("the workbook has no sheet with cells.")
    first: list[tuple[int, list[str]]] = []
    chosen = candidates[0]
    for chosen in candidates:
        chart = Chart(path, "XLSX", (), 0, sheet=chosen)
        first = [(line, cells) for line, cells, _ in itertools.islice(_xlsx_lines(chart), HEADER_WITHIN)]
        if any(any(cells) for _, cells in first):
            break
    line, headers = _find_header(first, words)
    notes = []
    if formulas:
        notes.append("The workbook has formulas: their saved values are read, the formulas themselves are not kept.")
    if len(visible) > 1 and not sheet:
        notes.append(f"The workbook has {len(visible)} sheets; “{chosen}” is read.")
    return Chart(path, "XLSX", headers, line, sheet=chosen, sheets=tuple(names), formulas=formulas, notes=tuple(notes))


def _guard_workbook(path: Path) -> bool:
    """Returns whether the workbook has formulas. Raises ChartError when unpacking it would not be safe."""
    try:
        with zipfile.ZipFile(path) as archive:
            parts = archive.infolist()
            names = {part.filename for part in parts}
            if "xl/workbook.xml" not in names and not any(name.startswith("xl/") for name in names):
                raise ChartError(f"this is a zip archive, not an .xlsx workbook. {_ASK}")
            _refuse_bomb(parts, path.stat().st_size)
            found = [_scan_part(archive, part) for part in parts if part.filename.endswith((".xml", ".rels"))]
            return any(found)
    except (
        zipfile.BadZipFile,
        EOFError,
        OSError,
        NotImplementedError,
        RuntimeError,
        zipfile.zlib.error,
    ) as error:
        raise ChartError(
            f"the workbook is damaged or cut off ({error}). Open it, save it again, and upload that."
        ) from error


def _refuse_bomb(parts: list[zipfile.ZipInfo], size: int) -> None:
    unpacked = sum(part.file_size for part in parts)
    if len(parts) > MAX_PARTS:
        raise ChartError(f"the workbook has {len(parts):,} parts; at most {MAX_PARTS:,} are read.")
    if unpacked > MAX_UNPACKED:
        raise ChartError(
            f"the workbook unpacks to {unpacked / MEGABYTE:,.0f} MB; at most {MAX_UNPACKED // MEGABYTE} MB are read. "
            "It was not unpacked."
        )
    if unpacked > 10 * MEGABYTE and unpacked > MAX_RATIO * size:
        raise ChartError(
            f"the workbook unpacks to {unpacked // size} times its size; no chart does (limit {MAX_RATIO}). "
            "It was not unpacked."
        )
    for part in parts:
        if part.filename.endswith("sharedStrings.xml") and part.file_size > MAX_SHARED_TEXT:
            raise ChartError("the workbook holds too much text for a chart. Keep only the charted sheet.")
        if part.flag_bits & 1:
            raise ChartError("the workbook is locked with a password. Save it without one.")


def _scan_part(archive: zipfile.ZipFile, part: zipfile.ZipInfo) -> bool:
    """Returns whether a part holds formulas; reads it once, so a damaged part is found here.

    The reader builds every element that is not in a row and keeps it, so they are counted first.
    """
    sheet, found, tail = "worksheets/" in part.filename, False, b""
    shape = _Shape(sheet)
    with archive.open(part) as file:
        while block := file.read(1 << 18):
            window = tail + block
            if b"<!DOCTYPE" in window or b"<!ENTITY" in window:
                raise ChartError(
                    "the workbook defines XML entities, which no spreadsheet program writes. It was not read."
                )
            shape.feed(block)
            found = found or (sheet and (b"<f>" in window or b"<f " in window or b"<f/>" in window))
            tail = window[-16:]
    return found


class _Shape:
    """Measures a part's XML as it comes. Raises ChartError when no spreadsheet program makes such a part."""

    def __init__(self, sheet: bool) -> None:
        self.sheet, self.deep, self.rows, self.inside, self.outside, self.row_at = sheet, 0, 0, 0, 0, 0
        self.parser = expat.ParserCreate()
        self.parser.StartElementHandler = self._start
        self.parser.EndElementHandler = self._end

    def feed(self, block: bytes) -> None:
        """Takes the next bytes."""
        if len(block) > 200_000 and b">" not in block:
            raise self._refusal("a piece without an end")
        try:
            self.parser.Parse(block, False)
        except expat.ExpatError as error:
            raise ChartError(f"the workbook is damaged ({error}). Open it, save it again, and upload that.") from error

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        self.deep += 1
        if self.deep > MAX_DEEP:
            raise self._refusal(f"elements more than {MAX_DEEP} deep")
        if self.row_at:
            self.inside += 1
        elif self.sheet and name.rpartition(":")[2] == "row":
            self.row_at, self.inside = self.deep, 0
            self.rows += 1
        else:
            self.outside += 1
        if self.inside > MAX_ROW_ELEMENTS or self.outside > MAX_ELEMENTS or self.rows > MAX_SHEET_ROWS:
            raise self._refusal("more elements than a sheet has")

    def _end(self, name: str) -> None:
        if self.deep == self.row_at:
            self.row_at = 0
        self.deep -= 1

    @staticmethod
    def _refusal(what: str) -> ChartError:
        return ChartError(f"the workbook has {what}, which no spreadsheet program writes. It was not read.")


@contextmanager
def _workbook(path: Path, values: bool = True):  # openpyxl ships no types
    with path.open("rb") as file:
        try:
            book = load_workbook(file, read_only=True, data_only=values, keep_links=False)
        except Exception as error:  # the reader raises whatever its parts do: KeyError, ParseError, InvalidFile, ...
            raise ChartError(
                f"the workbook cannot be read ({error.__class__.__name__}: {error}). Open it, save it again."
            ) from error
        try:
            yield book
        finally:
            book.close()


def _xlsx_lines(chart: Chart) -> Iterator[tuple[int, list[str], str]]:
    with ExitStack() as books:
        values = _sheet_rows(books.enter_context(_workbook(chart.path)), chart.sheet)
        written: Iterator[tuple] = itertools.repeat(())
        if chart.formulas:
            written = _sheet_rows(books.enter_context(_workbook(chart.path, values=False)), chart.sheet)
        for line in itertools.count(1):
            try:
                cells, originals = next(values, None), next(written, ())
            except Exception as error:  # see _workbook
                raise ChartError(
                    f"the workbook breaks off ({error.__class__.__name__}: {error}). Open it, save it again."
                ) from error
            if cells is None:
                return
            yield line, [_as_text(value) for value in cells], _unsaved_formula(line, cells, originals)


def _sheet_rows(book, sheet: str) -> Iterator[tuple]:
    work = book[sheet]
    work.reset_dimensions()
    # No `max_col`: it would pad every row to that width, which takes as long as reading it.
    rows = work.iter_rows(max_row=2 * MAX_ROWS, values_only=True)
    return (row[: MAX_COLUMNS + 1] for row in rows)


def _unsaved_formula(line: int, cells: tuple, originals: tuple) -> str:
    for number, (value, original) in enumerate(zip(cells, originals, strict=False), 1):
        if value is None and isinstance(original, str) and original.startswith("="):
            cell = f"{get_column_letter(number)}{line}"
            return f"has a formula without a saved value in cell {cell}; save the file once in a spreadsheet program"
    return ""


def _as_text(value: object) -> str:
    """Returns a cell's value as the staff see it."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() else repr(value)
    if isinstance(value, datetime):
        return value.strftime("%Y-%m-%d" if value.time() == time() else "%Y-%m-%d %H:%M:%S")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, time):
        return value.strftime("%H:%M:%S")
    if isinstance(value, timedelta):
        seconds = int(value.total_seconds())
        return f"{seconds // 3600}:{seconds // 60 % 60:02}:{seconds % 60:02}"
    return _clean(str(value))


def estimate_rows(path: Path) -> int:
    """Returns about how many rows a file has, quickly: for a progress bar, not for counting."""
    with path.open("rb") as file:
        if file.read(2) != b"PK":
            file.seek(0)
            return sum(block.count(b"\n") for block in iter(lambda: file.read(1 << 18), b""))
    with zipfile.ZipFile(path) as archive:
        sheets = [part for part in archive.infolist() if "worksheets/" in part.filename]
        return max((_count_in(archive, part, b"<row ") for part in sheets), default=0)


def _count_in(archive: zipfile.ZipFile, part: zipfile.ZipInfo, mark: bytes) -> int:
    with archive.open(part) as file:
        return sum(block.count(mark) for block in iter(lambda: file.read(1 << 18), b""))
