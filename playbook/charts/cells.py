"""Cells on their way out: text that a spreadsheet program would run as a formula is disarmed."""

from __future__ import annotations

import csv
import io
import itertools
from collections.abc import Iterable, Iterator, Sequence

_LIVE = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def plain_cell(value: object) -> object:
    """Returns a cell that is safe to open: numbers as they are, text never as a live formula.

    >>> plain_cell("=1+1"), plain_cell(" @cmd"), plain_cell(-3), plain_cell("power")
    ("'=1+1", "' @cmd", -3, 'power')
    """
    if value is None:
        return ""
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return value
    text = str(value)
    return f"'{text}" if text.startswith(_LIVE) or text.lstrip().startswith(_LIVE) else text


def csv_lines(header: Sequence[object], rows: Iterable[Sequence[object]]) -> Iterator[str]:
    """Streams a CSV, every cell disarmed; the byte-order mark lets spreadsheet programs read UTF-8."""
    buffer = io.StringIO()
    writer = csv.writer(buffer)
    yield "\ufeff"
    for row in itertools.chain([header], rows):
        writer.writerow([plain_cell(cell) for cell in row])
        yield buffer.getvalue()
        buffer.seek(0)
        buffer.truncate()
