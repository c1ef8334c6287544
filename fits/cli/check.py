"""Checks a file of a staff: a system, or formations, concepts, options and motions."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path

from fits.cli.files import Contents, read_contents
from fits.cli.request import read_book
from fits.defense.align import align_call
from fits.defense.pressure import press
from fits.defense.system import Pressure, System
from fits.derive.pipeline import snap_offense
from fits.errors import FileError, FitsError, IllegalFormation, NoRule
from fits.field import COLLEGE, RULE_BOOKS, RuleBook
from fits.library import load_library
from fits.matrix import CAUSES, NotRun, derive_matrix
from fits.offense.legality import check_formation


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The file."""
    parser.add_argument("file", type=Path, metavar="FILE", help="a TOML file in the shape of the shipped ones")
    parser.add_argument(
        "--book",
        default=COLLEGE.name,
        metavar="BOOK",
        help=f"rule book: {', '.join(RULE_BOOKS)} (default {COLLEGE.name})",
    )


def run(args: argparse.Namespace) -> None:
    """Prints what the file holds. Raises FitsError for the first thing wrong with it."""
    book = read_book(args.book)
    contents = read_contents(args.file)
    for line in (*_system(contents, args.file), *_offense(contents, book)):
        print(line)


def _system(contents: Contents, path: Path) -> Iterator[str]:
    system = contents.system
    if system is None:
        return
    looks = sound = 0
    library = load_library()
    for made in derive_matrix(
        system.calls().values(), library.formations.values(), library.concepts.values(), to=(None,), flips=(False,)
    ):
        if isinstance(made, NotRun):
            if made.cause == CAUSES[NoRule]:
                raise FileError(
                    str(path),
                    f"call {made.call!r}",
                    "a rule that can always be kept, last in each man's list",
                    made.reason,
                )
            continue
        looks += 1
        sound += made.sound
    yield f"system {system.name!r}: {_counts(system)}"
    yield f"{looks} looks derived from the shipped formations and concepts, {sound} of them sound"
    for pressure in system.pressures.values():
        yield _pressure(system, pressure, path)


def _pressure(system: System, pressure: Pressure, path: Path) -> str:
    """How often a pressure can be laid over the calls. Raises FileError when it never can, with the first reason."""
    laid = tried = 0
    reason: FitsError | None = None
    for formation in load_library().formations.values():
        offense = snap_offense(formation).offense
        for call in system.calls().values():
            tried += 1
            try:
                align_call(press(call, pressure), offense)
                laid += 1
            except FitsError as error:
                reason = reason or error
    if not laid:
        raise FileError(
            str(path), f"pressure {pressure.name!r}", "a successor for every duty that is left", str(reason)
        )
    refused = f"; first refused: {reason}" if reason else ""
    return f"pressure {pressure.name!r}: laid over {laid} of {tried} calls and formations{refused}"


def _counts(system: System) -> str:
    parts = {
        "positions": system.positions,
        "fronts": system.fronts,
        "coverages": system.coverages,
        "calls": system.call_rows,
        "pressures": system.pressures,
    }
    return ", ".join(f"{len(items)} {noun}" for noun, items in parts.items())


def _offense(contents: Contents, book: RuleBook) -> Iterator[str]:
    library = load_library()
    for formation in contents.formations.values():
        for violation in check_formation(formation, book):
            if violation.refused:
                raise IllegalFormation(formation.called, violation.rule, violation.text)
            yield f"formation {formation.name!r}: warning ({violation.rule}): {violation.text}"
        yield f"formation {formation.name!r}: legal in the {book.name} book, {formation.personnel} personnel"
    for concept in contents.concepts.values():
        call = next(iter(library.calls.values()))
        made = list(
            derive_matrix([call], library.formations.values(), [concept], to=(None,), flips=(False,), book=book)
        )
        runs = sum(not isinstance(m, NotRun) for m in made)
        yield f"concept {concept.name!r}: runs from {runs} of the {len(made)} shipped formations"
    for noun, table in (("option", contents.options), ("motion", contents.motions)):
        for name in table:
            yield f"{noun} {name!r}: readable"
