"""What players were given of a week: rows that are never changed afterwards, and who has opened them."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from playbook.models.people import Player
from playbook.models.season import Week
from playbook.models.system import Group


class Publication(models.Model):
    """A week as it was given to the players of a group, or to all (empty). Withdrawing it is all that happens to it.

    Players see it once it is made (`ready_at`): a worker makes it, as it takes some seconds.
    """

    week = models.ForeignKey(Week, on_delete=models.CASCADE, related_name="publications")
    group = models.CharField("for", max_length=10, choices=Group, blank=True)
    title = models.CharField(max_length=200)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(auto_now_add=True)
    ready_at = models.DateTimeField(null=True, blank=True)
    trouble = models.CharField(max_length=300, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-pk"]
        indexes = [models.Index(fields=["week", "-id"], name="publication_week")]
        constraints = [
            models.CheckConstraint(condition=models.Q(group__in=["", *Group.values]), name="publication_group_known"),
        ]

    def __str__(self) -> str:
        return self.title

    @property
    def whom(self) -> str:
        """Whom it is for, in words."""
        return self.get_group_display() if self.group else "everybody"


class PublishedSheet(models.Model):
    """What one man's sheet says in a publication, as the page shows it."""

    publication = models.ForeignKey(Publication, on_delete=models.CASCADE, related_name="sheets")
    role = models.CharField(max_length=20)
    position = models.CharField(max_length=10)
    order = models.PositiveSmallIntegerField()
    content = models.JSONField()

    class Meta:
        ordering = ["publication", "order"]
        constraints = [models.UniqueConstraint(fields=["publication", "role"], name="publishedsheet_once")]

    def __str__(self) -> str:
        return f"{self.role}, {self.publication}"


class PublishedPicture(models.Model):
    """A drawing of a publication, and how everybody moves in it; made once, soon after the words beside it.

    `look` and `call` say what is drawn, `state` names the words and the scene: made of any other, it is not kept.
    """

    publication = models.ForeignKey(Publication, on_delete=models.CASCADE, related_name="pictures")
    state = models.CharField(max_length=64)
    role = models.CharField(max_length=20)
    position = models.CharField(max_length=10)
    call = models.CharField(max_length=200)
    look = models.PositiveBigIntegerField()
    words = models.TextField()
    svg = models.TextField(blank=True)
    steps = models.JSONField(null=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["publication", "state"], name="publishedpicture_once")]

    def __str__(self) -> str:
        return self.words


class SheetOpening(models.Model):
    """When a player first opened a sheet of a publication, in one of his positions."""

    player = models.ForeignKey(Player, on_delete=models.CASCADE, related_name="openings")
    week = models.ForeignKey(Week, on_delete=models.CASCADE, related_name="openings")
    role = models.CharField(max_length=20, blank=True)
    at = models.DateTimeField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["player", "week", "role"], name="sheetopening_once")]

    def __str__(self) -> str:
        return f"{self.player}, {self.week}"
