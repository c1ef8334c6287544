"""What the API writes: single rows with their place in a list, and entries of the offense as a whole."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import fits
from fits.offense.legality import Effect
from playbook import convert
from playbook.looks.specs import rule_book
from playbook.models import Concept, Formation, Motion, Opponent, Option, Position, StaleVersion, System
from playbook.system import services as system_services
from playbook.system.services import Refused

Entry = Formation | Motion | Concept | Option
WRITE = {
    Formation: convert.write_formation,
    Motion: convert.write_motion,
    Concept: convert.write_concept,
    Option: convert.write_option,
}
SHAPE = {
    Formation: convert.formation_dict,
    Motion: convert.motion_dict,
    Concept: convert.concept_dict,
    Option: convert.option_dict,
}
VALUE = {
    Formation: convert.formation_value,
    Motion: convert.motion_value,
    Concept: convert.concept_value,
    Option: convert.option_value,
}
LISTS = {"castparts": "cast", "blockrules": "rules", "threatrules": "threats", "leftmans": "leaves"}


def lock(row: Any, seen: int, field: str = "version") -> Any:
    """Returns the row as it is now, kept from others until the transaction ends. Raises StaleVersion."""
    current = type(row)._default_manager.select_for_update(of=("self",)).filter(pk=row.pk).first()
    if current is None or getattr(current, field) != seen:
        raise StaleVersion(current)
    return current


def add(model: type[Any], values: Mapping[str, Any], parents: tuple[str, ...]) -> Any:
    """Returns a new row; one of a list stands at the place `order` says, or last."""
    if not parents:
        return create(model, values)
    rows = model.objects.filter(**{name: values.get(name) for name in parents}).order_by("-order")
    last = rows.select_for_update().values_list("order", flat=True).first()
    row = create(model, {**values, "order": 0 if last is None else last + 1})
    if "order" in values:
        put_in_place(row, values["order"], parents)
    return row


def create(model: type[Any], values: Mapping[str, Any]) -> Any:
    """Returns a new row with its lists of other rows."""
    many = {field.name for field in model._meta.many_to_many}
    row = model.objects.create(**{name: value for name, value in values.items() if name not in many})
    for name in many & values.keys():
        getattr(row, name).set(values[name])
    return row


def change(row: Any, seen: int, values: Mapping[str, Any], parents: tuple[str, ...]) -> None:
    """Writes a row's new values. Raises StaleVersion, and Refused for a row that would leave its list."""
    for name in parents:
        if name in values and values[name] != getattr(row, name):
            raise Refused("A row stays where it belongs: delete it there and add it to the other.", name)
    many = {field.name for field in row._meta.many_to_many}
    own = {name: value for name, value in values.items() if name not in (*parents, *many, "order")}
    row.save_version(seen, **own)
    for name in many & values.keys():
        getattr(row, name).set(values[name])
    if "order" in values:
        put_in_place(row, values["order"], parents)


def put_in_place(row: Any, order: int, parents: tuple[str, ...]) -> None:
    """Moves a row within its list; the others keep their order, and a new place is no new version."""
    siblings = type(row).objects.filter(**{f"{name}_id": getattr(row, f"{name}_id") for name in parents})
    rows = list(siblings.select_for_update().exclude(pk=row.pk).order_by("order", "pk"))
    rows.insert(order, row)
    for place, other in enumerate(rows):
        if other.order != place:
            type(row).objects.filter(pk=other.pk).update(order=place)
    row.order = rows.index(row)


def remove(row: Any, seen: int, field: str = "version") -> None:
    """Deletes a row that nobody changed since. Raises StaleVersion."""
    lock(row, seen, field).delete()


def change_position(position: Position, seen: int, values: Mapping[str, Any]) -> Position:
    """Writes a position's new values; its new name is carried into the rules. Raises StaleVersion, Refused."""
    lock(position, seen)
    if values.get("system", position.system) != position.system:
        raise Refused("A row stays where it belongs: delete it there and add it to the other.", "system")
    names = ("name", "group", "side", "label", "v_yd_s", "tau_s")
    rows = [
        {name: getattr(p, name) for name in names} | {"was": p.name, "pk": p.pk}
        for p in position.system.positions.all()
    ]
    mine = next(row for row in rows if row["pk"] == position.pk)
    mine.update({name: value for name, value in values.items() if name in names})
    if "order" in values:
        rows.remove(mine)
        rows.insert(values["order"], mine)
    system_services.write_positions(position.system, [{k: v for k, v in row.items() if k != "pk"} for row in rows])
    position.refresh_from_db()
    return position


def read_file(text: str) -> System:
    """Returns the new system that a file describes. Raises fits.FileError, and Refused when its name is taken."""
    data = fits.read_system(text, "file").as_dict()
    convert.refuse_system(data)
    if System.objects.filter(name=data["system"]["name"]).exists():
        raise Refused(f"There is a system called {data['system']['name']!r} already.", "file")
    return convert.write_system(data)


def add_entry(model: type[Any], values: Mapping[str, Any]) -> Entry:
    """Returns a new entry of the library or of an opponent, proven by the engine. Raises fits.FitsError, Refused."""
    opponent = values.get("opponent")
    if model.objects.filter(name=values["name"], opponent=opponent).exists():
        raise Refused("There is one of this name already.", "name")
    return _write_entry(model, _file_shape(values), opponent)


def change_entry(row: Any, seen: int, values: Mapping[str, Any]) -> Entry:
    """Writes an entry whole. Raises StaleVersion, fits.FitsError, Refused."""
    lock(row, seen, "revision")
    head = {"name": values.get("name", row.name), "opponent": values.get("opponent", row.opponent)}
    row.save_version(row.version, **head)
    return _write_entry(type(row), SHAPE[type(row)](row) | _file_shape(values), head["opponent"])


def _write_entry(model: type[Any], data: Mapping[str, Any], opponent: Opponent | None) -> Entry:
    entry = WRITE[model](data, opponent)
    value = VALUE[model](entry)
    if isinstance(value, fits.Formation):
        broken = fits.check_formation(value, rule_book())
        refused = [violation for violation in broken if violation.severity is Effect.REFUSE]
        if refused:
            raise fits.IllegalFormation(value.label, refused[0].rule, refused[0].text)
    return entry  # type: ignore[no-any-return]


def _file_shape(values: Mapping[str, Any]) -> dict[str, Any]:
    """Returns the values in the shape of the files."""
    out = {LISTS.get(name, name): value for name, value in values.items() if name != "opponent"}
    for part in out.get("cast", ()):
        if "candidates" in part:
            part["from"] = part.pop("candidates")
    return out
