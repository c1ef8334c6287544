"""Who may use the pages of charts: staff only."""

from playbook.models import Chart, Opponent
from tests.playbook.access_rule import Rule


def _opponent():
    return {"pk": Opponent.objects.get_or_create(name="Quarry Vale")[0].pk}


def _chart():
    opponent = Opponent.objects.get_or_create(name="Quarry Vale")[0]
    chart = Chart.objects.create(opponent=opponent, name="a.csv", size=1, digest="0" * 64, headers=["Dn"], samples=[[]])
    return {"pk": chart.pk}


TABLE = {
    "charts:start": Rule("staff"),
    "charts:opponent": Rule("staff", kwargs=_opponent),
    "charts:words": Rule("staff", kwargs=_opponent),
    "charts:chart": Rule("staff", kwargs=_chart),
    "charts:mapping": Rule("staff", kwargs=_chart),
    "charts:refused": Rule("staff", kwargs=_chart),
    "charts:count": Rule("staff", "post", kwargs=_chart),
    "charts:delete": Rule("staff", kwargs=_chart),
}
