"""Who may use the scouting pages: staff only."""

from playbook.models import Chart, Opponent
from tests.playbook.access_rule import Rule


def _opponent():
    return {"pk": Opponent.objects.get_or_create(name="Quarry Vale")[0].pk}


def _chart():
    opponent = Opponent.objects.get_or_create(name="Quarry Vale")[0]
    chart = Chart.objects.create(opponent=opponent, name="a.csv", size=1, digest="0" * 64, headers=["Dn"], samples=[[]])
    return {"pk": chart.pk}


TABLE = {
    "scouting:start": Rule("staff"),
    "scouting:own": Rule("staff"),
    "scouting:opponent": Rule("staff", kwargs=_opponent),
    "scouting:words": Rule("staff", kwargs=_opponent),
    "scouting:tendencies": Rule("staff", kwargs=_opponent),
    "scouting:tendencies-print": Rule("staff", kwargs=_opponent),
    "scouting:chart": Rule("staff", kwargs=_chart),
    "scouting:mapping": Rule("staff", kwargs=_chart),
    "scouting:refused": Rule("staff", kwargs=_chart),
    "scouting:count": Rule("staff", "post", kwargs=_chart),
    "scouting:delete": Rule("staff", kwargs=_chart),
}
