"""The commands, and how they end: 0 when done, 2 with one line on the error stream for anything that cannot be done."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from typing import NoReturn

from fits.cli import check, derive, draw, know, ladder, listing, matrix, repair, sheets
from fits.errors import FitsError

PROGRAM = "fits"
DONE, REFUSED, INTERRUPTED = 0, 2, 130
COMMANDS = {
    "derive": derive,
    "matrix": matrix,
    "draw": draw,
    "repair": repair,
    "sheets": sheets,
    "know": know,
    "ladder": ladder,
    "list": listing,
    "check": check,
}


class Parser(argparse.ArgumentParser):
    """A parser whose errors are one line."""

    def error(self, message: str) -> NoReturn:
        """Ends with what was wrong and where to read more."""
        self.exit(REFUSED, f"{self.prog}: {_one_line(message)} (see {self.prog} --help)\n")


def make_parser() -> Parser:
    """The whole command line."""
    parser = Parser(
        prog=PROGRAM, description="Derives, proves and explains every defender's run fit.", allow_abbrev=False
    )
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True, parser_class=Parser)
    for name, module in COMMANDS.items():
        text = (module.__doc__ or "").strip().splitlines()[0]
        sub = commands.add_parser(name, help=text, description=text, allow_abbrev=False)
        module.add_arguments(sub)
        sub.set_defaults(run=module.run)
    return parser


def main(argv: Sequence[str] | None = None) -> int:
    """The exit status of the command line."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")
    args = make_parser().parse_args(argv)
    try:
        args.run(args)
        sys.stdout.flush()
    except FitsError as error:
        return _refuse(error)
    except BrokenPipeError:  # the reader has had enough, which is his right
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    except OSError as error:
        return _refuse(f"{error.filename or 'output'}: {error.strerror or error}")
    except KeyboardInterrupt:
        print("interrupted", file=sys.stderr)
        return INTERRUPTED
    return DONE


def _refuse(error: object) -> int:
    print(f"{PROGRAM}: {_one_line(str(error))}", file=sys.stderr)
    return REFUSED


def _one_line(message: str) -> str:
    return " ".join(message.split())
