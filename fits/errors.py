"""The errors of the fit engine: every one is a sentence for a person, never a traceback."""

from __future__ import annotations

from collections.abc import Iterable

SHOWN = 100  # characters of what came that a message repeats


class FitsError(Exception):
    """Anything the engine refuses. `str(error)` is one line that says what was expected."""


class FileError(FitsError):
    """A library or system file that cannot be used.

    `where` is the file, `line` its 1-based line or None, `key` the dotted key, `expected` what should stand there.
    """

    def __init__(self, where: str, key: str, expected: str, got: object = None, line: int | None = None) -> None:
        self.where, self.key, self.expected, self.got, self.line = where, key, expected, got, line
        place = f"{where}, line {line}" if line else where
        came = f", got {self.came}" if self.came else ""
        super().__init__(f"{place}: {key[:SHOWN]}: expected {expected}{came}")

    @property
    def brief(self) -> str:
        """What should stand there and what came instead, in sentences, without the place."""
        return f"Expected {self.expected}." + (f" Got {self.came}." if self.came else "")

    @property
    def came(self) -> str:
        """What came instead, as it is shown: cut when it is long, empty for nothing."""
        if self.got is None:
            return ""
        shown = repr(self.got[:SHOWN] if isinstance(self.got, str) else self.got)
        return shown if len(shown) <= 2 * SHOWN else f"{shown[: 2 * SHOWN]} …"


class UnknownName(FitsError):
    """A name that is not in the library; `nearest` lists the closest known ones."""

    def __init__(self, noun: str, name: str, known: Iterable[str]) -> None:
        import difflib  # slow to import, and only for an error

        self.noun, self.name = noun, name
        names = sorted(known)
        self.nearest = difflib.get_close_matches(name, names, n=3, cutoff=0.4) or names[:3]
        super().__init__(f"unknown {noun} {name!r}; nearest: {', '.join(self.nearest) or 'none known'}")


class IllegalFormation(FitsError):
    """A formation the rule book forbids; `rule` is the permanent rule id."""

    def __init__(self, formation: str, rule: str, text: str) -> None:
        self.formation, self.rule, self.text = formation, rule, text
        super().__init__(f"illegal formation {formation!r} ({rule}): {text}")


class NotRunnable(FitsError):
    """A concept, option or motion that this formation has nobody for."""


class NoRule(FitsError):
    """No rule of the call matched a defender; names the role and the look."""


class BadRequest(FitsError):
    """A request that contradicts itself or asks for something outside the vocabulary."""
