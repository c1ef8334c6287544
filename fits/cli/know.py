"""Studies what each man of a call can know: the share of his pictures, and the plays that look alike to him."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from typing import TypeVar

from fits.cli.files import extend_library
from fits.cli.matrix import choose
from fits.cli.request import add_play_arguments, read_book, read_hash, read_motion, read_options, read_yard_line
from fits.errors import BadRequest
from fits.field import Hash
from fits.know.study import Knowledge, ManKnows, Unknown, study
from fits.library import Library, load_library
from fits.notation.know_json import know_json
from fits.offense.formation import Formation
from fits.offense.personnel import parse_personnel

SHOWN = 3  # pairs of each man in the text, unless he was asked for
T = TypeVar("T")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The calls, the men, and the looks they are studied over."""
    parser.add_argument("calls", nargs="+", metavar="CALL", help="one or more defensive calls (see: list calls)")
    parser.add_argument(
        "--role", action="append", default=[], metavar="ROLE", dest="roles",
        help="keep to this man or position, with all his pairs; repeatable",
    )  # fmt: skip
    add_looks_arguments(parser)
    parser.add_argument("--json", action="store_true", help="one JSON object a call instead of text for people")


def add_looks_arguments(parser: argparse.ArgumentParser) -> None:
    """Over which looks something is studied."""
    for noun in ("formation", "concept"):
        parser.add_argument(
            f"--{noun}s", action="append", default=[], metavar="PATTERN",
            help=f"{noun}s by name, * and ? allowed, commas or repeats for more; default all",
        )  # fmt: skip
    parser.add_argument(
        "--personnel", action="append", default=[], metavar="GROUPS", help="only these groups, such as 10,11,12,20,21"
    )
    parser.add_argument("--hash", action="append", default=[], metavar="HASH", dest="hashes",
                        help="left, middle (default) or right; repeatable")  # fmt: skip
    add_play_arguments(parser)


def run(args: argparse.Namespace) -> None:
    """Prints the study of each call. Raises FitsError."""
    library = extend_library(load_library(), args.files)
    calls = [library.call(name) for name in args.calls]
    looks = read_looks(args, library)
    for number, call in enumerate(calls):
        known = study(call, roles=args.roles or None, **looks)  # type: ignore[arg-type]
        if args.json:
            print(json.dumps(know_json(known), ensure_ascii=False))
        else:
            print("\n" * (number > 0) + "\n".join(_lines(known, bool(args.roles))))


def read_looks(args: argparse.Namespace, library: Library) -> dict[str, object]:
    """The looks those arguments choose, as keywords of a study. Raises FitsError."""
    hashes = tuple(read_hash(word) for word in dict.fromkeys(args.hashes or [Hash.MIDDLE.value]))
    return {
        "formations": choose_formations(args, library), "concepts": choose("concept", args.concepts, library.concepts),
        "hashes": hashes, "flips": (False,) if hashes == (Hash.MIDDLE,) else (False, True),
        "motion": read_motion(library, args.motion), "options": read_options(library, args.options),
        "book": read_book(args.book), "yard_line": read_yard_line(args.yard_line), "pressure": args.pressure,
    }  # fmt: skip


def choose_formations(args: argparse.Namespace, library: Library) -> tuple[Formation, ...]:
    """The formations by name and by personnel. Raises FitsError, also when none is left."""
    found = choose("formation", args.formations, library.formations)
    wanted = {parse_personnel(p).code for item in args.personnel for p in item.split(",")}
    kept = tuple(f for f in found if not wanted or f.personnel in wanted)
    if not kept:
        groups = ", ".join(sorted({f.personnel for f in found}))
        raise BadRequest(f"personnel: expected one of {groups}, got {', '.join(sorted(wanted))}")
    return kept


def _lines(known: Knowledge, whole: bool) -> Iterator[str]:
    yield f"{known.call}: {known.looks} looks, {known.pictures} pictures, {known.cannot_know:.1%} cannot be known"
    yield ""
    yield f"{'man':<10}{'pictures':>9}{'cannot know':>13}{'wrong at best':>15}   a further read that would help"
    for m in known.men:
        help_ = ", ".join(m.would_settle) or "-"
        yield f"{m.role:<10}{len(m.seen):>9}{m.cannot_know:>13.1%}{m.at_best_wrong:>15.1%}   {help_}"
    for m in known.men:
        if m.unknown:
            yield ""
            yield from _pairs(m, len(m.unknown) if whole else SHOWN)


def _pairs(man: ManKnows, most: int) -> Iterator[str]:
    rest = len(man.unknown) - most
    unseen = dict.fromkeys(f"{asks} ({rule})" for rule, asks in man.unseen)
    yield f"{man.role} cannot know ({len(man.unknown)} pairs{f', the heaviest {most}' if rest > 0 else ''}):"
    for unknown in man.unknown[:most]:
        yield from _pair(unknown)
    if unseen:
        yield f"  his rules ask what nothing shows him: {', '.join(unseen)}"


def _pair(unknown: Unknown) -> Iterator[str]:
    formation = unknown.picture.before[0]
    yield f"  {formation}: he sees {', '.join(unknown.picture.sights) or 'nothing that tells'}"
    for play in unknown.plays:
        yield f"    {play.look.concept} to the {play.look.to.word}: {play.fit} ({play.say})"
    yield f"    would tell them apart: {unknown.extra}"
