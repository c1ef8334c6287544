"""What the staff calls its program, which system it runs, its quiz's clock, and which steps it left out at first."""

from __future__ import annotations

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from playbook.models.base import Versioned, history
from playbook.models.system import System
from playbook.text import NameField


@history()
class Installation(Versioned):
    """The one row about the whole installation; it is made when something is first written into it."""

    id = models.PositiveSmallIntegerField(primary_key=True, default=1, editable=False)
    name = NameField(max_length=60, blank=True)
    system = models.ForeignKey(System, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    quiz_clock_s = models.PositiveSmallIntegerField(  # seconds for a question of the quiz; none: no clock
        null=True, blank=True, validators=[MinValueValidator(5), MaxValueValidator(120)]
    )
    log_days = models.PositiveIntegerField(default=365, validators=[MinValueValidator(30), MaxValueValidator(3650)])
    grade_years = models.PositiveSmallIntegerField(default=0, validators=[MaxValueValidator(20)])  # 0: for good
    steps = models.JSONField(default=list, blank=True)  # steps of the first visit that are done or left out

    class Meta:
        constraints = [models.CheckConstraint(condition=Q(id=1), name="installation_once")]

    def __str__(self) -> str:
        return self.name or "Laneproof"
