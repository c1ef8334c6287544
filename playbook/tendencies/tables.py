"""One kind of table for every report: what its columns hold, and the same rows for the page, CSV and workbooks."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from enum import Enum

from openpyxl import Workbook

from playbook.charts.cells import csv_lines, plain_cell

from .counting import Share


class Kind(Enum):
    """What a column holds."""

    TEXT = "text"
    NUMBER = "number"
    SHARE = "share"
    SHARES = "shares"  # several, each with its name
    HEAT = "heat"  # a number shaded by how large it is in its table

    @property
    def right(self) -> bool:
        """Whether it stands at the right of its column."""
        return self in (Kind.NUMBER, Kind.HEAT)


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its heading and what it holds."""

    label: str
    kind: Kind = Kind.TEXT


@dataclass(frozen=True, slots=True)
class Cell:
    """What stands in a row under a column; `shade` is 0 to 4."""

    column: Column
    value: object
    shade: int = 0


@dataclass(frozen=True, slots=True)
class Row:
    """A line of a table: its label, its values in the order of the columns, what stands under the label."""

    label: str
    values: Sequence[object]
    section: str = ""
    under: str = ""
    small: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """A report as it is shown and taken away. `head` is the heading over the labels."""

    name: str
    label: str
    head: str
    columns: Sequence[Column]
    rows: Sequence[Row]
    note: str = ""
    section_head: str = field(default="Part")

    def lines(self) -> Iterator[tuple[str, Row, list[Cell]]]:
        """Yields the rows with their cells; the section stands with the first row of it."""
        most = max((v for row in self.rows for v in self._heat(row)), default=0)
        before = ""
        for row in self.rows:
            pairs = zip(self.columns, row.values, strict=True)
            yield (
                row.section if row.section != before else "",
                row,
                [Cell(column, value, _shade(column, value, most)) for column, value in pairs],
            )
            before = row.section

    def _heat(self, row: Row) -> list[int]:
        pairs = zip(self.columns, row.values, strict=True)
        return [v for column, v in pairs if column.kind is Kind.HEAT and isinstance(v, int)]

    @property
    def sections(self) -> bool:
        """Whether its rows are in sections."""
        return any(row.section for row in self.rows)

    def flat(self) -> tuple[list[str], list[list[object]]]:
        """Returns headings and rows of single values: a share is its per cent, its count and of how many."""
        heads = [self.section_head] if self.sections else []
        heads.append(self.head)
        for column in self.columns:
            share = column.kind is Kind.SHARE
            heads += [f"{column.label} %", f"{column.label} n", f"{column.label} of"] if share else [column.label]
        return heads, [self._flat_row(row) for row in self.rows]

    def _flat_row(self, row: Row) -> list[object]:
        found: list[object] = [row.section] if self.sections else []
        found.append(row.label)
        for column, value in zip(self.columns, row.values, strict=True):
            if isinstance(value, Share):
                found += [round(100 * value.value, 1) if value.n else None, value.hits, value.n]
            elif column.kind is Kind.SHARES and isinstance(value, (list, tuple)):
                found.append("; ".join(f"{name} {share.hits} of {share.n}" for name, share in value))
            else:
                found.append(value)
        return found


def _shade(column: Column, value: object, most: int) -> int:
    return min(4, 1 + int(4 * value / most)) if column.kind is Kind.HEAT and isinstance(value, int) and value else 0


def as_csv(tables: Sequence[Table], said: str) -> Iterator[str]:
    """Streams tables as CSV, one below the other, no cell a live formula; `said` is what was counted, in a line."""
    lines: list[list[object]] = []
    for table in tables:
        heads, rows = table.flat()
        lines += [[], *([[f"{table.label}: {said}"]]), list(heads), *rows]
    return csv_lines(lines[1] if lines else [said], lines[2:])


def as_workbook(tables: Sequence[Table], said: str) -> bytes:
    """Returns tables as an Excel workbook, a sheet each, no cell of it a live formula."""
    book = Workbook(write_only=True)
    for table in tables:
        sheet = book.create_sheet(table.label[:31])
        heads, rows = table.flat()
        for row in ([f"{table.label}: {said}"], heads, *rows):
            sheet.append([plain_cell(cell) for cell in row])
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()
