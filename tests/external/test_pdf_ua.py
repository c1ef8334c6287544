"""Every kind of document against an accessibility checker for PDF: no error and no warning.

Source: the checker `outloud` 0.2.1 (group `pdfua`), which tests PDF/UA-1 (ISO 14289-1) by the checkpoints
of the Matterhorn Protocol, WCAG 2.2, and the order of reading; skipped when it
is not installed, as it brings 400 MB of other packages.
"""

from __future__ import annotations

import re

import pytest

from playbook.exports import typesetting
from tests.playbook.exports.test_documents import CHOICES, collect
from tests.playbook.week.made import make_week

outloud = pytest.importorskip("outloud", reason="the group pdfua is not installed")


@pytest.mark.django_db
@pytest.mark.parametrize("document", list(CHOICES))
def test_the_checker_finds_nothing(document, tmp_path):
    week = make_week()
    for paper in ("us-letter", "a4"):
        path = tmp_path / f"{paper}.pdf"
        path.write_bytes(typesetting.make_pdf(document, collect(document, week, paper=paper)[0]))
        result = outloud.check(str(path))
        assert (result.verdict, result.errors, result.warnings) == ("pass", 0, 0), result.findings


@pytest.mark.django_db
def test_the_checker_finds_what_is_wrong(tmp_path):
    pdf = typesetting.make_pdf("wall", collect("wall", make_week())[0])
    broken = re.sub(rb"/MarkInfo\s*<<[^>]*>>", lambda found: b" " * len(found[0]), pdf)
    broken = broken if broken != pdf else re.sub(rb"<pdfuaid:part>1", b"<pdfuaid:part>9", pdf)
    assert broken != pdf
    path = tmp_path / "broken.pdf"
    path.write_bytes(broken)
    assert outloud.check(str(path)).verdict != "pass"
