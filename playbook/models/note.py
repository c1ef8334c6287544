"""What coaches write to each other beside their work."""

from __future__ import annotations

import uuid

from django.db import models
from django.utils import timezone

from playbook.models.base import Versioned, history, not_blank
from playbook.models.offense import Concept, Formation
from playbook.models.people import User
from playbook.models.season import Day, Week
from playbook.models.system import Call


@history()
class Note(Versioned):
    """What a coach writes about a look (a formation with a concept), a call, a day or a week, or in answer to a note.

    It is for all of the staff, or for one coach: then nobody else but its author sees it. An answer is for whom its
    note is for. `about` says what it was about even when that is gone. `key` is the form it was sent with: sent twice,
    it is kept once.
    """

    week = models.ForeignKey(Week, null=True, blank=True, on_delete=models.CASCADE, related_name="notes")
    formation = models.ForeignKey(Formation, null=True, blank=True, on_delete=models.SET_NULL, related_name="notes")
    concept = models.ForeignKey(Concept, null=True, blank=True, on_delete=models.SET_NULL, related_name="notes")
    call = models.ForeignKey(Call, null=True, blank=True, on_delete=models.SET_NULL, related_name="notes")
    day = models.ForeignKey(Day, null=True, blank=True, on_delete=models.SET_NULL, related_name="notes")
    about = models.CharField(max_length=300, blank=True)
    answers = models.ForeignKey("self", null=True, blank=True, on_delete=models.CASCADE, related_name="replies")
    author = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="notes")
    author_name = models.CharField(max_length=310)
    for_all = models.BooleanField(default=True)
    to = models.ForeignKey(User, null=True, blank=True, on_delete=models.SET_NULL, related_name="notes_to_him")
    text = models.TextField()
    key = models.UUIDField(unique=True, default=uuid.uuid4)
    at = models.DateTimeField(default=timezone.now)
    resolved_at = models.DateTimeField(null=True, blank=True)
    resolved_by = models.CharField(max_length=310, blank=True)
    deleted_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["at", "pk"]
        constraints = [
            not_blank("text", name="note_filled"),
            models.CheckConstraint(condition=models.Q(for_all=False) | models.Q(to=None), name="note_for_all_or_one"),
        ]

    def __str__(self) -> str:
        return f"{self.author_name}: {self.text[:60]}"


class NoteSeen(models.Model):
    """That somebody has seen a note."""

    note = models.ForeignKey(Note, on_delete=models.CASCADE, related_name="seen")
    user = models.ForeignKey(User, on_delete=models.CASCADE, related_name="notes_seen")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["note", "user"], name="noteseen_once")]

    def __str__(self) -> str:
        return f"{self.user}: {self.note}"
