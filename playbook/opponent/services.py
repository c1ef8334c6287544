"""What changes opponents and what they run."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.db import transaction
from django.db.models import ProtectedError, RestrictedError

import fits
from playbook import convert
from playbook.models import Concept, ExpectedLook, Formation, Motion, Opponent, Option, StaleVersion
from playbook.names import free_name


class Refused(Exception):
    """The change cannot be made; the text says why."""


@transaction.atomic
def save_opponent(opponent: Opponent, seen: int, values: Mapping[str, Any]) -> Opponent:
    """Writes an opponent's new values. Raises StaleVersion."""
    opponent.save_version(seen, **values)
    return opponent


@transaction.atomic
def save_menu(opponent: Opponent, seen: int, lists: Mapping[str, Any]) -> Opponent:
    """Writes what an opponent carries. Raises StaleVersion."""
    opponent.save_version(seen)
    for name, rows in lists.items():
        getattr(opponent, name).set(rows)
    return opponent


def delete(row: Any) -> None:
    """Deletes an opponent or an entry of the library. Raises Refused when a week or chart uses it."""
    if isinstance(row, Option):
        used = ExpectedLook.objects.filter(options__contains=[row.name])
        used = used.filter(week__opponent=row.opponent_id) if row.opponent_id else used
        if used.exists():
            raise Refused(f"It is still used by looks of {used.first().week}. Take it out there first.")  # type: ignore[union-attr]
    try:
        with transaction.atomic():
            row.delete()
    except (ProtectedError, RestrictedError) as error:
        users = error.protected_objects if isinstance(error, ProtectedError) else error.restricted_objects
        names = sorted({f"{o._meta.verbose_name} “{o}”" for o in users})
        more = f" and {len(names) - 4} more" if len(names) > 4 else ""
        raise Refused(f"It is still used by {', '.join(names[:4])}{more}.") from error


def save_formation(data: Mapping[str, Any], opponent: Opponent | None, row: Formation | None, seen: int) -> Formation:
    """Writes a formation. Raises StaleVersion; Refused when the name is taken."""
    found = _save_entry(Formation, data, opponent, row, seen, convert.write_formation)
    return found  # type: ignore[no-any-return]


def save_concept(data: Mapping[str, Any], opponent: Opponent | None, row: Concept | None, seen: int) -> Concept:
    """Writes a concept. Raises StaleVersion; Refused when the name is taken."""
    return _save_entry(Concept, data, opponent, row, seen, convert.write_concept)  # type: ignore[no-any-return]


def save_motion(data: Mapping[str, Any], opponent: Opponent | None, row: Motion | None, seen: int) -> Motion:
    """Writes a motion. Raises StaleVersion; Refused when the name is taken."""
    return _save_entry(Motion, data, opponent, row, seen, convert.write_motion)  # type: ignore[no-any-return]


def save_option(data: Mapping[str, Any], opponent: Opponent | None, row: Option | None, seen: int) -> Option:
    """Writes an option. Raises StaleVersion; Refused when the name is taken."""
    return _save_entry(Option, data, opponent, row, seen, convert.write_option)  # type: ignore[no-any-return]


@transaction.atomic
def _save_entry(
    model: type[Any], data: Mapping[str, Any], opponent: Opponent | None, row: Any, seen: int, write: Callable[..., Any]
) -> Any:
    """Writes an entry and its rows; a new one gets its identifier, an opponent's goes on his menu."""
    taken = model.objects.filter(label=data["label"], opponent=opponent)
    if row is not None:
        current = model.objects.select_for_update(of=("self",)).filter(pk=row.pk).first()
        if current is None or current.revision != seen:
            raise StaleVersion(current)
        taken = taken.exclude(pk=row.pk)
    if taken.exists():
        raise Refused(f"There is a {model._meta.verbose_name} called {data['label']} here already.")
    name = row.name if row is not None else free_name(model, data["label"], opponent=opponent)
    try:
        saved = write({**data, "name": name}, opponent)
    except fits.FileError as error:  # only what came into the database by another way has such an identifier
        raise Refused(str(error)) from error
    if row is None and opponent is not None and model is not Option:  # an option is on no menu
        getattr(opponent, f"{model._meta.model_name}s").add(saved)
    return saved
