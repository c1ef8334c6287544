"""A staff's own files: a system, or formations, concepts, options and motions, in the shape of the shipped ones."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from fits.blocking.build import build_concept, build_option
from fits.blocking.concepts import Concept, Option
from fits.defense.build import build_system
from fits.defense.system import System
from fits.errors import FileError
from fits.library import Library, load_library
from fits.notation.toml import read_toml, with_line
from fits.offense.build import build_formation
from fits.offense.formation import Formation
from fits.offense.motion import Motion, build_motion

LARGEST = 4_000_000  # bytes; a system is some tens of thousands


@dataclass(frozen=True, slots=True)
class Contents:
    """What a file holds, by name."""

    system: System | None = None
    formations: Mapping[str, Formation] = field(default_factory=dict)
    concepts: Mapping[str, Concept] = field(default_factory=dict)
    options: Mapping[str, Option] = field(default_factory=dict)
    motions: Mapping[str, Motion] = field(default_factory=dict)


ENTRIES: dict[str, Callable[[object, str], Any]] = {
    "formation": build_formation,
    "concept": build_concept,
    "option": build_option,
    "motion": build_motion,
}


def read_file(path: Path) -> str:
    """The text of a file. Raises FileError when there is none to be had."""
    where = str(path)
    try:
        with path.open("rb") as file:
            raw = file.read(LARGEST + 1)
    except (OSError, ValueError) as error:
        raise FileError(
            where, "file", f"a file that can be read ({getattr(error, 'strerror', None) or error})"
        ) from None
    if len(raw) > LARGEST:
        raise FileError(where, "file", f"at most {LARGEST} bytes")
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise FileError(where, "text", "UTF-8 text", raw[error.start : error.start + 1], line) from None


def read_contents(path: Path) -> Contents:
    """What a file of a staff holds. Raises FileError (file, line, key, what was expected)."""
    text, where = read_file(path), str(path)
    data = read_toml(text, where)
    try:
        if "system" in data:
            return Contents(system=build_system(data, where, load_library().schemes))
        return _entries(data, where)
    except FileError as error:
        raise with_line(error, text) from None


def _entries(data: Mapping[str, Any], where: str) -> Contents:
    wanted = "a [system] table, or lists of [[formation]], [[concept]], [[option]] or [[motion]]"
    for key in data:
        if key not in ENTRIES:
            raise FileError(where, key, wanted)
    if not data:
        raise FileError(where, "file", wanted, "nothing")
    found: dict[str, Any] = {}
    for noun, items in data.items():
        if not isinstance(items, list):
            raise FileError(where, noun, f"a list of [[{noun}]] tables", items)
        table = found.setdefault(noun + "s", {})
        for item in items:
            built = ENTRIES[noun](item, where)
            if built.name in table:
                raise FileError(where, f"{noun} {built.name!r}.name", "each name once", built.name)
            table[built.name] = built
    return Contents(**found)


def extend_library(library: Library, paths: Iterable[Path]) -> Library:
    """The library with those files laid over it: their names come before the shipped ones. Raises FileError."""
    for path in paths:
        own = read_contents(path)
        systems, calls = dict(library.systems), dict(library.calls)
        if own.system is not None:
            systems[own.system.name] = own.system
            calls |= own.system.calls()
        library = replace(
            library, systems=systems, calls=calls,
            formations={**library.formations, **own.formations}, motions={**library.motions, **own.motions},
            concepts={**library.concepts, **own.concepts}, options={**library.options, **own.options},
        )  # fmt: skip
    return library
