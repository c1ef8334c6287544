"""What goes wrong with a charted file: one sentence that says what was expected."""

from __future__ import annotations


class ChartError(ValueError):
    """A charted file that cannot be used at all. Nothing of it was taken."""


class CellError(ValueError):
    """One cell that cannot be read; the text says what was expected and what came."""

    def __init__(self, expected: str, got: str) -> None:
        shown = got if len(got) <= 40 else got[:39] + "…"
        super().__init__(f"expected {expected}, got “{shown}”")
