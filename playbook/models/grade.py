"""How a player's fits were graded after the game."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from playbook.models.base import Versioned, history
from playbook.models.people import Player
from playbook.models.season import ExpectedLook, Week
from playbook.models.system import Call


class Effort(models.IntegerChoices):
    """How hard a man played a snap, against the standard that the staff sets."""

    BELOW = 1, "Below our standard"
    MET = 2, "Met our standard"
    ABOVE = 3, "Above our standard"


@history()
class FitGrade(Versioned):
    """One man's fit on one snap of the week's game. What was wrong is listed on his next sheet."""

    week = models.ForeignKey(Week, on_delete=models.CASCADE, related_name="grades")
    player = models.ForeignKey(Player, on_delete=models.CASCADE, related_name="grades")
    look = models.ForeignKey(ExpectedLook, null=True, blank=True, on_delete=models.SET_NULL, related_name="grades")
    call = models.ForeignKey(Call, null=True, blank=True, on_delete=models.SET_NULL, related_name="grades")
    snap = models.PositiveSmallIntegerField("snap number", null=True, blank=True)
    fit_right = models.BooleanField("right fit", default=True)
    leverage_right = models.BooleanField("right leverage", default=True)
    effort = models.PositiveSmallIntegerField(choices=Effort, default=Effort.MET)
    correction = models.CharField(max_length=300, blank=True)

    class Meta:
        ordering = ["player__last_name", "player__first_name", "snap", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(effort__in=Effort.values), name="fitgrade_effort_known"),
        ]

    def __str__(self) -> str:
        return f"{self.player}, {self.week}"
