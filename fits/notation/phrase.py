"""Phrases that a coach writes in a rule: a registry of patterns, each compiled once to a function.

A vocabulary is a list of entries (pattern, example, meaning). `compile_phrase` returns what the first
matching entry builds; an unknown phrase names the nearest examples.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any, Generic, TypeVar

from fits.values import value

T = TypeVar("T")
LONGEST = 300  # characters of a phrase; the longest shipped one has a fifth of it
KEPT = 4096  # phrases that a vocabulary remembers


class PhraseError(ValueError):
    """A phrase outside the vocabulary; `nearest` are the examples closest to it."""

    def __init__(self, noun: str, phrase: str, nearest: list[str]) -> None:
        self.noun, self.phrase, self.nearest = noun, phrase, nearest
        super().__init__(f"{noun} such as {' | '.join(nearest)}")


@value
class Entry(Generic[T]):
    """One phrase of a vocabulary: its pattern, an example and what it means."""

    pattern: str
    example: str
    meaning: str
    build: Callable[..., T]


class Vocabulary(Generic[T]):
    """A closed set of phrases, open to extension by registering another entry."""

    def __init__(self, noun: str) -> None:
        self.noun = noun
        self.entries: list[Entry[T]] = []
        self._seen: dict[str, T] = {}

    def phrase(self, pattern: str, example: str, meaning: str) -> Callable[[Callable[..., T]], Callable[..., T]]:
        """Decorator that registers a builder; it is called with the pattern's named groups."""

        def register(build: Callable[..., T]) -> Callable[..., T]:
            self.entries.append(Entry(pattern, example, meaning, build))
            return build

        return register

    def compile(self, text: str) -> T:
        """What the phrase means, built once per distinct text. Raises PhraseError."""
        known = self._seen.get(text)
        if known is not None:
            return known
        if len(text) > LONGEST:
            raise PhraseError(self.noun, text[:LONGEST], [e.example for e in self.entries[:3]])
        for entry in self.entries:
            match = re.fullmatch(entry.pattern, text)  # compiled when first asked for, and kept by re
            if match:
                built = entry.build(**match.groupdict())
                if len(self._seen) >= KEPT:
                    self._seen.clear()
                self._seen[text] = built
                return built
        import difflib  # slow to import, and only for an error

        examples = [e.example for e in self.entries]
        nearest = difflib.get_close_matches(text, examples, n=3, cutoff=0.3) or examples[:3]
        raise PhraseError(self.noun, text, nearest)

    def listing(self) -> list[dict[str, Any]]:
        """Every phrase with its example and meaning, for help pages."""
        return [{"example": e.example, "meaning": e.meaning} for e in self.entries]
