"""Who may use the documents' addresses."""

from playbook.models import Export, Player, Rights, User
from tests.playbook.access_rule import Rule
from tests.playbook.week.made import LOOKS, make_bare_week, make_week, put_at


def make_export(**more):
    """A document that is ready."""
    fields = {"document": "install", "title": "A document", "made_by_name": "Somebody", "state": "done"}
    return Export.objects.create(**fields | {"content": b"%PDF-1.7"} | more)


def make_my_week():
    """A released week of the player who is signed in, if one is."""
    week = make_week(released=True, pairs=LOOKS[:1])
    user = User.objects.filter(role=Rights.PLAYER).first()
    if user:
        mine = {"first_name": "Ulric", "last_name": "Tannermoor", "number": 77}
        put_at(Player.objects.get_or_create(user=user, defaults=mine)[0], "M")
    return {"pk": week.pk}


TABLE = {
    "exports:list": Rule("staff"),
    "exports:add": Rule(
        "staff", saves="staff", method="post", kwargs=lambda: {"week": make_bare_week().pk, "document": "call-book"}
    ),
    "exports:detail": Rule("staff", kwargs=lambda: {"pk": make_export().pk}),
    "exports:file": Rule("staff", kwargs=lambda: {"pk": make_export().pk}),
    "exports:delete": Rule("admin", method="post", kwargs=lambda: {"pk": make_export().pk}),  # staff their own
    "exports:my-week": Rule("player", kwargs=make_my_week),
}
