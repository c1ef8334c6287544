"""One thing the audit has to say about a look."""

from __future__ import annotations

from dataclasses import dataclass

UNSOUND = "unsound"
WARNING = "warning"


@dataclass(frozen=True, slots=True)
class Finding:
    """A permanent code, its severity, where (lane index or None), who, and one plain sentence for a coach."""

    code: str
    severity: str
    lane: int | None
    roles: tuple[str, ...]
    text: str
