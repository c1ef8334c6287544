"""What the first screen reads."""

from __future__ import annotations

from datetime import date

from django.db.models import Q

from playbook.models import Front, Week


def week_now(today: date, released_only: bool) -> Week | None:
    """Returns the week to work on: the first whose game is not over, else the last one there is."""
    weeks = Week.objects.select_related("opponent", "season", "system").order_by("season__year", "number")
    if released_only:
        weeks = weeks.filter(released=True)
    ahead = weeks.filter(Q(game_on__gte=today)).order_by("game_on").first()
    return ahead or weeks.last()


def a_front(week: Week | None) -> Front | None:
    """Returns a front to look at first: one of the week's system if there is a week."""
    fronts = Front.objects.filter(system=week.system) if week else Front.objects.all()
    return fronts.select_related("system").order_by("system", "order").first()
