"""The history of a system, one entry for each time somebody saved, and its undoing.

The database keeps every version of every row, with who and when. What was saved together is undone together, as long
as nobody changed the same rows since.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import IntegrityError, transaction
from django.db.models import F

import fits
from playbook.models import (
    AlignRule,
    Call,
    Coverage,
    FitRule,
    ForceRule,
    Front,
    KeyRule,
    Position,
    System,
    TakeRule,
    Technique,
    TechniqueScheme,
    User,
)
from playbook.system.rules import KIND_OF, as_text
from playbook.system.services import Refused, proven

PARTS: tuple[type[Any], ...] = (Position, Front, Coverage)
RULES: tuple[type[Any], ...] = (AlignRule, KeyRule, FitRule, TakeRule, ForceRule)
MODELS = (TechniqueScheme, System, Technique, *PARTS, *RULES, Call)
SHOWN = 60
COUNTERS = ("version", "order")
NOUNS = {
    AlignRule: "alignment rule",
    KeyRule: "key rule",
    FitRule: "fit rule",
    TakeRule: "pass duty",
    ForceRule: "force",
}


@dataclass(slots=True)
class Step:
    """What happened to one row: its versions before and after, none where it did not exist."""

    model: type[Any]
    pk: int
    before: Any
    after: Any
    last: int

    @property
    def noun(self) -> str:
        """Returns what kind of row it is."""
        return NOUNS.get(self.model, self.model._meta.verbose_name)

    @property
    def words(self) -> str:
        """Returns what happened, in a word."""
        if self.before is None:
            return "added"
        if self.after is None:
            return "taken out"
        return "changed" if _content(self.before) != _content(self.after) else "moved"

    @property
    def real(self) -> bool:
        """Returns whether anything but a counter is different."""
        if self.before is None or self.after is None:
            return True
        places = [getattr(event, "order", None) for event in (self.before, self.after)]
        return places[0] != places[1] or _content(self.before) != _content(self.after)

    @property
    def texts(self) -> tuple[str, str]:
        """Returns the row as it was and as it became, as lines of text."""
        before, after = _text(self.model, self.before), _text(self.model, self.after)
        if self.words == "moved":
            return f"Place: {self.before.order + 1}\n{before}", f"Place: {self.after.order + 1}\n{after}"
        return before, after


@dataclass(slots=True)
class Change:
    """What one person saved at one time."""

    id: UUID
    at: datetime
    who: str
    steps: list[Step] = field(default_factory=list)

    @property
    def title(self) -> str:
        """Returns what was saved, in short: the first step, and how many more."""
        first, more = self.told[0], len(self.told) - 1
        whose = getattr(first.after or first.before, "who", "")
        return f"{first.noun}{f' of {whose}' if whose else ''} {first.words}{f', and {more} more' if more else ''}"

    @property
    def told(self) -> list[Step]:
        """Returns the steps worth telling; rows that only made room are left out."""
        real = [step for step in self.steps if step.words != "moved"]
        return real or self.steps[:1]


def changes_of(system: System) -> list[Change]:
    """Returns the latest changes of a system, newest first."""
    recent = _recent(system)
    newest = list(recent)[:SHOWN]
    steps = _steps(system, newest)
    people = _people(system, newest)
    told = [context for context in newest if steps.get(context)]
    return [Change(context, recent[context], people.get(context, "somebody"), steps[context]) for context in told]


def _recent(system: System) -> dict[UUID, datetime]:
    """Returns when each change of a system was saved, the newest first."""
    recent: dict[UUID, datetime] = {}
    for model in MODELS:
        rows = events_of(model, system).filter(pgh_context__isnull=False).order_by("-pgh_id")
        for context, at in rows.values_list("pgh_context_id", "pgh_created_at")[:2000]:
            recent[context] = max(at, recent.get(context, at))
    return dict(sorted(recent.items(), key=lambda pair: pair[1], reverse=True))


def _people(system: System, contexts: Iterable[UUID]) -> dict[UUID, str]:
    context_model = AlignRule.pgh_event_model._meta.get_field("pgh_context").related_model  # type: ignore[attr-defined]
    users = {}
    for row in context_model.objects.filter(pk__in=list(contexts)):
        users[row.pk] = row.metadata.get("user")
    names = {user.pk: str(user) for user in User.objects.filter(pk__in=[pk for pk in users.values() if pk])}
    return {context: names.get(pk, "somebody who is gone") for context, pk in users.items()}


def events_of(model: type[Any], system: System) -> Any:
    """Returns every kept version of the system's rows of a table, those of deleted rows included."""
    events = _event_model(model).objects.all()
    if model is System:
        return events.filter(pgh_obj_id=system.pk)
    if model in (*PARTS, Call):
        return events.filter(system_id=system.pk)
    if model in (Technique, TechniqueScheme):
        own = _event_model(TechniqueScheme).objects.filter(inline=True, id__in=_schemes(system)).values("id")
        return events.filter(**{"id__in" if model is TechniqueScheme else "scheme_id__in": own})
    coverages = _event_model(Coverage).objects.filter(system_id=system.pk).values("id")
    if model in (TakeRule, ForceRule):
        return events.filter(coverage_id__in=coverages)
    fronts = _event_model(Front).objects.filter(system_id=system.pk).values("id")
    return events.filter(front_id__in=fronts) | events.filter(coverage_id__in=coverages)


