"""The demo's charts: read by the same path as any other, with their habits found."""

from __future__ import annotations

import pytest

from playbook import demo
from playbook.charts import words
from playbook.demo import charts
from playbook.models import Chart, Week
from playbook.proof import expected as looks
from playbook.proof import weighing as proof
from playbook.tendencies.queries import Filters, look_at, tendencies, words_said

pytestmark = pytest.mark.django_db


def test_the_demo_charts_are_read_and_a_habit_is_told():
    demo.load()
    assert Chart.objects.count() == len(charts.HABITS) == Week.objects.count() == 3
    for habits in charts.HABITS:
        made = Chart.objects.get(opponent__name=habits.opponent)
        assert made.taken + made.refused + made.not_counted == len(charts.snaps(habits))
        assert made.refused + made.blanked == 2
        assert made.not_counted > 0
        opponent = made.opponent
        assert words.unmapped_count(opponent) == 0
        looked = look_at(opponent, Filters(), words_said(opponent))
        tells = [tell.text for tell in tendencies(looked).tells]
        assert any("runs away" in text for text in tells) or not habits.leaning, tells
        week = Week.objects.get(opponent=opponent)
        counted = looks.count_week(week)
        assert counted.left_out == 0
        assert any(line.row for line in counted.lines)
        assert looks.take_looks(week, at_least=2)[0] > 2
        assert 0 < proof.prove_week(week)[0].sound <= 1
    demo.load()
    assert Chart.objects.count() == 3
