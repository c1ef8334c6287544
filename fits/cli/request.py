"""The arguments that say which look is meant, shared by the commands that derive one."""

from __future__ import annotations

import argparse
from dataclasses import dataclass
from pathlib import Path

from fits.blocking.concepts import Option
from fits.cli.files import extend_library
from fits.defense.pressure import find_pressure
from fits.defense.system import Call
from fits.derive.look import Look
from fits.deriver import Deriver
from fits.errors import BadRequest, UnknownName
from fits.field import COLLEGE, RULE_BOOKS, SIDES, Hash, RuleBook, Side
from fits.library import Library, load_library
from fits.offense.motion import Motion
from fits.spec import LookSpec


@dataclass(frozen=True, slots=True)
class Request:
    """One look as asked for, every name found, and the other calls of its system."""

    spec: LookSpec
    others: tuple[Call, ...]
    deriver: Deriver
    library: Library

    def derive(self) -> Look:
        """The look. Raises FitsError."""
        return self.deriver.look(self.spec)


def add_file_argument(parser: argparse.ArgumentParser) -> None:
    """The option that brings a staff's own files in."""
    parser.add_argument(
        "--file", action="append", default=[], type=Path, metavar="FILE", dest="files",
        help="your own system, formations, concepts, options or motions; its names come before the shipped ones",
    )  # fmt: skip


def add_play_arguments(parser: argparse.ArgumentParser) -> None:
    """Motion, options and rule book."""
    parser.add_argument("--motion", metavar="NAME", help="a motion or shift before the snap")
    parser.add_argument(
        "--with",
        action="append",
        default=[],
        metavar="OPTION",
        dest="options",
        help="an option of the play or of the staff; repeatable",
    )
    parser.add_argument(
        "--book",
        default=COLLEGE.name,
        metavar="BOOK",
        help=f"rule book: {', '.join(RULE_BOOKS)} (default {COLLEGE.name})",
    )
    parser.add_argument(
        "--yard-line", metavar="N", help="yards to the goal line the offense attacks (default: midfield)"
    )
    parser.add_argument("--pressure", metavar="NAME", help="a pressure of the call's system (see: list pressures)")
    add_file_argument(parser)


def add_look_arguments(parser: argparse.ArgumentParser) -> None:
    """Everything that names one look."""
    parser.add_argument("call", metavar="CALL", help="a defensive call (see: list calls)")
    parser.add_argument(
        "formation", metavar="FORMATION", help="a formation, drawn strong to the right (see: list formations)"
    )
    parser.add_argument("concept", metavar="CONCEPT", help="a run concept (see: list concepts)")
    parser.add_argument(
        "--to", metavar="SIDE", help="left or right, after the flip; without it the concept's own rule decides"
    )
    parser.add_argument("--flip", action="store_true", help="mirror the formation")
    parser.add_argument(
        "--hash", default=Hash.MIDDLE.value, metavar="HASH", help="where the ball is: left, middle or right"
    )
    parser.add_argument(
        "--first-step", action="append", default=[], metavar="ROLE=STEP", dest="first_steps",
        help="what if that blocker showed another first step: the defense reacts to it; repeatable",
    )  # fmt: skip
    add_play_arguments(parser)


def read_request(args: argparse.Namespace) -> Request:
    """The request those arguments make. Raises FitsError."""
    library = extend_library(load_library(), args.files)
    call = library.call(args.call)
    spec = LookSpec(
        call=call, formation=library.formation(args.formation), concept=library.concept(args.concept),
        to=None if args.to is None else read_side(args.to), flip=args.flip, hash=read_hash(args.hash),
        motion=read_motion(library, args.motion), options=read_options(library, args.options),
        first_steps=read_steps(args.first_steps), book=read_book(args.book), yard_line=read_yard_line(args.yard_line),
        pressure=find_pressure(call, args.pressure),
    )  # fmt: skip
    others = tuple(c for c in library.calls.values() if c.system == call.system and c is not call)
    return Request(spec, others, Deriver(), library)


def read_yard_line(text: str | None) -> float | None:
    """The yards to the goal line the offense attacks. Raises BadRequest."""
    if text is None:
        return None
    try:
        yards = float(text)
    except ValueError:
        yards = 0.0
    if not 0 < yards < 100:
        raise BadRequest(f"yard line: expected yards to the goal line, more than 0 and less than 100, got {text!r}")
    return yards


def read_side(word: str) -> Side:
    """The side that word means. Raises BadRequest."""
    if word not in SIDES:
        raise BadRequest(f"direction: expected left or right, got {word!r}")
    return SIDES[word]


def read_hash(word: str) -> Hash:
    """The hash that word means. Raises BadRequest."""
    if word not in [h.value for h in Hash]:
        raise BadRequest(f"hash: expected left, middle or right, got {word!r}")
    return Hash(word)


def read_book(name: str) -> RuleBook:
    """The rule book of that name. Raises UnknownName."""
    if name not in RULE_BOOKS:
        raise UnknownName("rule book", name, RULE_BOOKS)
    return RULE_BOOKS[name]


def read_motion(library: Library, name: str | None) -> Motion | None:
    """The motion of that name. Raises UnknownName."""
    return None if name is None else library.motion(name)


def read_options(library: Library, names: list[str]) -> tuple[Option, ...]:
    """The options of those names, each once. Raises UnknownName."""
    return tuple(library.option(name) for name in dict.fromkeys(names))


def read_steps(items: list[str]) -> dict[str, str]:
    """First steps by role. Raises BadRequest."""
    steps: dict[str, str] = {}
    for item in items:
        role, equals, step = (part.strip() for part in item.partition("="))
        if not (role and equals and step):
            raise BadRequest(f"first step: expected ROLE=STEP such as RG=in, got {item!r}")
        if steps.get(role, step) != step:
            raise BadRequest(f"first step of {role}: expected one step, got {steps[role]} and {step}")
        steps[role] = step
    return steps
