"""Who may use the week's addresses."""

from uuid import uuid4

from tests.playbook.access_rule import Rule
from tests.playbook.week.made import make_bare_week, make_grade, make_season

TABLE = {
    "week:list": Rule("staff"),
    "week:switch": Rule("staff", saves="staff", method="post", fine=(404,)),
    "week:add": Rule("staff"),
    "week:season-add": Rule("staff"),
    "week:season-edit": Rule("staff", kwargs=lambda: {"pk": make_season().pk}),
    "week:detail": Rule("staff", kwargs=lambda: {"pk": make_bare_week().pk}),
    "week:edit": Rule("staff", kwargs=lambda: {"pk": make_bare_week().pk}),
    "week:state": Rule("staff", kwargs=lambda: {"pk": make_bare_week().pk}),
    "week:menu": Rule("staff", kwargs=lambda: {"pk": make_bare_week().pk}),
    "week:plan": Rule("staff", kwargs=lambda: {"pk": make_bare_week().pk}),
    "week:notes": Rule("staff", kwargs=lambda: {"pk": make_bare_week().pk}),
    "week:sheets": Rule("staff", kwargs=lambda: {"pk": make_bare_week().pk}),
    "week:release": Rule("staff", method="post", kwargs=lambda: {"pk": make_bare_week().pk}),
    "week:row-add": Rule("staff", kwargs=lambda: {"pk": make_bare_week().pk, "kind": "look"}),
    "week:row-edit": Rule("staff", kwargs=lambda: {"pk": make_bare_week().days.first().pk, "kind": "day"}),
    "week:row-move": Rule(
        "staff", method="post", kwargs=lambda: {"pk": make_bare_week().days.first().pk, "kind": "day"}
    ),
    "week:row-delete": Rule(
        "staff",
        method="post",
        kwargs=lambda: {"pk": make_bare_week().days.first().pk, "kind": "day"},
        fine=(409,),
    ),
    "week:bring-back": Rule(
        "staff", method="post", kwargs=lambda: {"pk": make_bare_week().pk, "change": uuid4()}, fine=(404,)
    ),
    "week:sheet": Rule("staff", kwargs=lambda: {"pk": make_bare_week().pk, "position": 0}, fine=(404,)),
    "week:grades": Rule("staff", saves="groups", kwargs=lambda: {"pk": make_bare_week().pk}),
    "week:grade-delete": Rule("staff", method="post", kwargs=lambda: {"pk": make_grade().pk}, fine=(409,)),
}
