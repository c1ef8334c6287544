"""What players answered when they quizzed themselves."""

from __future__ import annotations

from django.db import models

from playbook.models.people import Player
from playbook.models.season import ExpectedLook, Week
from playbook.models.system import Call


class Ask(models.TextChoices):
    """What a question asks for."""

    FIT = "fit", "Where do you fit?"
    KEY = "key", "Whom do you read?"
    PLACE = "place", "Where do you line up?"


class QuizAnswer(models.Model):
    """One answer of one player, with what was right at that time; never changed afterwards."""

    player = models.ForeignKey(Player, on_delete=models.CASCADE, related_name="answers")
    week = models.ForeignKey(Week, on_delete=models.CASCADE, related_name="answers")
    look = models.ForeignKey(ExpectedLook, on_delete=models.CASCADE, related_name="answers")
    call = models.ForeignKey(Call, on_delete=models.CASCADE, related_name="answers")
    role = models.CharField(max_length=20)
    ask = models.CharField(max_length=5, choices=Ask)
    given = models.CharField(max_length=120)
    expected = models.CharField(max_length=120)
    right = models.BooleanField()
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-at", "-pk"]
        indexes = [models.Index(fields=["week", "player"], name="quizanswer_week_player")]
        constraints = [
            models.CheckConstraint(condition=models.Q(ask__in=Ask.values), name="quizanswer_ask_known"),
        ]

    def __str__(self) -> str:
        return f"{self.player}: {self.given}"
