"""Who may use a player's addresses."""

from tests.playbook.access_rule import Rule
from tests.playbook.week.made import make_bare_week


def _drawing():
    week = make_bare_week(released=True)
    return {"week": week.pk, "look": 1, "digest": "abc"}


TABLE = {
    "player:week": Rule("player"),
    "player:week-of": Rule("player", kwargs=lambda: {"pk": make_bare_week(released=True).pk}, fine=(200, 404)),
    "player:scouting": Rule("player", kwargs=lambda: {"pk": make_bare_week(released=True).pk}, fine=(200, 404)),
    "player:drawing": Rule("everyone", kwargs=_drawing, fine=(410,)),
}
