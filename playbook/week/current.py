"""Which week the staff works on: one answer, which every page that does not name a week opens on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import Case, F, IntegerField, QuerySet, Value, When

from playbook.models import Week


@dataclass(frozen=True, slots=True)
class Switched:
    """A week that somebody switched to. It holds as long as the week that he switched away from is the usual one."""

    week_pk: int
    instead_of: int


def now_first(found: QuerySet[Week], today: date) -> QuerySet[Week]:
    """Returns the weeks, the next game's first, then the other games to come; then what is over, the latest first."""
    coming = Case(When(game_on__gte=today, then=Value(0)), default=Value(1), output_field=IntegerField())
    order = ("coming", Case(When(coming=0, then=F("game_on"))), "-season__year", "-number")
    return found.annotate(coming=coming).order_by(*order)


def usual_week(today: date) -> Week | None:
    """Returns the week whose game is next, after the last game the last week; none before there is any."""
    return now_first(Week.objects.select_related("season", "opponent", "system"), today).first()


def current_week(today: date, switched: Switched | None = None) -> Week | None:
    """Returns the week to work on: the one that was switched to while that holds, else the usual one."""
    usual = usual_week(today)
    if usual and switched and switched.instead_of == usual.pk:
        other = Week.objects.select_related("season", "opponent", "system").filter(pk=switched.week_pk).first()
        return other or usual
    return usual
