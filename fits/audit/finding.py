"""One thing the audit has to say about a look."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from fits.terms import Severity

UNSOUND, WARNING, HINT = Severity.UNSOUND, Severity.WARNING, Severity.HINT


class Finding(NamedTuple):
    """A permanent code, its severity, where (lane index or None), who, and one plain sentence for a coach."""

    code: str
    severity: Severity
    lane: int | None
    roles: tuple[str, ...]
    text: str


def listed(names: Sequence[str], word: str = "and") -> str:
    """Names as a coach says them: `M`, `M and W`, `M, W and S`."""
    return f" {word} ".join(filter(None, (", ".join(names[:-1]), names[-1])))
