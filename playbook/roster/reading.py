"""A roster file or typed lines as men: what each row says, and which cells cannot be read."""

from __future__ import annotations

import csv
import io
import re
import tempfile
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path

from playbook.charts import reading
from playbook.charts.errors import ChartError
from playbook.models import Position

MAX_MEN = 500
MAX_TEXT = 200_000  # characters of typed lines


class RosterError(ValueError):
    """A roster that cannot be used at all; the text says what was expected."""


@dataclass(frozen=True, slots=True)
class Line:
    """One man as his row says. `read` holds the fields that stand in the row, `doubts` why a cell was left out.

    `positions` is none where the row says nothing of them. Times are in seconds.
    """

    line: int
    first_name: str
    last_name: str
    read: dict[str, object] = field(default_factory=dict)
    positions: tuple[Position, ...] | None = None
    doubts: tuple[str, ...] = ()


def read_upload(blocks: Iterable[bytes]) -> str:
    """Returns a CSV or XLSX file as lines that can be mended on the page. Raises RosterError."""
    with _kept(blocks) as path, _said_of_a_roster():
        table = reading.open_chart(path, HEADERS)
        rows = [row.cells for row in table.rows()]
    return "\n".join("\t".join(map(_one_line, cells)) for cells in [table.headers, *rows])


def read_lines(text: str, positions: Iterable[Position]) -> list[Line]:
    """Returns the men of typed or pasted lines; without a header they are number, name, positions, class, 10, 40.

    Raises RosterError when there is no man in them.
    """
    if len(text) > MAX_TEXT:
        raise RosterError(
            f"These are {len(text):,} characters; at most {MAX_TEXT:,} are read. Take in a part at a time."
        )
    first = next((line for line in text.splitlines() if line.strip()), "")
    if not first:
        raise RosterError("There is nothing to read. Expected one man a line: number, name, positions, class, 10, 40.")
    between = next((mark for mark in "\t;|," if mark in first), ",")
    try:
        lines = csv.reader(io.StringIO(text, newline=""), delimiter=between, skipinitialspace=True)
        rows = [(lines.line_num, [_one_line(cell) for cell in cells]) for cells in lines]
    except csv.Error:
        raise RosterError("A quotation mark opens and does not close. Expected one man a line.") from None
    rows = [(line, cells) for line, cells in rows if any(cells)]
    header = rows[0][1] if any(map(_column_of, rows[0][1])) else None
    columns, words = _columns(header or USUAL), _position_words(positions)
    men = [_man(line, cells, columns, words) for line, cells in rows[header is not None :]]
    if not men:
        raise RosterError("There is a header and no man below it. Expected one man a line.")
    if len(men) > MAX_MEN:
        raise RosterError(f"These are {len(men)} men; at most {MAX_MEN} are taken at once.")
    return men


USUAL = ("Number", "Name", "Positions", "Class", "10 yards", "40 yards")
_KNOWN = {
    "number": "number no num # jersey jerseynumber jerseyno uniform",
    "name": "name player fullname playername",
    "first_name": "first firstname given givenname",
    "last_name": "last lastname surname family familyname",
    "positions": "position positions pos",
    "class_year": "class year yr cl grade eligibility classyear",
    "ten_yd_s": "10 10yd 10yds 10yard 10yards 10s 10split 10yardsplit 10ydsplit",
    "forty_yd_s": "40 40yd 40yds 40yard 40yards 40s 40time 40yarddash 40yddash 40dash",
}
_COLUMNS = {word: column for column, words in _KNOWN.items() for word in words.split()}
HEADERS = frozenset({*_COLUMNS, *(word.lower() for word in USUAL), "first name", "last name", "full name", "jersey #"})


@contextmanager
def _kept(blocks: Iterable[bytes]) -> Iterator[Path]:
    with tempfile.NamedTemporaryFile(prefix="roster-") as file:
        for block in blocks:
            file.write(block)
        file.flush()
        yield Path(file.name)


