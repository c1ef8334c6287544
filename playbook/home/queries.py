"""What the first screen reads."""

from __future__ import annotations

from datetime import date

from django.db.models import Q

from playbook.models import Front, Week
from playbook.week import queries as week_queries


def week_now(today: date) -> Week | None:
    """Returns the week to work on: the first whose game is not over, else the last one there is."""
    weeks = week_queries.weeks().order_by("season__year", "number")
    ahead = weeks.filter(Q(game_on__gte=today)).order_by("game_on").first()
    return ahead or weeks.last()


def a_front(week: Week | None) -> Front | None:
    """Returns a front to look at first: one of the week's system if there is a week."""
    fronts = Front.objects.filter(system=week.system) if week else Front.objects.all()
    return fronts.select_related("system").order_by("system", "order").first()
