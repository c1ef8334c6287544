"""What changes the installation."""

from __future__ import annotations

import secrets
from typing import Any

from django.db import connection, transaction

from playbook.installation import queries
from playbook.models import Installation, Opponent, Rights, Season, User, Week


class Taken(Exception):
    """Somebody runs this installation already."""


def right_code(typed: str) -> bool:
    """Returns whether this is the code, however it is spaced."""
    letters = "".join(letter for letter in typed.upper() if letter.isalnum())
    return secrets.compare_digest(letters.encode(), queries.code().replace("-", "").encode())


@transaction.atomic
def add_first_admin(username: str, first_name: str, last_name: str, password: str) -> User:
    """Returns the first admin. Of two at the same moment the second gets Taken."""
    with connection.cursor() as cursor:
        cursor.execute("select pg_advisory_xact_lock(540055)")
    if queries.has_admin():
        raise Taken
    return User.objects.create_user(
        username, password=password, role=Rights.ADMIN, first_name=first_name, last_name=last_name
    )


@transaction.atomic
def finish(step: str, **values: Any) -> Installation:
    """Writes what a step found out, and that it is done (or, without values, left out)."""
    Installation.objects.get_or_create(pk=1)
    row = Installation.objects.select_for_update().get(pk=1)
    row.save_version(row.version, steps=sorted({*row.steps, step}), **values)
    return row


@transaction.atomic
def keep_for(**values: int) -> Installation:
    """Writes how long things are kept."""
    Installation.objects.get_or_create(pk=1)
    row = Installation.objects.select_for_update().get(pk=1)
    row.save_version(row.version, **values)
    return row


@transaction.atomic
def add_opponent(name: str, lists: dict[str, Any]) -> Opponent:
    """Returns the first opponent with what he carries."""
    opponent = Opponent.objects.create(name=name)
    for field, rows in lists.items():
        getattr(opponent, field).set(rows)
    finish("opponent")
    return opponent


@transaction.atomic
def add_week(season: dict[str, Any], week: dict[str, Any]) -> Week:
    """Returns the first week, in its season."""
    year = Season.objects.get_or_create(year=season["year"], defaults={"book": season["book"]})[0]
    made = Week.objects.create(season=year, number=1, **week)
    finish("week")
    return made