@contextmanager
def _said_of_a_roster() -> Iterator[None]:
    try:
        yield
    except ChartError as error:
        said = str(error).replace("one row per snap", "one row per man").replace("not a chart", "not a roster")
        raise RosterError(said[:1].upper() + said[1:]) from error


def _one_line(cell: str) -> str:
    return re.sub(r"\s+", " ", cell).strip()


def _column_of(header: str) -> str:
    return _COLUMNS.get(re.sub(r"\W", "", header.casefold().replace("(s)", "")) or header.strip(), "")


def _columns(headers: Sequence[str]) -> dict[str, int]:
    columns: dict[str, int] = {}
    for place, header in enumerate(headers):
        columns.setdefault(_column_of(header), place)
    columns.pop("", None)
    if "name" not in columns and not {"first_name", "last_name"} <= columns.keys():
        told = ", ".join(f"“{header[:30]}”" for header in headers[:8])
        raise RosterError(
            f"No column holds the names. Expected a header “Name”, or “First” and “Last”; there are {told}."
        )
    return columns


def _position_words(positions: Iterable[Position]) -> dict[str, Position]:
    words: dict[str, Position] = {}
    for position in positions:
        for word in (position.label, position.name):
            words.setdefault(word.casefold(), position)
    return words


def _man(line: int, cells: Sequence[str], columns: dict[str, int], words: dict[str, Position]) -> Line:
    def cell(column: str) -> str:
        place = columns.get(column)
        return cells[place] if place is not None and place < len(cells) else ""

    first, last = _names(cell("name")) if "name" in columns else (cell("first_name"), cell("last_name"))
    read: dict[str, object] = {}
    doubts: list[str] = []
    for column, (said, reader) in READERS.items():
        text = cell(column)
        if text:
            found = reader(text)
            if found is None:
                doubts.append(f"expected {said}, got “{text[:40]}”")
            else:
                read[column] = found
    named = [word for word in re.split(r"\s*[,;/&+|]\s*", cell("positions")) if word]
    if len(named) == 1 and named[0].casefold() not in words:
        named = named[0].split()
    known = [words[word.casefold()] for word in named if word.casefold() in words]
    unknown = [word for word in named if word.casefold() not in words]
    if unknown:
        there = ", ".join(dict.fromkeys(position.name for position in words.values()))
        doubts.append(f"no position here is called “{', '.join(unknown)[:60]}”: there are {there}")
    for name, said in ((first, "first"), (last, "last")):
        if len(name) > 60:
            doubts.append(f"the {said} name has more than 60 letters")
    places = tuple(dict.fromkeys(known)) if known else None
    return Line(line, first[:60], last[:60], read, places, tuple(doubts))


def _names(text: str) -> tuple[str, str]:
    if "," in text:
        last, _, first = text.partition(",")
        return first.strip(), last.strip()
    first, _, last = text.partition(" ")
    return first, last.strip()


def _number(text: str) -> int | None:
    found = re.fullmatch(r"#?\s*(\d{1,2})(\.0)?", text)
    return int(found[1]) if found else None


def _class_year(text: str) -> str | None:
    return text if len(text) <= 20 else None


def _time(low: int, high: int) -> Callable[[str], Decimal | None]:
    def read(text: str) -> Decimal | None:
        found = re.fullmatch(r"(\d{1,2})(?:[.,](\d{1,3}))?\s*(?:s|sec)?", text, re.I)
        if not found:
            return None
        seconds = round(Decimal(f"{found[1]}.{found[2] or 0}"), 2)
        return seconds if low <= seconds <= high else None

    return read


READERS: dict[str, tuple[str, Callable[[str], object]]] = {
    "number": ("a number from 0 to 99", _number),
    "class_year": ("a class of at most 20 letters", _class_year),
    "ten_yd_s": ("10 yards in 1 to 4 seconds", _time(1, 4)),
    "forty_yd_s": ("40 yards in 3 to 10 seconds", _time(3, 10)),
}
