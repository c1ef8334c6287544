"""A quiz of sixty drawings, from rows to PDF.

Run alone on an idle machine: `python -m pytest tests/benchmarks/test_documents.py -s`.
"""

from __future__ import annotations

import time

import pytest

from playbook.exports import documents, typesetting
from playbook.looks import queries as looks
from playbook.week import queries
from tests.playbook.exports.test_documents import pages
from tests.playbook.week.made import SYSTEM, make_week

FORMATIONS = ("10-doubles", "10-trips", "11-doubles", "11-trips", "11-trey", "11-bunch", "12-two-tight", "20-pistol")
CONCEPTS = ("inside-zone", "power", "counter", "outside-zone")


@pytest.mark.django_db
def test_sixty_drawings():
    made = make_week(pairs=[(formation, concept) for formation in FORMATIONS for concept in CONCEPTS][:30])
    week = queries.weeks().get(pk=made.pk)
    looks._companies.clear()
    started, cpu = time.perf_counter(), time.process_time()
    data = documents.collect("quiz", week, {"position": "E", "call": SYSTEM}, lambda: None)
    collected = time.perf_counter()
    pdf = typesetting.make_pdf("quiz", data)
    done = time.perf_counter()
    print(
        f"\n{pages(pdf)} pages, {len(pdf)} bytes: derived and drawn {collected - started:.2f} s, typeset "
        f"{done - collected:.2f} s; processor time in all {time.process_time() - cpu:.2f} s"
    )
    assert sum(len(man["asked"]) for man in data["men"]) >= 56
    assert done - started < 3
