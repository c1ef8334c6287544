"""What weighs a plan: the looks that the staff took out of a week, stored results, studies."""

from __future__ import annotations

from typing import ClassVar

from django.db import models
from django.db.models import Q
from django.db.models.functions import Now

from playbook.models.offense import Concept, Formation, Motion
from playbook.models.season import BackSide, FieldZone, Week
from playbook.models.system import System


class ChartedSide(models.TextChoices):
    """Where a charted run goes, with the formation drawn strong to the right; empty when the chart does not say."""

    LEFT = "left", "Away from strength"
    RIGHT = "right", "To strength"
    MIDDLE = "middle", "To the middle"


class DroppedLook(models.Model):
    """A look that the staff took out of a week: counting again does not bring it back."""

    week = models.ForeignKey(Week, on_delete=models.CASCADE, related_name="dropped_looks")
    formation = models.ForeignKey(Formation, on_delete=models.CASCADE, related_name="+")
    concept = models.ForeignKey(Concept, on_delete=models.CASCADE, related_name="+")
    to = models.CharField(max_length=6, choices=ChartedSide, blank=True)
    zone = models.CharField(max_length=9, choices=FieldZone, blank=True)
    motion = models.ForeignKey(Motion, null=True, on_delete=models.CASCADE, related_name="+")
    back = models.CharField(max_length=6, choices=BackSide, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["week", "formation", "concept", "to", "zone", "motion", "back"],
                nulls_distinct=False,
                name="droppedlook_once",
            ),
            models.CheckConstraint(condition=Q(to__in=["", *ChartedSide.values]), name="droppedlook_to_known"),
            models.CheckConstraint(condition=Q(zone__in=["", *FieldZone.values]), name="droppedlook_zone_known"),
            models.CheckConstraint(condition=Q(back__in=["", *BackSide.values]), name="droppedlook_back_known"),
        ]

    def __str__(self) -> str:
        return f"{self.formation} {self.concept}"


class LookResult(models.Model):
    """What the engine said of one look, stored by the content it was derived from.

    The key is made of the call's rules, the formation, the concept and the setting; whatever has the same content has
    the same result, whoever asks and whatever it is called. `band` is empty where there is no look; `reason` says why.
    """

    key = models.UUIDField(primary_key=True)
    band = models.CharField(max_length=20, blank=True)
    findings = models.JSONField(default=list)
    reason = models.CharField(max_length=400, blank=True)
    made_at = models.DateTimeField(db_default=Now())

    class Meta:
        indexes: ClassVar = [models.Index(fields=["made_at"], name="lookresult_made_at")]
        constraints = [models.CheckConstraint(condition=~Q(band="") | ~Q(reason=""), name="lookresult_reasoned")]

    def __str__(self) -> str:
        return str(self.key)


class Study(models.Model):
    """Many looks derived by the workers: calls x formations x concepts x directions of one system."""

    system = models.ForeignKey(System, on_delete=models.CASCADE, related_name="studies")
    asked_by_name = models.CharField(max_length=150, blank=True)
    asked_at = models.DateTimeField(auto_now_add=True)
    request = models.JSONField()
    looks = models.PositiveIntegerField()
    finished_at = models.DateTimeField(null=True, blank=True)
    trouble = models.TextField(blank=True)

    class Meta:
        ordering = ["-asked_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.system}: {self.looks} looks"


class StudyPart(models.Model):
    """One formation's looks of a study. Whoever works on it holds the row; a dead worker's hold ends with it."""

    study = models.ForeignKey(Study, on_delete=models.CASCADE, related_name="parts")
    number = models.PositiveIntegerField()
    request = models.JSONField()
    looks = models.PositiveIntegerField()
    derived = models.PositiveIntegerField(null=True)
    counts = models.JSONField(default=dict)
    done_at = models.DateTimeField(null=True)
    done_by = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ["study", "number"]
        constraints = [models.UniqueConstraint(fields=["study", "number"], name="studypart_number_once")]

    def __str__(self) -> str:
        return f"part {self.number}"
