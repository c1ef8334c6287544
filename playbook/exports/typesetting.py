"""Turns a document's data into PDF/UA. The data goes in as JSON and is only ever shown, never run."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import typst

HERE = Path(__file__).parent
TEMPLATES = HERE / "typst"
FONTS = HERE / "fonts"


def make_pdf(document: str, data: dict[str, Any]) -> bytes:
    """Returns the document as PDF; the same data always gives the same bytes. Raises typst.TypstError."""
    pdf = typst.compile(
        str(TEMPLATES / f"{document}.typ"),
        root=str(TEMPLATES),
        font_paths=[str(FONTS)],
        ignore_system_fonts=True,
        sys_inputs={"data": json.dumps(data)},
        pdf_standards="ua-1",
    )
    assert isinstance(pdf, bytes)
    return pdf
