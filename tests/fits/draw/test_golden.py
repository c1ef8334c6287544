"""A dozen kept drawings, to catch drift.

After a wanted change, look at the new drawings and keep them:

    REDRAW=1 python -m pytest tests/fits/draw/test_golden.py
"""

from __future__ import annotations

import os
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from fits.draw.svg import draw_look
from tests.fits.draw.samples import SAMPLES, Sample

GOLDEN = Path(__file__).parent / "golden"


def canonical(svg: str) -> list[str]:
    """Canonical XML, one element a line, so that a difference is readable."""
    return ET.canonicalize(svg).replace("><", ">\n<").splitlines()


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.name)
def test_drawing_is_as_kept(sample: Sample) -> None:
    svg = draw_look(sample.look(), sample.role, sample.up)
    assert len(ET.fromstring(svg).findall(".//{http://www.w3.org/2000/svg}text")) > 30
    path = GOLDEN / f"{sample.name}.svg"
    if os.environ.get("REDRAW"):
        GOLDEN.mkdir(exist_ok=True)
        path.write_text(svg + "\n", encoding="utf-8")
    assert canonical(svg) == canonical(path.read_text(encoding="utf-8"))


def test_every_kept_drawing_is_still_drawn() -> None:
    assert {p.stem for p in GOLDEN.glob("*.svg")} == {s.name for s in SAMPLES}
