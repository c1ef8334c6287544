"""Rows of a week that somebody took off or back, and how they come back, with what went with them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.core.exceptions import ObjectDoesNotExist
from django.db import IntegrityError, connection, transaction
from django.db.models import Max, Q
from django.utils import timezone

from playbook.models import Day, ExpectedLook, FitGrade, MenuCall, PlanEntry, Week

KEPT = timedelta(days=14)
SHOWN = 5
OF_TAB: dict[str, tuple[type[Any], ...]] = {
    "looks": (ExpectedLook,),
    "menu": (MenuCall,),
    "plan": (Day, PlanEntry),
    "grades": (FitGrade,),
}
ORDER: tuple[type[Any], ...] = (Day, ExpectedLook, MenuCall, PlanEntry, FitGrade)  # what others hang on comes first


class CannotComeBack(Exception):
    """What was taken off cannot come back; the text says why. Nothing was changed."""


@dataclass(frozen=True, slots=True)
class Taken:
    """What was taken off at once: in words, when, and by which change."""

    what: str
    at: datetime
    change: UUID


def taken_off(week: Week, tab: str) -> list[Taken]:
    """Returns what was last taken off a tab and is not back, newest first."""
    found: dict[UUID, Taken] = {}
    for model in OF_TAB[tab]:
        gone = _deleted(model, week).filter(pgh_created_at__gt=timezone.now() - KEPT, pgh_context__isnull=False)
        gone = gone.exclude(pgh_obj_id__in=model.objects.values("pk"))
        for event in gone.order_by("-pgh_id")[:SHOWN]:
            words = _words(model, event)
            if words:
                found.setdefault(event.pgh_context_id, Taken(words, event.pgh_created_at, event.pgh_context_id))
    return sorted(found.values(), key=lambda taken: taken.at, reverse=True)[:SHOWN]


@transaction.atomic
def bring_back(week: Week, change: UUID) -> None:
    """Puts back all that one change took off; done twice it is done once. Raises CannotComeBack."""
    Week.objects.select_for_update().get(pk=week.pk)
    events = [(model, event) for model in ORDER for event in _deleted(model, week).filter(pgh_context_id=change)]
    if not events:
        raise CannotComeBack("Nothing like that was taken off this week.")
    try:
        with transaction.atomic():
            for model, event in events:
                if not model.objects.filter(pk=event.pgh_obj_id).exists():
                    _put_back(model, event)
            _hang_on_again(change)
            connection.check_constraints()
    except IntegrityError as error:
        raise CannotComeBack("Something that it needs is gone, or the same was added meanwhile.") from error


def _deleted(model: type[Any], week: Week) -> Any:
    events = model.pgh_event_models["delete"].objects.filter(pgh_label="delete")
    if model is PlanEntry:
        days = Day.pgh_event_models["delete"].objects.filter(week_id=week.pk).values("id")  # type: ignore[attr-defined]
        return events.filter(Q(day_id__in=week.days.values("pk")) | Q(day_id__in=days))
    return events.filter(week_id=week.pk)


def _put_back(model: type[Any], event: Any) -> None:
    values = {field.attname: getattr(event, field.attname) for field in model._meta.concrete_fields}
    row = model(**(values | {"version": event.version + 1}))
    if hasattr(row, "order"):
        owner = {"day": row.day_id} if model is PlanEntry else {"week": row.week_id}
        others = model.objects.filter(**owner)
        if others.filter(order=row.order).exists():
            row.order = others.aggregate(last=Max("order"))["last"] + 1
    for name in ("look_id", "call_id"):
        related = model._meta.get_field(name[:-3]).related_model if name in values else None
        if related is not None and model is not MenuCall and not related.objects.filter(pk=values[name]).exists():
            setattr(row, name, None)
    row.save(force_insert=True)


def _hang_on_again(change: UUID) -> None:
    """Gives entries and grades the look back that went away from under them."""
    for model in (PlanEntry, FitGrade):
        events = model.pgh_event_models["update"].objects  # type: ignore[attr-defined]
        for event in events.filter(pgh_label="update", pgh_context_id=change, look_id=None):
            before = events.filter(pgh_obj_id=event.pgh_obj_id, pgh_id__lt=event.pgh_id).order_by("-pgh_id").first()
            if before and before.look_id and ExpectedLook.objects.filter(pk=before.look_id).exists():
                model.objects.filter(pk=event.pgh_obj_id, look=None).update(look=before.look_id)


def _words(model: type[Any], event: Any) -> str:
    """Returns what the row is called; nothing when what it was about is gone, as it cannot come back then."""
    values = {field.attname: getattr(event, field.attname) for field in model._meta.concrete_fields}
    row = model(**values)
    try:
        return f"{row.player}" + (f", snap {row.snap}" if row.snap else "") if model is FitGrade else str(row)
    except ObjectDoesNotExist:
        return ""