def _schemes(system: System) -> Any:
    """The numberings that the system has or had."""
    return _event_model(System).objects.filter(pgh_obj_id=system.pk).values("scheme_id")


def _event_model(model: type[Any]) -> Any:
    return model.pgh_event_models["insert"]


def _steps(system: System, contexts: list[UUID]) -> dict[UUID, list[Step]]:
    found: dict[UUID, list[Step]] = defaultdict(list)
    for model in MODELS:
        groups: dict[tuple[UUID, int], list[Any]] = defaultdict(list)
        for event in events_of(model, system).filter(pgh_context_id__in=contexts).order_by("pgh_id"):
            groups[event.pgh_context_id, event.id].append(event)
        befores = _before(model, {(pk, events[0].pgh_id) for (_, pk), events in groups.items()})
        for (context, pk), events in groups.items():
            first, last = events[0], events[-1]
            before = None if first.pgh_label == "insert" else befores.get((pk, first.pgh_id))
            if first.pgh_label == "delete":
                before = first
            after = None if last.pgh_label == "delete" else last
            step = Step(model, pk, before, after, last.pgh_id)
            if (before is not None or after is not None) and step.real:
                found[context].append(step)
    return found


def _before(model: type[Any], wanted: set[tuple[int, int]]) -> dict[tuple[int, int], Any]:
    """Returns for each (row, event) the version of the row that came just before the event."""
    ids = {pk for pk, _ in wanted}
    history: dict[int, list[Any]] = defaultdict(list)
    for event in _event_model(model).objects.filter(id__in=ids).order_by("pgh_id"):
        history[event.id].append(event)
    found = {}
    for pk, at in wanted:
        earlier = [event for event in history[pk] if event.pgh_id < at]
        if earlier:
            found[pk, at] = earlier[-1]
    return found


def _fields(model: type[Any]) -> list[str]:
    kept = {f.attname for f in _event_model(model)._meta.concrete_fields}
    skipped = ("id", *COUNTERS)
    return [f.attname for f in model._meta.concrete_fields if f.attname in kept and f.attname not in skipped]


def _content(event: Any) -> dict[str, Any]:
    model = type(event).pgh_tracked_model
    return {name: getattr(event, name) for name in _fields(model)}


def _text(model: type[Any], event: Any) -> str:
    if event is None:
        return ""
    if model in KIND_OF:
        return as_text(event, KIND_OF[model].fields)
    names = [name for name in _fields(model) if not name.endswith("_id")]
    return "\n".join(f"{name}: {getattr(event, name)}" for name in names)


