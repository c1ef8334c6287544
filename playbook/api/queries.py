"""What the API reads besides rows: their history, and looks asked for by name."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from django.db.models import Model, Q

import fits
from playbook.looks.asking import Ask, Setting
from playbook.looks.queries import in_week
from playbook.models import Call, Concept, Formation, Motion, Opponent, Option, System, User, Week


def history(model: type[Any], pk: int, children: Iterable[tuple[type[Any], str]] = ()) -> list[dict[str, Any]]:
    """Returns every kept change of a row and of the rows in it, newest first."""
    found = _events(model, Q(id=pk))
    for child, owner in children:
        found += _events(child, Q(**{f"{owner}_id": pk}))
    found.sort(key=lambda event: (event.pgh_created_at, event.pgh_id), reverse=True)
    people = _people(found)
    return [
        {
            "at": event.pgh_created_at,
            "what": event.pgh_label,
            "table": event.pgh_tracked_model._meta.verbose_name,
            "who": people.get((event.pgh_context.metadata if event.pgh_context else {}).get("user"), ""),
            "row": _content(event),
        }
        for event in found
    ]


def _events(model: type[Any], which: Q) -> list[Any]:
    return list(model.pgh_event_models["insert"].objects.filter(which).select_related("pgh_context"))


def _people(events: Iterable[Any]) -> dict[Any, str]:
    keys = {(event.pgh_context.metadata if event.pgh_context else {}).get("user") for event in events}
    return {user.pk: str(user) for user in User.objects.filter(pk__in=[key for key in keys if key])}


def _content(event: Model) -> dict[str, Any]:
    names = [field.attname for field in event._meta.concrete_fields if not field.attname.startswith("pgh_")]
    return {name: getattr(event, name) for name in names}


def ask(given: Mapping[str, Any]) -> Ask:
    """Returns the look asked for by names, in the week that expects it when none is named.

    Raises fits.UnknownName, fits.BadRequest.
    """
    opponent = given.get("opponent")
    setting = Setting(
        to=given.get("to", ""),
        flip=given.get("flip", False),
        hash=given.get("hash", "middle"),
        motion=_entry(Motion, given["motion"], opponent) if "motion" in given else None,
        back=given.get("back", ""),
        options=tuple(_entry(Option, name, opponent) for name in dict.fromkeys(given.get("with", ()))),
        steps=tuple(_steps(given.get("first_step", ())).items()),
        yard_line=given.get("yard_line"),
        pressure=given.get("pressure", ""),
        week=_week(given["week"]) if "week" in given else None,
    )
    asked = Ask(
        _call(given["call"], given.get("system")),
        _entry(Formation, given["formation"], opponent),
        _entry(Concept, given["concept"], opponent),
        setting,
    )
    return in_week(asked)


def _week(pk: int) -> Week:
    week = Week.objects.select_related("season", "opponent", "system").filter(pk=pk).first()
    if week is None:
        raise fits.BadRequest(f"week: there is none with the number {pk}")
    return week


def _call(name: str, system: str | None) -> Call:
    calls = Call.objects.select_related("system", "system__scheme")
    if system is not None:
        systems = System.objects.all()
        if not systems.filter(name=system).exists():
            raise fits.UnknownName("system", system, systems.values_list("name", flat=True))
        calls = calls.filter(system__name=system)
    found = list(calls.filter(name=name)[:2])
    if len(found) > 1:
        own = list(calls.filter(name=name, system__base=None)[:2])
        if len(own) != 1:
            raise fits.BadRequest(f"call: several systems have {name!r}; name the system too")
        found = own
    if not found:
        raise fits.UnknownName("call", name, set(calls.values_list("name", flat=True)))
    return found[0]


def _entry(model: type[Any], name: str, opponent: int | None) -> Any:
    """Returns the opponent's own entry of that name, else the library's."""
    allowed = Q(opponent=None)
    if opponent is not None:
        if not Opponent.objects.filter(pk=opponent).exists():
            raise fits.BadRequest(f"opponent: there is none with the number {opponent}")
        allowed |= Q(opponent=opponent)
    rows = model.objects.filter(allowed)
    found = sorted(rows.filter(name=name), key=lambda row: row.opponent_id is None)
    if not found:
        raise fits.UnknownName(model._meta.verbose_name, name, set(rows.values_list("name", flat=True)))
    return found[0]


def _steps(items: Iterable[str]) -> dict[str, str]:
    steps: dict[str, str] = {}
    for item in items:
        role, equals, step = (part.strip() for part in item.partition("="))
        if not (role and equals and step):
            raise fits.BadRequest(f"first_step: expected ROLE=STEP such as RG=in, got {item!r}")
        if steps.get(role, step) != step:
            raise fits.BadRequest(f"first_step of {role}: expected one step, got {steps[role]} and {step}")
        steps[role] = step
    return steps
