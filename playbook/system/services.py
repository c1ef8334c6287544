"""What changes a system. Every change is proven by the engine before it stands; one that is refused leaves no trace."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from django.db import IntegrityError, transaction
from django.db.models import F, ProtectedError, RestrictedError
from psycopg import errors

import fits
from fits.defense.system import free_rule_id
from playbook import convert
from playbook.models import Call, Coverage, FitRule, Front, RuleAlias, StaleVersion, System
from playbook.names import free_name
from playbook.system.rules import AnyRule, Kind, Owner, noun, rows_of

Made = TypeVar("Made")


class Refused(Exception):
    """The engine or the database does not take the change.

    `field` is the field it is about, or empty; `brief` is what to say beside that field.
    """

    def __init__(self, text: str, field: str = "", brief: str = "") -> None:
        super().__init__(text)
        self.text, self.field, self.brief = text, field, brief or text


def carry_out(system: System, change: Callable[[], Made]) -> Made:
    """Makes a change and proves that the system still reads. Raises Refused, StaleVersion; then nothing changed."""
    with transaction.atomic():
        System.objects.select_for_update().get(pk=system.pk)
        made = _made(change)
        proven(system)
    return made


def proposed(owner: Owner, kind: Kind, rule: AnyRule | None, new: NewRule) -> fits.System:
    """Returns the system as it would be with a rule changed, or added where `rule` is none. Nothing is written.

    Raises Refused with the engine's words.
    """
    data = proven(owner.system).as_dict()
    part = next(part for part in data[noun(owner)] if part["name"] == owner.name)
    rows, entry = part[kind.key], {FILE_KEY.get(name, name): value for name, value in new.values.items()}
    if rule is None:
        rows.insert(len(rows) if not 1 <= new.place <= len(rows) else new.place - 1, entry)
    else:
        rows[[row.pk for row in rows_of(owner, kind)].index(rule.pk)] = entry
    try:
        return fits.build_system(data, owner.system.name, fits.load_library().schemes)
    except fits.FileError as error:
        raise refusal(error, owner.system) from error


def _made(change: Callable[[], Made]) -> Made:
    try:
        with transaction.atomic():
            return change()
    except (ProtectedError, RestrictedError) as error:  # before IntegrityError, of which they are two
        users = error.protected_objects if isinstance(error, ProtectedError) else error.restricted_objects
        names = ", ".join(sorted({f"{row._meta.verbose_name} {row}" for row in users}))
        raise Refused(f"It is still used by {names}. Take it out there first.") from error
    except IntegrityError as error:
        raise Refused(_database_words(error)) from error


def proven(system: System) -> fits.System:
    """Returns the engine's system of the rows as they are now. Raises Refused with the engine's words."""
    fresh = System.objects.select_related("scheme").get(pk=system.pk)
    try:
        return convert.system_value(fresh)
    except fits.FileError as error:
        raise refusal(error, fresh) from error


FIELD_OF = {"id": "rule_id"}
FILE_KEY = {"rule_id": "id"}
WORDS = {
    "once": "That name or rule id is taken here already.",
    "filled": "A field that must be filled is empty.",
    "named": "It needs a name.",
    "call_one_system": "A call joins a front and a coverage of its own system.",
}


LISTS = {
    "align": "alignment rule", "keys": "key rule", "fits": "fit rule", "takes": "pass duty", "force": "force rule",
    "move": "movement", "checks": "motion check", "replaces": "replacement",
}  # fmt: skip


def refusal(error: fits.FileError, system: System) -> Refused:
    """Returns what the engine has against a change of a system, in people's words."""
    key = _last(error.key)
    said = error.brief
    return Refused(f"{_place(error.key, system)}: {said[:1].lower()}{said[1:]}", FIELD_OF.get(key, key), said)


def _place(key: str, system: System) -> str:
    """Returns where in a system an error is, in people's words: `front[0].fits[2].when` is "front Odd, fit rule 3"."""
    found = re.match(r"(front|coverage|call|pressure)\[(\d+)\](?: \([^)]*\))?(.*)", key)
    if not found:
        return key
    rows = system.pressures if found[1] == "pressure" else getattr(system, f"{found[1]}s").all()
    labels = [row["label"] if isinstance(row, dict) else str(row) for row in rows]
    place = f"{found[1]} {labels[int(found[2])]}" if int(found[2]) < len(labels) else f"the new {found[1]}"
    in_list = re.match(r"\.(\w+)\[(\d+)\]", found[3])
    return f"{place}, {LISTS.get(in_list[1], in_list[1])} {int(in_list[2]) + 1}" if in_list else place


def tell(form: Any, refused: Refused) -> None:
    """Puts a refusal into a form: beside its field where the form has it, else above all."""
    if refused.field in form.fields and not form[refused.field].is_hidden:
        form.add_error(refused.field, refused.brief)
    else:
        form.add_error(None, refused.text)


