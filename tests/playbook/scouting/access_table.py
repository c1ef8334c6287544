"""Who may use the scouting pages: staff only."""

from playbook.models import Chart, Concept, Formation, Opponent, Season, System, Week
from tests.playbook.access_rule import Rule


def _opponent():
    return {"pk": Opponent.objects.get_or_create(name="Quarry Vale")[0].pk}


def _chart():
    opponent = Opponent.objects.get_or_create(name="Quarry Vale")[0]
    chart = Chart.objects.create(opponent=opponent, name="a.csv", size=1, digest="0" * 64, headers=["Dn"], samples=[[]])
    return {"pk": chart.pk}


def _week():
    season = Season.objects.get_or_create(year=2031)[0]
    opponent = Opponent.objects.get_or_create(name="Quarry Vale")[0]
    week, _ = Week.objects.get_or_create(
        season=season, number=3, defaults={"opponent": opponent, "system": System.objects.first()}
    )
    return {"pk": week.pk}


def _look():
    week = Week.objects.get(pk=_week()["pk"])
    look, _ = week.expected_looks.get_or_create(
        formation=Formation.objects.get(name="11-trips", opponent=None),
        concept=Concept.objects.get(name="power", opponent=None),
    )
    return {"pk": week.pk, "look": look.pk, "call": week.system.calls.first().pk}


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
    "scouting:looks": Rule("staff", kwargs=_week),
    "scouting:take": Rule("staff", "post", kwargs=_week),
    "scouting:mark": Rule("staff", "post", kwargs=_week, fine=(404, 422)),
    "scouting:proof": Rule("staff", kwargs=_week),
    "scouting:repairs": Rule("staff", kwargs=_look),
    "scouting:repair": Rule("staff", kwargs=lambda: _look() | {"number": 0}, fine=(200, 409)),
    "scouting:apply": Rule("staff", "post", kwargs=_look),
    "scouting:compare": Rule("staff", kwargs=_week),
    "scouting:suggest": Rule("staff", kwargs=_week),
    "scouting:menu-add": Rule("staff", "post", kwargs=_week),
    "scouting:study": Rule("staff", kwargs=_week),
    "scouting:study-start": Rule("staff", "post", kwargs=_week),
}
