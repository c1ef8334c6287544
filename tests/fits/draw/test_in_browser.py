"""The label boxes as a real renderer measures them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from fits.draw.labels import Rect, overlapping
from fits.draw.svg import draw_look
from tests.fits.draw.samples import SAMPLES

CHROMIUM = Path("/usr/bin/chromium")
MEASURE = """Array.from(document.querySelectorAll('text'), t => {
    const b = t.getBBox(); return [b.x, b.y, b.width, b.height]; })"""
SHARED = 0.2  # a glyph box is taller than its ink; this much of its height may lie on a neighbour's

pytestmark = [pytest.mark.browser, pytest.mark.skipif(not CHROMIUM.exists(), reason="no Chromium installed")]


@pytest.fixture(scope="module")
def page(chromium: Any) -> Iterator[Any]:
    page = chromium.new_page(viewport={"width": 360, "height": 640})
    yield page
    page.close()


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.name)
def test_no_text_covers_another(sample: Any, page: Any) -> None:
    page.set_content(f"<body style='margin:0'>{draw_look(sample.look(), sample.role, sample.up)}</body>")
    measured = page.evaluate(MEASURE)
    boxes = [Rect(x, y + h * SHARED / 2, x + w, y + h - h * SHARED / 2) for x, y, w, h in measured]
    assert len(boxes) > 40
    assert overlapping(boxes) == []
    assert page.evaluate("document.querySelector('svg').getBoundingClientRect().width") == pytest.approx(360, abs=0.1)