def _last(key: str) -> str:
    return re.sub(r"\W.*", "", key.rsplit(".", 1)[-1])


def _database_words(error: IntegrityError) -> str:
    if isinstance(error.__cause__, errors.ForeignKeyViolation):
        return "It is still used elsewhere. Take it out there first."
    name = str(getattr(getattr(error.__cause__, "diag", None), "constraint_name", "") or "")
    for part, words in WORDS.items():
        if part in name:
            return words
    return "The database does not take this."


# Rules


@dataclass(frozen=True, slots=True)
class NewRule:
    """A rule to add: its values, and its place in the list counted from 1 (0 means last)."""

    values: Mapping[str, str]
    place: int = 0


def with_id(owner: Owner, kind: Kind, values: Mapping[str, str]) -> dict[str, str]:
    """Returns a new rule's values with an id that is free in its system, where the kind has one and none is given."""
    if "rule_id" not in kind.fields or values.get("rule_id"):
        return dict(values)
    wanted = re.sub(r"\W.*", "", values["who"].strip().removeprefix("left ").removeprefix("right ")) or "R"
    return {**values, "rule_id": free_rule_id(wanted, owner.name, rule_ids(owner.system))}


def add_rule(owner: Owner, kind: Kind, new: NewRule) -> AnyRule:
    """Writes a new rule at its place. Call through `carry_out`."""
    rows = rows_of(owner, kind)
    at = len(rows) if not 1 <= new.place <= len(rows) else new.place - 1
    rule: AnyRule = kind.model(**{noun(owner): owner}, order=len(rows) and rows[-1].order + 1, **new.values)
    rule.save(force_insert=True)
    rows.insert(at, rule)
    _number(rows)
    return rule


def change_rule(rule: AnyRule, seen: int, values: Mapping[str, str]) -> AnyRule:
    """Writes a rule's new values, if nobody changed it since version `seen`. Raises StaleVersion."""
    if rule.version != seen or any(getattr(rule, name) != value for name, value in values.items()):
        rule.save_version(seen, **values)
    return rule


def delete_rule(rule: AnyRule, seen: int) -> None:
    """Deletes a rule that nobody changed since version `seen`. Raises StaleVersion."""
    current = type(rule)._default_manager.select_for_update().filter(pk=rule.pk).first()
    if current is None or current.version != seen:
        raise StaleVersion(current)
    current.delete()


def move_rule(owner: Owner, kind: Kind, rule: AnyRule, by: int, among: Collection[int] = ()) -> None:
    """Moves a rule past the one before it (-1) or after it (1); at the end of the list it stays.

    `among` are the keys of the rules that are seen, where not all are: it moves past the next of those.
    """
    rows = rows_of(owner, kind)
    seen = [row for row in rows if not among or row.pk in among or row.pk == rule.pk]
    here = next(i for i, row in enumerate(seen) if row.pk == rule.pk)
    if not 0 <= here + by < len(seen):
        return
    moved = next(row for row in rows if row.pk == rule.pk)
    rows.remove(moved)
    rows.insert(rows.index(seen[here + by]) + (by > 0), moved)
    _number(rows)


def _number(rows: list[Any]) -> None:
    """Writes the places of rows that do not stand where they should; a new place is no new version of a rule."""
    for place, row in enumerate(rows):
        if row.order != place:
            type(row)._default_manager.filter(pk=row.pk).update(order=place)


# Fronts, coverages, calls, positions, whole systems


def add_front(system: System, values: Mapping[str, Any], start: Front | None) -> Front:
    """Returns a new front, with the rules of another one or with none."""
    return _add_part(system, Front, values, start)


def add_coverage(system: System, values: Mapping[str, Any], start: Coverage | None) -> Coverage:
    """Returns a new coverage, with the rules of another one or with none."""
    return _add_part(system, Coverage, values, start)


def _add_part(system: System, model: type[Any], values: Mapping[str, Any], start: Any) -> Any:
    part = _create(system, model, values)
    if start is not None:
        taken = rule_ids(system)
        for related in ("alignrules", "keyrules", "fitrules", "takerules", "forcerules"):
            for rule in getattr(start, related).all() if hasattr(start, related) else ():
                rule.pk, rule.version = None, 1
                setattr(rule, noun(part), part)
                if isinstance(rule, FitRule):
                    rule.rule_id = free_rule_id(rule.rule_id, part.name, taken)
                    taken.add(rule.rule_id)
                rule.save(force_insert=True)
    return part


def add_call(system: System, values: Mapping[str, Any]) -> Call:
    """Returns a new call, last in the list."""
    return _create(system, Call, values)  # type: ignore[no-any-return]


def _create(system: System, model: type[Any], values: Mapping[str, Any]) -> Any:
    """Returns a new front, coverage or call, last in its list; its identifier is made from what it is called."""
    _refuse_taken(model.objects.filter(system=system), values)
    name = free_name(model, values["label"], system=system)
    return model.objects.create(system=system, order=_next(system, model), name=name, **values)


