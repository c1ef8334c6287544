"""What rows share: a version number, so that of two people editing the same row the second is told."""

from __future__ import annotations

from typing import Any

from django.db import models
from django.db.models import F


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
