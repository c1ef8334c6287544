"""Lists the names of the library, and the words that rules are written in."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable, Mapping
from typing import Any

from fits.audit.registry import CODES
from fits.blocking.concepts import STEPS
from fits.blocking.conditions import BLOCK_CONDITIONS
from fits.blocking.lane_phrases import LANE_PHRASES
from fits.blocking.verbs import VERBS
from fits.cli.files import extend_library
from fits.cli.request import add_file_argument
from fits.defense.align import KEYS, LANDMARKS
from fits.defense.checks import CHECKS
from fits.defense.movement import MOVES
from fits.errors import UnknownName
from fits.field import RULE_BOOKS
from fits.library import Library, load_library
from fits.notation.phrase import Vocabulary
from fits.rules.conditions import CONDITIONS
from fits.rules.targets import TARGETS

Rows = dict[str, str]
NAMES: Mapping[str, Callable[[Library], Rows]] = {
    "systems": lambda lib: {s.name: s.label for s in lib.systems.values()},
    "calls": lambda lib: {c.name: f"{c.front.label}, {c.coverage.label} ({c.system})" for c in lib.calls.values()},
    "formations": lambda lib: {f.name: f"{f.personnel} personnel, {f.note}" for f in lib.formations.values()},
    "concepts": lambda lib: {c.name: f"{c.label} ({c.family})" for c in lib.concepts.values()},
    "pressures": lambda lib: {
        name: f"{p.label}: {p.note} ({', '.join(systems)})" for name, (p, systems) in lib.pressures.items()
    },
    "options": lambda lib: {o.name: f"{o.side}: {o.label}" for o in lib.options.values()},
    "motions": lambda lib: {m.name: f"{m.kind.value}: {m.note}" for m in lib.motions.values()},
}
WORDS: Mapping[str, Vocabulary[Any]] = {
    "movements": MOVES, "checks": CHECKS,
    "conditions": CONDITIONS, "targets": TARGETS, "landmarks": LANDMARKS, "keys": KEYS,
    "verbs": VERBS, "blocking-conditions": BLOCK_CONDITIONS, "threat-places": LANE_PHRASES,
}  # fmt: skip
CLOSED: Mapping[str, Callable[[Library], Rows]] = {
    "techniques": lambda lib: {name: ", ".join(s.techniques) for name, s in lib.schemes.items()},
    "steps": lambda lib: dict.fromkeys(STEPS, ""),
    "codes": lambda lib: dict.fromkeys(CODES, ""),
    "books": lambda lib: {
        b.name: f"{b.width:.2f} yards wide, hashes {b.hash_gap:.2f} apart" for b in RULE_BOOKS.values()
    },
}
KINDS = (*NAMES, *WORDS, *CLOSED)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Which list."""
    parser.add_argument(
        "kind", nargs="?", metavar="KIND", help=f"one of {', '.join(KINDS)}; without it, all names of the library"
    )
    parser.add_argument("--json", action="store_true", help="one JSON object: names or phrases with their meaning")
    add_file_argument(parser)


def run(args: argparse.Namespace) -> None:
    """Prints the list. Raises FitsError."""
    library = extend_library(load_library(), args.files)
    kinds = list(NAMES) if args.kind is None else [args.kind]
    found = {kind: _rows(library, kind) for kind in kinds}
    if args.json:
        print(json.dumps(found if args.kind is None else found[args.kind], ensure_ascii=False))
        return
    for number, (kind, rows) in enumerate(found.items()):
        if args.kind is None:
            print(f"{'' if number == 0 else chr(10)}{kind}")
        width = max(map(len, rows), default=0)
        for name, meaning in rows.items():
            print(f"{'  ' if args.kind is None else ''}{name.ljust(width)}  {meaning}".rstrip())


def _rows(library: Library, kind: str) -> Rows:
    if kind in WORDS:
        return {entry["example"]: entry["meaning"] for entry in WORDS[kind].listing()}
    table = NAMES.get(kind) or CLOSED.get(kind)
    if table is None:
        raise UnknownName("list", kind, KINDS)
    return table(library)
