"""Who may use the pages of charts: staff only."""

from playbook.models import Chart, Opponent, RefusedRow, SameGame
from tests.playbook.access_rule import Rule


def _opponent():
    return {"pk": Opponent.objects.get_or_create(name="Quarry Vale")[0].pk}


def _chart():
    opponent = Opponent.objects.get_or_create(name="Quarry Vale")[0]
    chart = Chart.objects.create(opponent=opponent, name="a.csv", size=1, digest="0" * 64, headers=["Dn"], samples=[[]])
    return {"pk": chart.pk}


def _row():
    chart = Chart.objects.get(**_chart())
    RefusedRow.objects.create(chart=chart, line=2, reason="a cell", cells=["x"])
    return {"pk": chart.pk, "line": 2}


def _pair():
    chart, other = (Chart.objects.get(**_chart()) for _ in range(2))
    return {"pk": SameGame.objects.create(chart=chart, other=other, shared=9).pk}


TABLE = {
    "charts:start": Rule("staff"),
    "charts:opponent": Rule("staff", saves="staff", kwargs=_opponent),
    "charts:words": Rule("staff", saves="staff", kwargs=_opponent),
    "charts:chart": Rule("staff", kwargs=_chart),
    "charts:mapping": Rule("staff", saves="staff", kwargs=_chart),
    "charts:rows": Rule("staff", kwargs=_chart),
    "charts:row": Rule("staff", saves="staff", kwargs=_row),
    "charts:decide": Rule("staff", saves="staff", method="post", kwargs=_pair),
    "charts:refused": Rule("staff", kwargs=_chart),
    "charts:count": Rule("staff", saves="staff", method="post", kwargs=_chart),
    "charts:delete": Rule("staff", kwargs=_chart),
}
