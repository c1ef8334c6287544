"""Prints a position's reading ladder: the fewest reads that give all its fits, in the order of sight."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator

from fits.cli.files import extend_library
from fits.cli.know import add_looks_arguments, read_looks
from fits.know import Ladder, Rung, ladder
from fits.know.answers import FORMATION
from fits.library import load_library
from fits.notation.know_json import ladder_json


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The call, the man, and the looks he must have fits for."""
    parser.add_argument("call", metavar="CALL", help="a defensive call (see: list calls)")
    parser.add_argument("--role", required=True, metavar="ROLE", help="a man or a position of the call")
    add_looks_arguments(parser)
    parser.add_argument("--json", action="store_true", help="one JSON object instead of text for people")


def run(args: argparse.Namespace) -> None:
    """Prints the ladder. Raises FitsError."""
    library = extend_library(load_library(), args.files)
    made = ladder(library.call(args.call), args.role, **read_looks(args, library))  # type: ignore[arg-type]
    print(json.dumps(ladder_json(made), ensure_ascii=False) if args.json else "\n".join(_lines(made)))


def _lines(made: Ladder) -> Iterator[str]:
    men = f" ({', '.join(made.men)})" if made.men != (made.role,) else ""
    yield f"{made.role}{men} in {made.call}: {made.looks} looks, {made.pictures} pictures"
    fewest = "no ladder is shorter" if made.exact else f"no ladder has fewer than {made.bound}"
    yield f"reads ({len(made.reads)}; {fewest}): {', '.join(made.reads) or 'none, always the same'}"
    if made.by_heart:
        yield f"formations to know by name: {', '.join(made.by_heart)}"
    if made.cannot_know:
        yield f"{made.cannot_know:.1%} of his pictures settle no fit and are not on the ladder (see: know)"
    by_heading: dict[str, list[Rung]] = {}
    for rung in made.rungs:
        by_heading.setdefault(_heading(rung), []).append(rung)
    for heading, rungs in by_heading.items():
        yield ""
        if heading:
            yield f"{heading}:"
        yield from (_line(rung, "  " if heading else "") for rung in rungs)


def _heading(rung: Rung) -> str:
    text = ", ".join([read.sees for read in rung.when if read.stage == FORMATION])
    return text[:1].upper() + text[1:]


def _line(rung: Rung, indent: str) -> str:
    sees = ", ".join([read.sees for read in rung.when if read.stage != FORMATION])
    return f"{indent}{rung.share:6.1%}  {sees + ': ' if sees else ''}{rung.then}"
