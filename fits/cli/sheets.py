"""Draws contact sheets: for each system and concept one page of every formation, to read the blocks."""

from __future__ import annotations

import argparse
from pathlib import Path

from fits.cli.files import extend_library
from fits.cli.matrix import choose
from fits.cli.request import add_play_arguments, read_book, read_motion, read_options, read_side
from fits.errors import BadRequest
from fits.field import SIDES
from fits.library import load_library
from fits.matrix import NotRun, derive_matrix


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """What is chosen, and where the sheets go."""
    for noun in ("system", "call", "formation", "concept"):
        parser.add_argument(
            f"--{noun}", action="append", default=[], metavar="PATTERN", dest=f"{noun}s",
            help=f"{noun}s by name, * and ? allowed, commas or repeats for more; default "
            + ("each system's first call" if noun == "call" else "all"),
        )  # fmt: skip
    parser.add_argument("--to", metavar="SIDE", help="left or right; without it the concept's own rule decides")
    parser.add_argument("--flip", action="store_true", help="mirror the formations")
    add_play_arguments(parser)
    parser.add_argument("--columns", default="4", metavar="N", help="looks beside each other (default 4)")
    parser.add_argument("--per-sheet", metavar="N", help="looks on one sheet (default all)")
    parser.add_argument("--out", type=Path, required=True, metavar="DIR", help="the folder the sheets are written to")


def run(args: argparse.Namespace) -> None:
    """Writes the sheets and prints their names. Raises FitsError, OSError."""
    from fits.draw.sheet import Missing, draw_sheet  # slow to import, and nothing else needs it

    library = extend_library(load_library(), args.files)
    systems = choose("system", args.systems, library.systems)
    calls = [next(iter(s.calls().values())) for s in systems]
    if args.calls:
        names = {s.name for s in systems}
        calls = [c for c in choose("call", args.calls, library.calls) if c.system in names]
    if args.to is not None and args.to not in SIDES:
        raise BadRequest(f"direction: expected left or right, got {args.to!r}")
    to = None if args.to is None else read_side(args.to)
    columns = _number("columns", args.columns, 8)
    formations = choose("formation", args.formations, library.formations)
    most = len(formations) if args.per_sheet is None else _number("per-sheet", args.per_sheet, 1000)
    args.out.mkdir(parents=True, exist_ok=True)
    options = read_options(library, args.options)
    motion, book = read_motion(library, args.motion), read_book(args.book)
    for call in calls:
        for concept in choose("concept", args.concepts, library.concepts):
            rows = derive_matrix(
                (call,), formations, (concept,), to=(to,), flips=(args.flip,), motion=motion, options=options,
                book=book,
            )  # fmt: skip
            made = [Missing(row.formation, row.reason) if isinstance(row, NotRun) else row for row in rows]
            parts = range(0, len(made), most)
            for n, start in enumerate(parts, 1):
                extras = [concept.label, *(o.label for o in options), *((f"{motion.name} motion",) if motion else ())]
                title = f"{', '.join(extras)} against {call.front.label}, {call.coverage.label} ({call.name})"
                part = f"-{n}" if len(parts) > 1 else ""
                path = args.out / f"{call.name}--{concept.name}{part}.svg"
                path.write_text(draw_sheet(title, made[start : start + most], columns) + "\n", encoding="utf-8")
                print(path)


def _number(what: str, text: str, most: int) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= most):
        raise BadRequest(f"{what}: expected a number from 1 to {most}, got {text!r}")
    return int(text)