def undo(system: System, change: UUID) -> None:
    """Takes a change back. Call through `services.carry_out`. Raises Refused when later changes stand on it."""
    steps = _steps(system, [change]).get(change, [])
    if not steps:
        raise Refused("This change is not in the history of this system.")
    if _made_the_system(steps):
        raise Refused("This is the change that made the system. Delete the system instead.")
    for step in steps:
        _refuse_if_changed_since(step)
    _take_back(system, steps)


def before_and_after(system: System, change: UUID) -> tuple[fits.System, fits.System]:
    """Returns the engine's system as it stood just before a change and just after it. Nothing is kept of it.

    What was changed since is taken back first, the newest before the older. Raises Refused.
    """
    newest = list(_recent(system))
    if change not in newest[:SHOWN]:
        raise Refused(f"That is not one of the latest {SHOWN} changes of {system}.")
    since = newest[: newest.index(change)]
    steps = _steps(system, [*since, change])
    try:
        with transaction.atomic():
            for later in since:
                _take_back(system, steps.get(later, []))
            after = proven(system)
            _take_back(system, steps.get(change, []))
            before = proven(system)
            transaction.set_rollback(True)
    except IntegrityError as error:
        raise Refused("What stood there before this change is gone, so it cannot be drawn.") from error
    return before, after


def _made_the_system(steps: list[Step]) -> bool:
    return any(step.model is System and step.before is None for step in steps)


def _take_back(system: System, steps: list[Step]) -> None:
    if _made_the_system(steps):
        raise Refused("This is the change that made the system. There was nothing before it.")
    for step in steps:
        if step.after is None:
            values = _content(step.before) | {"order": step.before.order, "version": step.before.version + 1}
            step.model(id=step.pk, **values).save(force_insert=True)
        elif step.before is not None:
            _put_back(step)
    for step in reversed(steps):
        if step.before is None:
            step.model.objects.filter(pk=step.pk).delete()
    _close_ranks(system, {step.model for step in steps})


def _refuse_if_changed_since(step: Step) -> None:
    later = _event_model(step.model).objects.filter(id=step.pk, pgh_id__gt=step.last)
    for event in later:
        gone = event.pgh_label == "delete"
        if gone or step.after is None or _content(event) != _content(step.after):
            raise Refused(
                f"Somebody changed the same {step.noun} later ({event.pgh_created_at:%Y-%m-%d %H:%M}). "
                "Undo that first; nothing was changed."
            )


def _put_back(step: Step) -> None:
    values = _content(step.before)
    if hasattr(step.before, "order") and step.before.order != step.after.order:
        values["order"] = step.before.order
    step.model.objects.filter(pk=step.pk).update(version=F("version") + 1, **values)


def _close_ranks(system: System, models: set[type[Any]]) -> None:
    """Gives the rows of every list that was touched places without gaps or doubles."""
    for model in models - {System, TechniqueScheme}:
        lists: dict[tuple[Any, ...], list[Any]] = defaultdict(list)
        for row in _rows(model, system).order_by("order", "pk"):
            owner = tuple(getattr(row, name, None) for name in ("system_id", "front_id", "coverage_id", "scheme_id"))
            lists[owner if model is not Call else (system.pk,)].append(row)
        for rows in lists.values():
            for place, row in enumerate(rows):
                if row.order != place:
                    model.objects.filter(pk=row.pk).update(order=place)


def _rows(model: type[Any], system: System) -> Any:
    if model is Technique:
        return model.objects.filter(scheme__systems=system)
    if model in (*PARTS, Call):
        return model.objects.filter(system=system)
    if model in (TakeRule, ForceRule):
        return model.objects.filter(coverage__system=system)
    return model.objects.filter(front__system=system) | model.objects.filter(coverage__system=system)
