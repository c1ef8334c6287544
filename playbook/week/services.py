"""What changes a week and what belongs to it."""

from __future__ import annotations

from typing import Any

from django.db import models, transaction
from django.db.models import Max

from playbook.models import Day, ExpectedLook, FitGrade, MenuCall, PlanEntry, Season, StaleVersion, Week


def save_season(season: Season, seen: int, changes: dict[str, Any]) -> None:
    """Writes a season's changes. Raises StaleVersion."""
    season.save_version(seen, **changes)


@transaction.atomic
def add_week(fields: dict[str, Any], start_from: Week | None = None) -> Week:
    """Returns a new week; it starts from another week's days, plan and call menu when one is given."""
    week = Week.objects.create(**fields)
    if start_from is not None:
        copy_work(start_from, week)
    return week


def copy_work(source: Week, target: Week) -> None:
    """Copies days and their entries, and the calls that the target's system has, without dates and looks."""
    for day in source.days.prefetch_related("entries"):
        made = Day.objects.create(week=target, label=day.label, order=day.order, note=day.note)
        entries = [
            PlanEntry(day=made, group=e.group, text=e.text, minutes=e.minutes, contact=e.contact, order=e.order)
            for e in day.entries.all()
        ]
        PlanEntry.objects.bulk_create(entries)
    calls = {call.name: call for call in target.system.calls.all()}
    kept = ("order", "down", "distance_from", "distance_to", "zone", "personnel", "note")
    MenuCall.objects.bulk_create(
        MenuCall(week=target, call=calls[entry.call.name], **{name: getattr(entry, name) for name in kept})
        for entry in source.menu_calls.select_related("call")
        if entry.call.name in calls
    )


class KeepsSystem(Exception):
    """The week's menu or plan uses calls of its system, so the system cannot be changed."""


@transaction.atomic
def change_week(week: Week, seen: int, changes: dict[str, Any]) -> None:
    """Writes a week's changes. Another system keeps the menu's calls by name. Raises StaleVersion, KeepsSystem."""
    system = changes.get("system")
    if system is not None and system.pk != week.system_id:
        _follow_system(week, system)
    week.save_version(seen, **changes)


def _follow_system(week: Week, system: Any) -> None:
    calls = {call.name: call for call in system.calls.all()}
    entries = list(week.menu_calls.select_related("call"))
    planned = list(PlanEntry.objects.filter(day__week=week, call__isnull=False).select_related("call"))
    lost = sorted({row.call.name for row in [*entries, *planned] if row.call and row.call.name not in calls})
    if lost:
        raise KeepsSystem(f"The week uses calls that {system} does not have: {', '.join(lost)}. Take them off first.")
    for row in [*entries, *planned]:
        row.call = calls[row.call.name]  # type: ignore[union-attr]
        row.save()


def _siblings(row: Any) -> models.QuerySet[Any]:
    owner = {"day": row.day} if isinstance(row, PlanEntry) else {"week": row.week}
    return type(row).objects.filter(**owner)


@transaction.atomic
def add_row(row: MenuCall | ExpectedLook | Day | PlanEntry) -> None:
    """Adds a row at the end of its list."""
    week = row.day.week if isinstance(row, PlanEntry) else row.week
    Week.objects.select_for_update().get(pk=week.pk)
    last = _siblings(row).aggregate(last=Max("order"))["last"]
    row.order = 0 if last is None else last + 1
    row.save()


@transaction.atomic
def change_row(row: Any, seen: int, changes: dict[str, Any]) -> None:
    """Writes a row's changes; an entry that goes to another day goes to its end. Raises StaleVersion."""
    day = changes.get("day")
    if isinstance(row, PlanEntry) and day is not None and day.pk != row.day_id:
        last = day.entries.aggregate(last=Max("order"))["last"]
        changes = changes | {"order": 0 if last is None else last + 1}
    row.save_version(seen, **changes)


@transaction.atomic
def move_row(row: MenuCall | ExpectedLook | Day | PlanEntry, step: int) -> None:
    """Swaps a row with its neighbour before (-1) or after (+1) it; at the end of the list nothing happens."""
    rows = list(_siblings(row).select_for_update().order_by("order"))
    at = next((number for number, other in enumerate(rows) if other.pk == row.pk), None)
    if at is None or not 0 <= at + step < len(rows):
        return
    mine, other = rows[at], rows[at + step]
    mine.order, other.order = other.order, mine.order
    mine.save(update_fields=["order"])
    other.save(update_fields=["order"])


@transaction.atomic
def delete_row(row: MenuCall | ExpectedLook | Day | PlanEntry | FitGrade, seen: int) -> None:
    """Deletes a row; its history stays, and brings it back. Raises StaleVersion."""
    now: Any = type(row)._default_manager.select_for_update().filter(pk=row.pk).first()
    if now is None or now.version != seen:
        raise StaleVersion(now)
    now.delete()


def add_grade(grade: FitGrade) -> FitGrade:
    """Writes a grade."""
    grade.save()
    return grade
