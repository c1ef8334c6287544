"""What the documents' pages read."""

from __future__ import annotations

from django.db.models import QuerySet

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


def look_choices(week: Week) -> list[tuple[int, str]]:
    """Returns the week's looks by key, in words."""
    return [
        (look.pk, f"{sheets.concept_title(look)} from {sheets.setting_words(look)}") for look in expected_looks(week)
    ]


def call_choices(week: Week) -> list[tuple[str, str]]:
    """Returns the calls of the week's system by name, in words: the menu's first, in its order."""
    menu = week_queries.menu_call_names(week)
    found = {call.name: str(call) for call in week.system.calls.all()}
    return [(name, found[name]) for name in dict.fromkeys([*menu, *found]) if name in found]