def _refuse_taken(others: Any, values: Mapping[str, Any]) -> None:
    """Raises Refused when another row is called the same already."""
    if "label" in values and others.filter(label=values["label"]).exists():
        noun_ = others.model._meta.verbose_name
        raise Refused(f"There is a {noun_} called {values['label']} here already.", "label")


def rule_ids(system: System) -> set[str]:
    """Returns the ids that the system's fit rules have or had."""
    had = RuleAlias.objects.filter(rule__system=system).values_list("old_id", flat=True)
    return {*system.fitrules.values_list("rule_id", flat=True), *had}


def _next(system: System, model: type[Any]) -> int:
    last = model.objects.filter(system=system).order_by("order").last()
    return last.order + 1 if last else 0


def change_row(row: Any, seen: int, values: Mapping[str, Any]) -> Any:
    """Writes a front's, coverage's, call's or system's new values. Raises StaleVersion."""
    others = type(row).objects.exclude(pk=row.pk)
    _refuse_taken(others if isinstance(row, System) else others.filter(system=row.system_id), values)
    row.save_version(seen, **values)
    return row


def delete_row(row: Any) -> None:
    """Deletes a front, coverage or call; what is in use is refused by `carry_out`."""
    row.delete()


def delete_system(system: System) -> None:
    """Deletes a whole system. Raises Refused when a week uses it."""
    _made(system.delete)


def copy_system(system: System, label: str, name: str = "") -> System:
    """Returns a variant of a system. Raises Refused when what it is called, or a given identifier, is taken."""
    _refuse_taken(System.objects, {"label": label})
    try:
        return _made(lambda: convert.copy_system(system, name, label))
    except fits.FileError as error:
        raise refusal(error, system) from error


def write_positions(system: System, rows: list[dict[str, Any]]) -> None:
    """Makes the positions what the rows say; a position that gets another name keeps its rules.

    Each row has the keys of the file and `was`, its name before or empty. Call through `carry_out`.
    """
    renamed = {row["was"]: row["name"] for row in rows if row["was"] and row["was"] != row["name"]}
    kept = {row["was"] for row in rows if row["was"]}
    for position in system.positions.all():
        if position.name not in kept:
            position.delete()
    stay = {position.name: position for position in system.positions.all()}
    for was, position in stay.items():  # names first go out of each other's way, so that two can be swapped
        if was in renamed:
            type(position).objects.filter(pk=position.pk).update(name=f"~{position.pk}"[:10])
    for place, row in enumerate(rows):
        values = {key: value for key, value in row.items() if key != "was"} | {"order": place}
        found = stay.get(row["was"])
        if found is None:
            system.positions.create(**values)
            continue
        found.refresh_from_db()
        if any(getattr(found, key) != value for key, value in values.items()):
            type(found).objects.filter(pk=found.pk).update(version=F("version") + 1, **values)
    if renamed:
        _rename_in_rules(system, renamed)


NAMES_MEN = ("who", "of", "by")  # keys of a movement, a check or a replacement that name positions
NAMES_A_MAN = {"to": r"(?<=\bbehind ).+$", "does": r"(?<= as ).+$"}  # keys that name one at their end


def _rename_in_rules(system: System, renamed: Mapping[str, str]) -> None:
    pattern = re.compile(r"(?<![\w])(" + "|".join(map(re.escape, renamed)) + r")(?![\w])")

    def told(row: Mapping[str, Any]) -> dict[str, Any]:
        """A row in the shape of the file with the new names wherever it names a man."""
        named = {key: pattern.sub(lambda found: renamed[found[1]], row[key]) for key in NAMES_MEN if row.get(key)}
        for key, end in NAMES_A_MAN.items():
            if row.get(key):
                named[key] = re.sub(end, lambda man: pattern.sub(lambda found: renamed[found[1]], man[0]), row[key])
        return {**row, **named}

    pressures = [
        {**p, **{key: [told(row) for row in p[key]] for key in ("align", "move", "replaces", "fits") if key in p}}
        for p in system.pressures
    ]
    if pressures != system.pressures:
        type(system).objects.filter(pk=system.pk).update(pressures=pressures)
    for part in (*system.fronts.all(), *system.coverages.all()):
        lists = {key: [told(row) for row in getattr(part, key)] for key in ("move", "checks") if hasattr(part, key)}
        if any(getattr(part, key) != rows for key, rows in lists.items()):
            type(part).objects.filter(pk=part.pk).update(**lists)
    for owner in (*system.fronts.all(), *system.coverages.all()):
        for related in ("alignrules", "keyrules", "fitrules", "takerules", "forcerules"):
            for rule in getattr(owner, related).all() if hasattr(owner, related) else ():
                who = pattern.sub(lambda found: renamed[found[1]], rule.who)
                if who != rule.who:
                    rule.save_version(rule.version, who=who)
