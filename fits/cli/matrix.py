"""Derives every look of a choice of calls, formations and concepts, as JSON lines or CSV."""

from __future__ import annotations

import argparse
import csv
import io
import json
import sys
import time
from collections.abc import Mapping
from fnmatch import fnmatchcase
from typing import Any, TypeVar

from fits.cli.files import extend_library
from fits.cli.request import (
    add_play_arguments,
    read_book,
    read_hash,
    read_motion,
    read_options,
    read_side,
    read_yard_line,
)
from fits.derive.look import Look
from fits.errors import BadRequest, UnknownName
from fits.field import SIDES, Side
from fits.library import Library, load_library
from fits.matrix import NotRun, Span
from fits.notation.look_json import look_json
from fits.processes import map_matrix

T = TypeVar("T")
COLUMNS = (
    "call", "formation", "flip", "hash", "motion", "options", "concept", "to", "sound", "findings", "reason", "band",
    "pressure",
)  # fmt: skip
DIRECTIONS = (*SIDES, "both", "own")
FLIPS: Mapping[str, tuple[bool, ...]] = {"no": (False,), "yes": (True,), "both": (False, True)}
MOST_JOBS = 64


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """What is chosen, and how it is written."""
    for noun in ("call", "formation", "concept"):
        parser.add_argument(
            f"--{noun}s", action="append", default=[], metavar="PATTERN",
            help=f"{noun}s by name, * and ? allowed, commas or repeats for more; default all",
        )  # fmt: skip
    parser.add_argument(
        "--to", default="both", metavar="SIDE", help="left, right, both (default) or own: the concept's own rule"
    )
    parser.add_argument("--flip", default="both", metavar="WHICH", help="no, yes or both (default)")
    parser.add_argument(
        "--hash",
        action="append",
        default=[],
        metavar="HASH",
        dest="hashes",
        help="left, middle (default) or right; repeatable",
    )
    add_play_arguments(parser)
    parser.add_argument("--csv", action="store_true", help="one short row a look instead of one JSON object a line")
    parser.add_argument("--short", action="store_true", help="JSON lines with the columns of the CSV only")
    parser.add_argument("--jobs", default="1", metavar="N", help="processes (default 1)")


def run(args: argparse.Namespace) -> None:
    """Writes the rows, with a progress bar on a terminal. Raises FitsError."""
    study, jobs = read_study(args), _count(args.jobs)
    row = csv_row if args.csv else short_row if args.short else json_row
    bar = Bar(study.size)
    if args.csv:
        sys.stdout.write(_csv(COLUMNS))
    try:
        for batch in map_matrix(study, row, jobs):
            sys.stdout.write(batch.text)
            bar.add(batch.rows)
    finally:
        bar.close()


def read_study(args: argparse.Namespace) -> Span:
    """What those arguments choose. Raises FitsError."""
    library = extend_library(load_library(), args.files)
    if args.to not in DIRECTIONS:
        raise BadRequest(f"direction: expected left, right, both or own, got {args.to!r}")
    if args.flip not in FLIPS:
        raise BadRequest(f"flip: expected no, yes or both, got {args.flip!r}")
    to: tuple[Side | None, ...] = tuple(SIDES.values())
    if args.to != "both":
        to = (None,) if args.to == "own" else (read_side(args.to),)
    return Span(
        choose("call", args.calls, library.calls), choose("formation", args.formations, library.formations),
        choose("concept", args.concepts, library.concepts), to, FLIPS[args.flip],
        tuple(read_hash(word) for word in dict.fromkeys(args.hashes or ["middle"])),
        read_motion(library, args.motion), read_options(library, args.options), book=read_book(args.book),
        yard_line=read_yard_line(args.yard_line), pressure=_known(args.pressure, library),
    )  # fmt: skip


def _known(pressure: str | None, library: Library) -> str | None:
    """The name again, when any system has a pressure of it. Raises UnknownName."""
    if pressure is not None and pressure not in library.pressures:
        raise UnknownName("pressure", pressure, library.pressures)
    return pressure


def choose(noun: str, patterns: list[str], table: Mapping[str, T]) -> tuple[T, ...]:
    """Values whose names match any pattern, in the table's order. Raises UnknownName when a pattern matches none."""
    wanted = [p.strip() for item in patterns for p in item.split(",")]
    for pattern in wanted:
        if not any(fnmatchcase(name, pattern) for name in table):
            raise UnknownName(noun, pattern, table)
    return tuple(v for name, v in table.items() if not wanted or any(fnmatchcase(name, p) for p in wanted))


def _count(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= MOST_JOBS):
        raise BadRequest(f"jobs: expected a number from 1 to {MOST_JOBS}, got {text!r}")
    return int(text)


def short_form(made: Look | NotRun) -> dict[str, Any]:
    """One row of the table: a look's verdict, or why there is none."""
    look = made if isinstance(made, Look) else None
    return {
        "call": made.call, "formation": made.formation, "flip": made.flip, "hash": made.hash.value,
        "motion": made.motion, "options": list(made.options),
        "concept": made.concept, "to": made.to.word if made.to else None,
        "sound": look.sound if look else None, "findings": [f.code for f in look.findings] if look else [],
        "reason": None if isinstance(made, Look) else made.reason, "band": look.band if look else None,
        "pressure": made.pressure,
    }  # fmt: skip


def json_row(made: Look | NotRun) -> str:
    """A whole look as one line of JSON; the short form with its reason where there is no look."""
    return json.dumps(look_json(made) if isinstance(made, Look) else short_form(made), ensure_ascii=False) + "\n"


def short_row(made: Look | NotRun) -> str:
    """The short form as one line of JSON."""
    return json.dumps(short_form(made), ensure_ascii=False) + "\n"


def csv_row(made: Look | NotRun) -> str:
    """The short form as one line of CSV; lists are joined by spaces."""
    return _csv([_cell(value) for value in short_form(made).values()])


def _cell(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return " ".join(value)
    return "" if value is None else str(value)


def _csv(cells: Any) -> str:
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerow(cells)
    return out.getvalue()


class Bar:
    """A progress bar on the error stream, only when that is a terminal."""

    def __init__(self, total: int) -> None:
        self.total, self.done, self.shown = total, 0, 0.0
        self.on = sys.stderr.isatty()

    def add(self, rows: int) -> None:
        """That many more are done."""
        self.done += rows
        now = time.monotonic()
        if self.on and (now - self.shown > 0.1 or self.done >= self.total):
            self.shown = now
            filled = 30 * self.done // max(self.total, 1)
            sys.stderr.write(f"\r[{'#' * filled}{'.' * (30 - filled)}] {self.done} of {self.total} looks")
            sys.stderr.flush()

    def close(self) -> None:
        """Leaves the terminal's line clean."""
        if self.on:
            sys.stderr.write("\n")
