"""Opponents and what they carry into a game."""

from __future__ import annotations

from django.db import models

from playbook.models.base import Versioned, history, not_blank
from playbook.text import NameField


@history()
class Opponent(Versioned):
    """A team we prepare for. Its menu names the formations and concepts we expect of it."""

    name = NameField(max_length=120, unique=True)
    short_name = NameField(max_length=20, blank=True)
    note = models.TextField(blank=True)
    formations = models.ManyToManyField("playbook.Formation", blank=True, related_name="on_menus")
    concepts = models.ManyToManyField("playbook.Concept", blank=True, related_name="on_menus")
    motions = models.ManyToManyField("playbook.Motion", blank=True, related_name="on_menus")

    class Meta:
        ordering = ["name"]
        constraints = [not_blank("name", name="opponent_named")]

    def __str__(self) -> str:
        return self.name
