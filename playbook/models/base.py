"""What rows share: versions against lost edits, a place in a list, history, and revisions of what many rows make up."""

from __future__ import annotations

from collections.abc import Callable
from functools import reduce
from operator import and_, or_
from typing import Any, TypeVar

import pghistory
import pgtrigger
from django.db import models
from django.db.models import Deferrable, F, Q

from fits.terms import words_of_name

Row = TypeVar("Row", bound=type[models.Model])


class StaleVersion(Exception):
    """Somebody saved this row since it was read. `current` is the row as it is now, or none when it was deleted."""

    def __init__(self, current: models.Model | None) -> None:
        super().__init__("Somebody else changed this since you opened it.")
        self.current = current


class Versioned(models.Model):
    """A row that counts its changes."""

    version = models.PositiveIntegerField(default=1, editable=False)

    class Meta:
        abstract = True

    def save_version(self, seen: int, **changes: Any) -> None:
        """Writes the changes only if the row's version is still the one that was seen.

        Raises StaleVersion otherwise, and leaves the row alone.
        """
        manager = type(self)._default_manager
        done = manager.filter(pk=self.pk, version=seen).update(version=F("version") + 1, **changes)
        if not done:
            raise StaleVersion(manager.filter(pk=self.pk).first())
        self.refresh_from_db()


class Labelled(Versioned):
    """A row with an identifier, `name`, for files and programs, and a `label`, what people call it.

    A row that comes without a label gets words made from its identifier.
    """

    class Meta:
        abstract = True

    def __str__(self) -> str:
        row: Any = self
        return str(row.label or words_of_name(row.name))

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Writes the row, with both names."""
        row: Any = self
        if not row.label:
            row.label = words_of_name(row.name)
        super().save(*args, **kwargs)


class Ordered(Versioned):
    """A versioned row with a place in its list, from 0; rows a coach can read and reorder."""

    order = models.PositiveIntegerField(default=0)

    class Meta:
        abstract = True
        ordering = ["order", "pk"]


def history(*, exclude: tuple[str, ...] = ()) -> Callable[[Row], Row]:
    """Returns a decorator that keeps every insert, update and delete of the table, whoever makes it."""

    def decorate(model: Row) -> Row:
        track = pghistory.track(
            pghistory.InsertEvent(),
            pghistory.UpdateEvent(),
            pghistory.DeleteEvent(),
            exclude=list(exclude) or None,
        )
        return track(model)

    return decorate


def in_list(*parent: str, name: str) -> models.UniqueConstraint:
    """Returns the constraint that rows of one parent have different places; checked when the transaction ends."""
    return models.UniqueConstraint(fields=[*parent, "order"], name=name, deferrable=Deferrable.DEFERRED)


def one_of(*fields: str, name: str) -> models.CheckConstraint:
    """Returns the constraint that exactly one of the fields is set."""
    only = [Q(**{f"{field}__isnull": field != chosen for field in fields}) for chosen in fields]
    return models.CheckConstraint(condition=reduce(or_, only), name=name)


def not_blank(*fields: str, name: str) -> models.CheckConstraint:
    """Returns the constraint that none of the text fields is empty."""
    filled = [~Q(**{field: ""}) for field in fields]
    return models.CheckConstraint(condition=reduce(and_, filled), name=name)


def known(field: str, choices: type[models.TextChoices], name: str) -> models.CheckConstraint:
    """Returns the constraint that the field holds one of the choices."""
    return models.CheckConstraint(condition=Q(**{f"{field}__in": choices.values}), name=name)


def bumps(table: str, where: str) -> pgtrigger.Trigger:
    """Returns a trigger that raises `revision` of the parent rows found by `where` (SQL that may use OLD and NEW).

    What is built from many rows can then be kept by (key, revision) and is never stale, whoever changed a row. The
    numbers come from a sequence, so that one given out in a transaction that was rolled back is never used again.
    """
    return pgtrigger.Trigger(
        name=f"bump_{table.removeprefix('playbook_')}",
        operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
        when=pgtrigger.After,
        func=f"UPDATE {table} SET revision = nextval('playbook_revision') WHERE {where}; RETURN NULL;",
    )


def own_revision(*fields: str) -> pgtrigger.Trigger:
    """Returns a trigger that raises the row's own `revision` when one of these fields changes."""
    return pgtrigger.Trigger(
        name="own_revision",
        operation=pgtrigger.Update,
        when=pgtrigger.Before,
        condition=pgtrigger.AnyChange(*fields),
        func="NEW.revision = nextval('playbook_revision'); RETURN NEW;",
    )
