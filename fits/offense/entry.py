"""One entry of a library file, read key by key with errors that name the key and what was expected."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from enum import Enum
from typing import TypeVar

from fits.errors import FileError
from fits.terms import words_of_name

E = TypeVar("E", bound=Enum)
LONGEST = 1_000  # characters of one text
MOST = 2_000  # entries of one list


class Entry:
    """A table of a file. `where` is the file, `path` the dotted key of this table."""

    __slots__ = ("data", "path", "where")

    def __init__(self, data: object, where: str, path: str, keys: Sequence[str]) -> None:
        if not isinstance(data, Mapping):
            raise FileError(where, path, f"a table with the keys {', '.join(keys)}", data)
        self.data, self.where, self.path = data, where, path
        for key in data:
            if key not in keys:
                raise FileError(where, self._at(key), f"one of the keys {', '.join(keys)}", key)

    @classmethod
    def named(cls, data: object, where: str, noun: str, keys: Sequence[str]) -> Entry:
        """An entry whose path is its noun and its name: `formation '11-trey'`."""
        name = data.get("name") if isinstance(data, Mapping) else None
        return cls(data, where, f"{noun} {name!r}" if isinstance(name, str) and name else noun, keys)

    def __contains__(self, key: str) -> bool:
        return key in self.data

    def text(self, key: str, default: str | None = None) -> str:
        """A string; an empty or missing one only where there is a default."""
        value = self.data.get(key, default)
        if not isinstance(value, str) or (default is None and not value.strip()):
            raise self.wrong(key, "text")
        if len(value) > LONGEST:
            raise self.wrong(key, f"at most {LONGEST:,} characters")
        return value

    def label(self) -> str:
        """What people call it; words made from its name where it has none."""
        return self.text("label", "") or words_of_name(self.text("name"))

    def number(self, key: str, low: float, high: float, default: float | None = None) -> float:
        """A finite number from low to high."""
        value = self.data.get(key, default)
        if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
            raise self.wrong(key, f"a number from {low:g} to {high:g}")  # NaN fails every comparison
        return float(value) + 0.0  # no negative zero

    def flag(self, key: str, default: bool = False) -> bool:
        """True or false."""
        value = self.data.get(key, default)
        if not isinstance(value, bool):
            raise self.wrong(key, "true or false")
        return value

    def choice(self, key: str, kind: type[E], default: E | None = None) -> E:
        """One of the words of a closed set."""
        if key not in self.data and default is not None:
            return default
        value = self.data.get(key)
        for member in kind:
            if member.value == value and isinstance(value, str):
                return member
        raise self.wrong(key, "one of " + ", ".join(repr(m.value) for m in kind))

    def items(self, key: str) -> Sequence[object]:
        """A list with something in it."""
        value = self.data.get(key)
        if not isinstance(value, list | tuple) or not value:
            raise self.wrong(key, "a list that is not empty")
        if len(value) > MOST:
            raise FileError(self.where, self._at(key), f"at most {MOST:,} entries", len(value))
        return value

    def wrong(self, key: str, expected: str) -> FileError:
        """The error for what stands under that key."""
        got = self.data.get(key, "nothing")
        return FileError(self.where, self._at(key), expected, got)

    def _at(self, key: object) -> str:
        return f"{self.path}.{key}" if self.path else str(key)
