"""Loads the demo; loading it twice changes nothing that was edited in between."""

from __future__ import annotations

from dataclasses import dataclass

from django.db import transaction

from playbook import convert
from playbook.models import Player, Role, User

PASSWORD = "gap-sound-demo"


@dataclass(frozen=True, slots=True)
class LogIn:
    """One demo log-in, to print."""

    username: str
    password: str
    who: str


@transaction.atomic
def load() -> list[LogIn]:
    """Makes what is missing of the demo, and returns the log-ins to try."""
    convert.load_library()
    return load_people()


def load_people() -> list[LogIn]:
    """Makes the three demo log-ins."""
    people = [
        ("admin", Role.ADMIN, "Ottilie", "Brandvane", "runs the installation, exports PDFs"),
        ("coach", Role.STAFF, "Corwin", "Haldmere", "coaches: edits the system, opponents and weeks"),
        ("player", Role.PLAYER, "Tavish", "Orrowell", "plays: sees his own sheet"),
    ]
    log_ins = []
    for username, role, first, last, who in people:
        user, made = User.objects.get_or_create(
            username=username, defaults={"role": role, "first_name": first, "last_name": last}
        )
        if made:
            user.set_password(PASSWORD)
            user.save()
        if role == Role.PLAYER and not hasattr(user, "player"):
            Player.objects.create(user=user, first_name=first, last_name=last, number=54)
        log_ins.append(LogIn(username, PASSWORD, who))
    return log_ins
