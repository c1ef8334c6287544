"""One thing the audit has to say about a look, and the verdict of all of them."""

from __future__ import annotations

from collections.abc import Sequence

from fits.terms import Severity
from fits.values import value

UNSOUND, WARNING, HINT = Severity.UNSOUND, Severity.WARNING, Severity.HINT


@value
class Finding:
    """A permanent code, its severity, where (lane index or None), who, and one plain sentence for a coach."""

    code: str
    severity: Severity
    lane: int | None
    roles: tuple[str, ...]
    text: str


def listed(names: Sequence[str], word: str = "and") -> str:
    """Names as a coach says them: `M`, `M and W`, `M, W and S`."""
    return f" {word} ".join(filter(None, (", ".join(names[:-1]), names[-1])))
