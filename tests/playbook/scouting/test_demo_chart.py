"""The demo's chart: read by the same path as any other, with its habit found."""

from __future__ import annotations

import pytest

from playbook import demo
from playbook.demo import chart
from playbook.models import Chart, Week
from playbook.scouting import looks, proof, queries, words

pytestmark = pytest.mark.django_db


def test_the_demo_chart_is_read_and_its_habit_is_told():
    demo.load()
    made = Chart.objects.get()
    rows = chart.snaps()
    assert made.taken + made.refused + made.not_counted == len(rows)
    assert made.refused == 2
    assert made.not_counted > 0
    opponent = made.opponent
    assert words.unmapped_count(opponent) == 0
    tells = [tell.text for tell in queries.tendencies(queries.plays_of(opponent)).tells]
    assert any("runs away" in text for text in tells), tells
    week = Week.objects.get(opponent=opponent)
    counted = looks.count_week(week)
    assert counted.left_out == 0
    assert any(line.row for line in counted.lines)
    assert looks.take_looks(week, at_least=2)[0] > 5
    assert 0 < proof.prove_week(week)[0].sound <= 1
    demo.load()
    assert Chart.objects.count() == 1
