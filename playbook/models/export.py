"""Documents made for download."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from playbook.models.people import User
from playbook.models.season import Week


class Document(models.TextChoices):
    """The documents there are."""

    BOOKLET = "booklet", "Position booklet"
    MY_WEEK = "my-week", "My week, on one page"
    QUIZ = "quiz", "Quiz on paper"
    HAND_OUT = "hand-out", "Meeting hand-out"
    WALL = "wall", "Wall picture"
    CARDS = "cards", "Cards, four on a page"
    CALL_BOOK = "call-book", "Call book"
    INSTALL = "install", "Install plan of a group"


class Paper(models.TextChoices):
    """The papers there are, by the typesetter's names."""

    LETTER = "us-letter", "Letter"
    A4 = "a4", "A4"


class ExportState(models.TextChoices):
    """How far an export is."""

    WAITING = "waiting", "Waiting"
    WORKING = "working", "Being made"
    DONE = "done", "Ready"
    FAILED = "failed", "Failed"


class Export(models.Model):
    """One document, who asked for it, how far it is, and in the end the file itself.

    The file is kept in the database, so that a worker on any machine can make it and any web server can hand it out.
    """

    document = models.CharField(max_length=10, choices=Document)
    week = models.ForeignKey(Week, null=True, blank=True, on_delete=models.SET_NULL, related_name="exports")
    choice = models.JSONField(default=dict, blank=True)
    title = models.CharField(max_length=200)
    made_by = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="exports")
    made_by_name = models.CharField(max_length=150)
    state = models.CharField(max_length=8, choices=ExportState, default=ExportState.WAITING)
    step = models.PositiveIntegerField(default=0)
    steps = models.PositiveIntegerField(default=0)
    trouble = models.TextField(blank=True)
    warning = models.TextField("what its readers should know", blank=True)
    content = models.BinaryField(null=True)
    size = models.PositiveIntegerField(default=0)
    digest = models.CharField(max_length=64, blank=True)
    asked_at = models.DateTimeField(auto_now_add=True)
    finished_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-asked_at", "-pk"]
        constraints = [
            models.CheckConstraint(condition=Q(document__in=Document.values), name="export_document_known"),
            models.CheckConstraint(condition=Q(state__in=ExportState.values), name="export_state_known"),
            models.CheckConstraint(
                condition=~Q(state=ExportState.DONE) | Q(content__isnull=False), name="export_done_has_content"
            ),
        ]

    def __str__(self) -> str:
        return self.title
