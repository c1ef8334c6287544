"""Which players have looked at their sheets."""

from __future__ import annotations

from django.db import models

from playbook.models.people import Player
from playbook.models.season import Week


class SheetOpening(models.Model):
    """When a player last opened his sheet of a week in a state of it that he had not seen."""

    player = models.ForeignKey(Player, on_delete=models.CASCADE, related_name="openings")
    week = models.ForeignKey(Week, on_delete=models.CASCADE, related_name="openings")
    at = models.DateTimeField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["player", "week"], name="sheetopening_once")]

    def __str__(self) -> str:
        return f"{self.player}, {self.week}"
