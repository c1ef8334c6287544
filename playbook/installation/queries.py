"""What is known about the installation."""

from __future__ import annotations

import base64

from django.utils.crypto import salted_hmac

from playbook.models import Installation, Opponent, Rights, System, User, Week

STEPS = {
    "name": "Name",
    "system": "Your system",
    "words": "Your words",
    "opponent": "First opponent",
    "week": "First week",
}

# Said of each shipped system, none before another; by the name in its file.
ABOUT = {
    "odd-three-safety": "Three down linemen, three backers, and three safeties who read the run and add to the fit.",
    "okie-two-gap": "Three down linemen who play two gaps each; two safeties deep, the corners force.",
    "over-quarters": "Four down linemen set to the tight end, one gap a man; two safeties read #2 and force.",
    "under-cover-3": "Four down linemen, a backer on the tight end; one safety deep, the strong safety forces.",
}


def has_admin() -> bool:
    """Returns whether somebody runs this installation already."""
    return User.objects.filter(role=Rights.ADMIN).exists()


def code() -> str:
    """Returns the code that shows that somebody may read what the server prints; it is good until there is an admin."""
    digest = salted_hmac("playbook.installation.code", "the first admin", algorithm="sha256").digest()
    letters = base64.b32encode(digest).decode()[:16]
    return "-".join(letters[at : at + 4] for at in range(0, 16, 4))


def program() -> str:
    """Returns what the staff calls its program."""
    name = Installation.objects.values_list("name", flat=True).first()
    return name or "Laneproof"


def installation() -> Installation:
    """Returns the row about the installation, or a new one that is not written yet."""
    return Installation.objects.select_related("system").first() or Installation()


def left() -> list[str]:
    """Returns the steps of the first visit that are neither done nor left out, in their order."""
    done = set(installation().steps)
    return [step for step in STEPS if step not in done and not is_there(step)]


def is_there(step: str) -> bool:
    """Returns whether the opponent or the week that a step makes is there, by whichever way it came."""
    made = {"opponent": Opponent.objects.exists, "week": Week.objects.exists}
    return step in made and made[step]()


def put_off() -> list[str]:
    """Returns the steps that were left out and of which nothing is there yet; the words have always some."""
    row = installation()
    there = {"name": bool(row.name), "system": row.system is not None, "words": True}
    return [step for step in row.steps if not there.get(step, is_there(step))]


def system() -> System | None:
    """Returns the system the staff chose, where it is still there."""
    return installation().system


def own_system() -> System | None:
    """Returns the system to begin with: the one the staff chose, else the first there is."""
    return system() or System.objects.first()
