"""The shipped library: schemes, formations, motions, concepts, options and systems, read from the files here."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any, TypeVar

from fits.blocking.build import build_concept, build_option
from fits.blocking.concepts import Concept, Option
from fits.defense.build import build_system
from fits.defense.system import Call, Pressure, System
from fits.defense.techniques import Scheme, build_scheme
from fits.errors import FileError, UnknownName
from fits.notation.toml import read_toml, with_line
from fits.offense.build import build_formation
from fits.offense.formation import Formation
from fits.offense.motion import Motion, build_motion
from fits.values import value

HERE = Path(__file__).parent
T = TypeVar("T")


@value
class Library:
    """Everything by name."""

    schemes: Mapping[str, Scheme]
    formations: Mapping[str, Formation]
    motions: Mapping[str, Motion]
    concepts: Mapping[str, Concept]
    options: Mapping[str, Option]
    systems: Mapping[str, System]
    calls: Mapping[str, Call]

    @property
    def pressures(self) -> Mapping[str, tuple[Pressure, tuple[str, ...]]]:
        """Pressures by name, each as its first system has it, with the systems that have one of that name."""
        out: dict[str, tuple[Pressure, tuple[str, ...]]] = {}
        for system in self.systems.values():
            for name, pressure in system.pressures.items():
                first, systems = out.get(name, (pressure, ()))
                out[name] = (first, (*systems, system.name))
        return out

    def call(self, name: str) -> Call:
        """The call of that name. Raises UnknownName."""
        return _get("call", name, self.calls)

    def formation(self, name: str) -> Formation:
        """The formation of that name. Raises UnknownName."""
        return _get("formation", name, self.formations)

    def concept(self, name: str) -> Concept:
        """The concept of that name. Raises UnknownName."""
        return _get("concept", name, self.concepts)

    def option(self, name: str) -> Option:
        """The option of that name. Raises UnknownName."""
        return _get("option", name, self.options)

    def motion(self, name: str) -> Motion:
        """The motion of that name. Raises UnknownName."""
        return _get("motion", name, self.motions)


def _get(noun: str, name: str, table: Mapping[str, T]) -> T:
    if name not in table:
        raise UnknownName(noun, name, table)
    return table[name]


def read_system(text: str, where: str = "system.toml", schemes: Mapping[str, Scheme] | None = None) -> System:
    """A system from the text of its file. Raises FileError that names file, line, key and what was expected."""
    data = read_toml(text, where)
    try:
        return build_system(data, where, load_library().schemes if schemes is None else schemes)
    except FileError as error:
        raise with_line(error, text) from None


def _entries(name: str, noun: str, build: Callable[[object, str], T]) -> dict[str, T]:
    path = HERE / name
    text = path.read_text(encoding="utf-8")
    out: dict[str, T] = {}
    for item in read_toml(text, name).get(noun, ()):
        try:
            built = build(item, name)
        except FileError as error:
            raise with_line(error, text) from None
        key: Any = built
        if key.name in out:
            raise FileError(name, f"{noun} {key.name!r}", "each name once")
        out[key.name] = built
    return out


@lru_cache(maxsize=1)
def load_library() -> Library:
    """The shipped library, read once. Raises FileError when a file was damaged."""
    schemes = _entries("techniques.toml", "scheme", build_scheme)  # type: ignore[arg-type]
    systems: dict[str, System] = {}
    calls: dict[str, Call] = {}
    for path in sorted((HERE / "systems").glob("*.toml")):
        system = read_system(path.read_text(encoding="utf-8"), path.name, schemes)
        systems[system.name] = system
        for name, call in system.calls().items():
            if name in calls:
                raise FileError(path.name, f"call {name!r}", "a call name no other system uses")
            calls[name] = call
    return Library(
        schemes,
        _entries("formations.toml", "formation", build_formation),
        _entries("motions.toml", "motion", build_motion),
        _entries("concepts.toml", "concept", build_concept),
        _entries("options.toml", "option", build_option),
        systems,
        calls,
    )
