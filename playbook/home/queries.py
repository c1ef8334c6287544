"""What the first screen reads."""

from __future__ import annotations

from playbook.installation import queries as installation
from playbook.models import Front, Week
from playbook.week import queries as week_queries


def with_state(week: Week | None) -> Week | None:
    """Returns the week with whether and when it was withdrawn."""
    return week_queries.weeks().get(pk=week.pk) if week else None


def a_front(week: Week | None) -> Front | None:
    """Returns a front to look at first: one of the week's system if there is a week, else of the staff's own."""
    fronts = Front.objects.filter(system=week.system if week else installation.own_system())
    return fronts.select_related("system").order_by("order").first()
