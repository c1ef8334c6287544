"""Who may use the roster pages."""

from playbook.models import Player, Position, RosterSpot, System, User
from tests.playbook.access_rule import Rule


def _man():
    return Player.objects.create(first_name="Pell", last_name="Ardmoor")


def _player():
    return Player.objects.create(
        first_name="Odd", last_name="Marlow", user=User.objects.create_user("odd.marlow", role="player")
    )


def _spot():
    return {"pk": RosterSpot.objects.create(player=_man(), position=Position.objects.first()).pk}


TABLE = {
    "roster:list": Rule("staff"),
    "roster:add": Rule("staff"),
    "roster:edit": Rule("staff", kwargs=lambda: {"pk": _man().pk}),
    "roster:depth": Rule("staff", kwargs=lambda: {"pk": System.objects.first().pk}),
    "roster:take": Rule("staff"),
    "roster:links": Rule("staff", saves="staff"),
    "roster:shut-out": Rule("staff", "post", kwargs=lambda: {"pk": _player().pk}, saves="staff"),
    "roster:move-up": Rule("staff", "post", kwargs=_spot),
}
