"""Who may use the pages of tendencies: staff only."""

from playbook.models import Opponent
from tests.playbook.access_rule import Rule


def _opponent():
    return {"pk": Opponent.objects.get_or_create(name="Quarry Vale")[0].pk}


TABLE = {
    "tendencies:own": Rule("staff"),
    "tendencies:opponent": Rule("staff", kwargs=_opponent),
    "tendencies:own-report": Rule("staff", kwargs=lambda: {"name": "hash"}),
    "tendencies:own-export": Rule("staff", kwargs=lambda: {"name": "hash", "kind": "csv"}),
    "tendencies:report": Rule("staff", kwargs=lambda: _opponent() | {"name": "hash"}),
    "tendencies:export": Rule("staff", kwargs=lambda: _opponent() | {"name": "hash", "kind": "xlsx"}),
    "tendencies:sheet": Rule("staff", kwargs=_opponent),
    "tendencies:print": Rule("staff", kwargs=_opponent),
}
