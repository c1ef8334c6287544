"""Who may use the pages of the proof: staff only."""

from playbook.models import Concept, Formation, Opponent, Season, System, Week
from tests.playbook.access_rule import Rule


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
    "proof:looks": Rule("staff", kwargs=_week),
    "proof:take": Rule("staff", "post", kwargs=_week),
    "proof:mark": Rule("staff", "post", kwargs=_week, fine=(404, 422)),
    "proof:weighed": Rule("staff", kwargs=_week),
    "proof:repairs": Rule("staff", kwargs=_look),
    "proof:repair": Rule("staff", kwargs=lambda: _look() | {"number": 0}, fine=(200, 409)),
    "proof:apply": Rule("staff", "post", kwargs=_look),
    "proof:compare": Rule("staff", kwargs=_week),
    "proof:suggest": Rule("staff", kwargs=_week),
    "proof:menu-add": Rule("staff", "post", kwargs=_week),
    "proof:study": Rule("staff", kwargs=_week),
    "proof:study-start": Rule("staff", saves="staff", method="post", kwargs=_week),
}
