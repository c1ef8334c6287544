"""Who may use a player's addresses."""

from tests.playbook.access_rule import Rule
from tests.playbook.week.made import make_bare_week


def _picture():
    week = make_bare_week(released=True)
    made = week.publications.create(title=str(week))
    return {"pk": made.pk, "state": "abc"}


TABLE = {
    "player:week": Rule("player"),
    "player:week-of": Rule("player", kwargs=lambda: {"pk": make_bare_week(released=True).pk}, fine=(200, 404)),
    "player:scouting": Rule("player", kwargs=lambda: {"pk": make_bare_week(released=True).pk}, fine=(200, 404)),
    "player:news": Rule("player", kwargs=lambda: {"pk": make_bare_week(released=True).pk}, fine=(200, 204)),
    "player:picture": Rule("everyone", kwargs=_picture, fine=(404,)),
    "player:steps": Rule("everyone", kwargs=_picture, fine=(404,)),
}
