"""What the documents' pages read."""

from __future__ import annotations

from django.db.models import QuerySet
from django.utils import timezone

from playbook.looks.specs import expected_looks
from playbook.models import Export, Week
from playbook.week import queries as week_queries
from playbook.week import sheets


def exports() -> QuerySet[Export]:
    """Returns the documents, newest first, without their content."""
    return Export.objects.defer("content").select_related("week", "week__opponent")


def weeks() -> QuerySet[Week]:
    """Returns the weeks, newest first."""
    return week_queries.weeks().order_by("-season__year", "-number")


def next_week() -> Week | None:
    """Returns the week whose game comes next, else the newest."""
    coming = weeks().filter(game_on__gte=timezone.localdate()).order_by("game_on")
    return coming.first() or weeks().first()


def look_choices(week: Week) -> list[tuple[int, str]]:
    """Returns the week's looks by key, in words."""
    return [
        (look.pk, f"{sheets.concept_title(look)} from {sheets.setting_words(look)}") for look in expected_looks(week)
    ]
