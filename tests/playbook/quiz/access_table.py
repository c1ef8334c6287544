"""Who may use the quiz's addresses."""

from tests.playbook.access_rule import Rule
from tests.playbook.week.made import make_bare_week


def _week():
    return {"pk": make_bare_week(released=True).pk}


TABLE = {
    "quiz:mine": Rule("player"),
    "quiz:of": Rule("player", kwargs=_week, fine=(200, 404)),
    "quiz:answer": Rule("player", method="post", kwargs=_week, fine=(404, 422)),
    "quiz:steps": Rule("player", kwargs=lambda: _week() | {"look": 1}, fine=(404,)),
    "quiz:known": Rule("staff", kwargs=_week),
    "quiz:plan": Rule("staff", method="post", saves="groups", kwargs=_week),
    "quiz:clock": Rule("staff", method="post", kwargs=_week),
}
