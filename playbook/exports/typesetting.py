"""Turns a document's data into PDF/UA. The data goes in as JSON and is only ever shown, never run."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import Any

import typst

from playbook.exports import lettering

FONTS = lettering.FONTS
TEMPLATES = Path(__file__).parent / "typst"


def make_pdf(document: str, data: dict[str, Any], replaced: Counter[str] | None = None) -> bytes:
    """Returns the document as PDF; the same data always gives the same bytes. Raises typst.TypstError.

    No text makes it fail: what no font can draw stands as a replacement, counted in `replaced`. Should a font not shape
    what its character map promises, only the letters of the page's own font are used.
    """
    counted = Counter[str]() if replaced is None else replaced
    first: typst.TypstError | None = None
    for letters in (lettering.all_letters(), lettering.own_letters(), frozenset(range(32, 127))):
        counted.clear()
        shown = lettering.printable(data, letters, counted)
        try:
            return _compile(document, shown)
        except typst.TypstError as error:
            first = first or error
    assert first is not None
    raise first


def _compile(document: str, data: dict[str, Any]) -> bytes:
    pdf = typst.compile(
        str(TEMPLATES / f"{document}.typ"),
        root=str(TEMPLATES),
        font_paths=lettering.fonts(),
        sys_inputs={"data": json.dumps(data)},
        pdf_standards="ua-1",
    )
    assert isinstance(pdf, bytes)
    return pdf
