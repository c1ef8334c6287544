"""An invented opponent, and charts of it."""

from __future__ import annotations

import pytest

from playbook.charts import services as charts
from playbook.models import Chart, Opponent
from tests.playbook.charts.made import HEADER, season


def as_bytes(rows, header=HEADER, delimiter=",", encoding="utf-8") -> bytes:
    return "".join(delimiter.join(cells) + "\n" for cells in (header, *rows)).encode(encoding)


@pytest.fixture
def opponent(db):
    """An invented opponent."""
    return Opponent.objects.create(name="Quarry Vale", short_name="QVL")


@pytest.fixture
def upload(opponent, staff):
    """Returns a function that uploads rows as a chart."""

    def make(rows=None, name="quarry-vale.csv", again=False, replaces=None, **how) -> Chart:
        data = rows if isinstance(rows, bytes) else as_bytes(season(60) if rows is None else rows, **how)
        return charts.add_chart(opponent, name, len(data), [data], staff, again, replaces)

    return make


@pytest.fixture
def read(upload):
    """Returns a function that uploads rows and reads them as a worker does."""

    def make(rows=None, **how) -> Chart:
        chart = upload(rows, **how)
        charts.map_chart(chart, chart.version, chart.mapping, chart.yard_style)
        charts.read_chart(chart.pk)
        chart.refresh_from_db()
        return chart

    return make
