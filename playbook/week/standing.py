"""Where a week stands, as every tab of the week and the first screen show it. Reads only."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django.utils import timezone

from playbook.models import Week
from playbook.proof import studies
from playbook.proof.results import NotStored
from playbook.week import queries, sheets, state


def of_week(week: Week, *, derive: bool = False) -> dict[str, Any]:
    """Returns the figures of a week and what to do next, by the names that templates use.

    Looks that nobody has asked about yet are `pending` unless they are to be derived: a plan does not wait for them.
    Where they are more than a page can wait for, the workers do it, and `proving` says how far they are.
    """
    names = queries.menu_call_names(week)
    pending, rows, proving = False, [], None
    try:
        rows = queries.look_rows(week, names, derive=False)
    except NotStored as short:
        proving = studies.waiting(week, names, short) if derive else None
        pending = proving is not None or not derive
        rows = [] if pending else queries.look_rows(week, names)
    planned, trouble = queries.plan(week), sheets.system_trouble(week)
    on_menu = week.menu_calls.count()
    now = state.week_state(week, rows, len(names))
    if pending:
        now = replace(now, looks=week.expected_looks.count(), guesses=week.expected_looks.filter(guess=True).count())
    return {
        "week": week,
        "pending": pending,
        "proving": proving,
        "rows": rows,
        "calls": names,
        "trouble": trouble,
        "state": now,
        "on_menu": on_menu,
        "plan_days": len(planned.days),
        "tasks": state.tasks(week, now, planned, on_menu, trouble, timezone.localdate()),
    }
