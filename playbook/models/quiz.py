"""What players answered when they quizzed themselves."""

from __future__ import annotations

import uuid

from django.db import models
from django.utils import timezone

from playbook.models.people import Player
from playbook.models.season import ExpectedLook, Week
from playbook.models.system import Call


class Ask(models.TextChoices):
    """What a question asks for."""

    FIT = "fit", "Where do you fit?"
    KEY = "key", "Whom do you read?"
    PLACE = "place", "Where do you line up?"


class QuizAnswer(models.Model):
    """One answer of one player, with what was right at that time; never changed afterwards.

    `key` is made by whoever asks for him (a page, a phone without signal), so that an answer that is sent twice is kept
    once; `at` is when he answered, which may be long before it was sent. `rule` is what he had to know for it (the id
    of a fit rule, or what he reads or where he stands), `about` says it in words, `position` is whose it is.
    """

    key = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    round = models.UUIDField(default=uuid.uuid4, editable=False)
    player = models.ForeignKey(Player, on_delete=models.CASCADE, related_name="answers")
    week = models.ForeignKey(Week, on_delete=models.CASCADE, related_name="answers")
    look = models.ForeignKey(ExpectedLook, on_delete=models.CASCADE, related_name="answers")
    call = models.ForeignKey(Call, on_delete=models.CASCADE, related_name="answers")
    role = models.CharField(max_length=20)
    position = models.CharField(max_length=20, blank=True)
    ask = models.CharField(max_length=5, choices=Ask)
    rule = models.CharField(max_length=120, blank=True)
    about = models.CharField(max_length=300, blank=True)
    given = models.CharField(max_length=120)
    expected = models.CharField(max_length=120)
    right = models.BooleanField()
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["-at", "-pk"]
        indexes = [
            models.Index(fields=["week", "player"], name="quizanswer_week_player"),
            models.Index(fields=["player", "position", "at"], name="quizanswer_player_position"),
        ]
        constraints = [
            models.CheckConstraint(condition=models.Q(ask__in=Ask.values), name="quizanswer_ask_known"),
        ]

    def __str__(self) -> str:
        return f"{self.player}: {self.given}"
