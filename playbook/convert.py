"""The only bridge between rows and `fits`: rows to the shape of the documented files, to engine values, and back.

Everything the engine builds from rows is kept by (row, revision); revisions are given out by the database and rise
with every change below the row, so what is kept is never stale.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, TypeVar

from django.db import models, transaction
from django.db.models import F, ProtectedError, RestrictedError

import fits
from fits.notation.toml import with_line
from fits.terms import words_of_name
from playbook.models import (
    AlignRule,
    BlockRule,
    Call,
    CastPart,
    Concept,
    Coverage,
    FitRule,
    ForceRule,
    Formation,
    FormationPlayer,
    Front,
    KeyRule,
    LeftMan,
    Motion,
    Opponent,
    Option,
    Position,
    ShippedCopy,
    System,
    TakeRule,
    Technique,
    TechniqueScheme,
    ThreatRule,
)
from playbook.names import free_name
from playbook.text import NameField, trouble_with, trouble_with_name

Value = TypeVar("Value")
KEPT = 2048

_kept: OrderedDict[tuple[str, int, int], Any] = OrderedDict()


class InUse(Exception):
    """The file leaves out something that a week still uses; the text names it."""


# Rows to the shape of the files


def system_dict(system: System) -> dict[str, Any]:
    """Returns the whole system in the shape of its file."""
    head: dict[str, Any] = {"name": system.name, "label": system.label, "source": system.source}
    out: dict[str, Any] = {"system": head}
    if system.scheme.inline:
        out["techniques"] = _scheme_dict(system.scheme)
    else:
        head["techniques"] = system.scheme.name
    head["frame"] = system.frame
    out["role"] = [
        _row(p, "name", "group", "side", "label") | _filled(p, "v_yd_s", "tau_s") for p in system.positions.all()
    ]
    shared = ("alignrules", "keyrules", "fitrules")
    fronts = system.fronts.prefetch_related(*shared)
    out["front"] = [
        _row(f, "name", "label", "strength") | _shared_rules(f) | _filled(f, "move", "checks") for f in fronts
    ]
    out["coverage"] = [
        _row(c, "name", "label")
        | _shared_rules(c)
        | {
            "takes": [_row(r, "who", "when", "takes") for r in c.takerules.all()],
            "force": [_row(r, "who", "when") for r in c.forcerules.all()],
        }
        | _filled(c, "checks")
        for c in system.coverages.prefetch_related(*shared, "takerules", "forcerules")
    ]
    out["call"] = [
        {"name": c.name, "label": c.label, "front": c.front.name, "coverage": c.coverage.name, "note": c.note}
        | ({"short": True} if c.short else {})
        for c in system.calls.select_related("front", "coverage")
    ]
    if system.pressures:
        out["pressure"] = system.pressures
    return out


def _scheme_dict(scheme: TechniqueScheme) -> dict[str, Any]:
    rows = [_row(t, "label", "man", "shade") | _filled(t, "gap") for t in scheme.techniques.all()]
    return {"name": scheme.name, "label": scheme.label, "source": scheme.source, "technique": rows}


def _shared_rules(owner: Front | Coverage) -> dict[str, Any]:
    return {
        "align": [_row(r, "who", "when", "at") for r in owner.alignrules.all()],
        "keys": [_row(r, "who", "when", "reads") for r in owner.keyrules.all()],
        "fits": [
            {"id": r.rule_id} | _row(r, "who", "when", "fit") | _filled(r, "leverage", "say")
            for r in owner.fitrules.all()
        ],
    }


def formation_dict(formation: Formation) -> dict[str, Any]:
    """Returns the formation in the shape of its file entry."""
    players = [_row(p, "role", "kind", "x", "y") for p in formation.players.all()]
    return _row(formation, "name", "label", "personnel", "note", "source") | {"players": players}


def motion_dict(motion: Motion) -> dict[str, Any]:
    """Returns the motion in the shape of its file entry."""
    place: dict[str, Any] = {"mirror": True} if motion.mirror else _row(motion, "x", "x_of")
    if not motion.mirror and motion.y is not None:
        place |= _row(motion, "y", "y_of")
    if motion.balance:
        place["balance"] = True
    return _row(motion, "name", "label", "kind", "who") | place | _row(motion, "note", "source")


def concept_dict(concept: Concept) -> dict[str, Any]:
    """Returns the concept in the shape of its file entry."""
    head = _row(concept, "name", "family", "label", "source", "to")
    return head | _filled(concept, "time_s", "flags", "eyes") | _concept_rows(concept)


def option_dict(option: Option) -> dict[str, Any]:
    """Returns the option in the shape of its file entry."""
    return _row(option, "name", "side", "label", "source") | _filled(option, "flags", "eyes") | _concept_rows(option)


def _concept_rows(owner: Concept | Option) -> dict[str, Any]:
    leaves = [_row(m, "man", "why") for m in owner.leftmans.all()]
    rows: dict[str, Any] = {
        "cast": [{"part": p.part, "from": list(p.candidates), "required": p.required} for p in owner.castparts.all()],
        "rules": [_row(r, "who", "when", "does") | _filled(r, "step") for r in owner.blockrules.all()],
        "threats": [_row(t, "kind", "who", "where") | _filled(t, "time_s", "course") for t in owner.threatrules.all()],
    }
    return rows | ({"leaves": leaves} if leaves else {})


def _row(row: models.Model, *names: str) -> dict[str, Any]:
    return {name: getattr(row, name) for name in names}


def _filled(row: models.Model, *names: str) -> dict[str, Any]:
    return {name: value for name in names if (value := getattr(row, name)) not in ("", None, [])}


# Rows to engine values


def system_value(system: System) -> fits.System:
    """Returns the engine's system. Raises fits.FileError when a rule says what the engine does not understand."""
    return _keep(system, lambda: fits.build_system(system_dict(system), system.name, fits.load_library().schemes))


def calls_of(system: System) -> Mapping[str, fits.Call]:
    """Returns the engine's calls of a system by name."""
    value = system_value(system)
    return _keep(system, value.calls, kind="calls")


def call_value(call: Call) -> fits.Call:
    """Returns the engine's call."""
    return calls_of(call.system)[call.name]


def formation_value(formation: Formation, back: str = "") -> fits.Formation:
    """Returns the engine's formation; with `back` (strong or weak) its offset back stands on that side of strength."""
    drawn = _keep(formation, lambda: fits.build_formation(formation_dict(formation), formation.name))
    if not back:
        return drawn
    side = fits.RIGHT if back == "strong" else fits.LEFT  # formations are drawn strong to the right
    return _keep(formation, lambda: drawn.with_back(side), kind=back)


def motion_value(motion: Motion) -> fits.Motion:
    """Returns the engine's motion."""
    return _keep(motion, lambda: fits.build_motion(motion_dict(motion), motion.name))


def concept_value(concept: Concept) -> fits.Concept:
    """Returns the engine's concept."""
    return _keep(concept, lambda: fits.build_concept(concept_dict(concept), concept.name))


def option_value(option: Option) -> fits.Option:
    """Returns the engine's option."""
    return _keep(option, lambda: fits.build_option(option_dict(option), option.name))


def is_kept(row: Any) -> bool:
    """Returns whether the engine's value of a row is built already."""
    return (row._meta.model_name, row.pk, row.revision) in _kept


def forget() -> None:
    """Drops everything kept."""
    _kept.clear()


def _keep(row: Any, build: Callable[[], Value], kind: str = "") -> Value:
    key = (f"{row._meta.model_name}{kind}", row.pk, row.revision)
    if key not in _kept:
        value = build()
        _kept[key] = value
        while len(_kept) > KEPT:
            _kept.popitem(last=False)
    return _kept[key]  # type: ignore[no-any-return]


# Files


def export_system(system: System) -> str:
    """Returns the whole system as one file, which `python -m fits check` accepts."""
    return fits.format_toml(system_value(system).as_dict())


@transaction.atomic
def import_system(text: str, where: str) -> System:
    """Writes a system file's content: a new system, or the one of that name changed to what the file says.

    Raises fits.FileError, which names the line or the key, and InUse; then nothing is changed.
    """
    data = fits.read_system(text, where).as_dict()
    try:
        refuse_system(data)
        existing = System.objects.select_for_update().filter(name=data["system"]["name"]).first()
        return write_system(data, existing)
    except fits.FileError as error:
        raise with_line(fits.FileError(where, error.key, error.expected, error.got), text) from None
    except (ProtectedError, RestrictedError) as error:
        users = error.protected_objects if isinstance(error, ProtectedError) else error.restricted_objects
        names = ", ".join(sorted({f"{row._meta.verbose_name} {row}" for row in users}))
        raise InUse(f"{where} leaves out something that is still in use by: {names}. Nothing was changed.") from error


# The shape of the files to rows


@transaction.atomic
def write_system(data: Mapping[str, Any], system: System | None = None, base: System | None = None) -> System:
    """Returns the system made of, or changed to, what the data says. Rows that stay the same are not touched."""
    head = data["system"]
    scheme = _write_scheme(head, data.get("techniques"))
    fields = {"label": _label(head), "source": head.get("source", ""), "scheme": scheme}
    fields["frame"] = head.get("frame", "strong-weak")
    fields["pressures"] = data.get("pressure", [])
    if system is None:
        system = System.objects.create(name=head["name"], base=base, **fields)
    else:
        _change(system, fields)
    positions = [_picked(p, "name", "group", "side", "label", "v_yd_s", "tau_s") for p in data["role"]]
    surplus = _sync(Position, {"system": system}, positions, key="name")
    fronts = [_labelled(f, "strength", "move", "checks") for f in data["front"]]
    surplus += _sync(Front, {"system": system}, fronts, key="name")
    coverages = [_labelled(c, "checks") for c in data["coverage"]]
    surplus += _sync(Coverage, {"system": system}, coverages, key="name")
    front_rows = {front.name: front for front in system.fronts.all()}
    coverage_rows = {coverage.name: coverage for coverage in system.coverages.all()}
    for front in data["front"]:
        _write_shared_rules({"front": front_rows[front["name"]]}, front)
    for coverage in data["coverage"]:
        owner = {"coverage": coverage_rows[coverage["name"]]}
        _write_shared_rules(owner, coverage)
        _sync_all(TakeRule, owner, [_picked(r, "who", "when", "takes") for r in coverage.get("takes", ())])
        _sync_all(ForceRule, owner, [_picked(r, "who", "when") for r in coverage.get("force", ())])
    calls = [
        {
            **_labelled(call),
            "front": front_rows[call["front"]],
            "coverage": coverage_rows[call["coverage"]],
            "note": call.get("note", ""),
            "short": call.get("short", False),
        }
        for call in data["call"]
    ]
    _sync_all(Call, {"system": system}, calls, key="name")
    for row in surplus:
        row.delete()
    system.refresh_from_db()
    return system


@transaction.atomic
def copy_system(system: System, name: str, label: str) -> System:
    """Returns a new system with the same rules, a variant of the first; its identifier is made where none is given."""
    data = system_dict(system)
    data["system"] |= {"name": name or free_name(System, label), "label": label or words_of_name(name)}
    return write_system(data, base=system.base or system)


def _write_scheme(head: Mapping[str, Any], inline: Any) -> TechniqueScheme:
    """Returns the scheme; one that travels in the file gets a name of its system's own when its name is taken."""
    if not isinstance(inline, Mapping):
        return TechniqueScheme.objects.get_or_create(name=head.get("techniques") or "standard")[0]
    name = inline.get("name") or head["name"]
    taken = TechniqueScheme.objects.filter(name=name).exclude(inline=True, systems__name=head["name"]).exists()
    name = f"{head['name']}: {name}" if taken else name
    refuse_text(TechniqueScheme, {"name": name}, "techniques")
    scheme, _ = TechniqueScheme.objects.get_or_create(name=name, defaults={"inline": True})
    _change(scheme, {"inline": True})
    _write_techniques(scheme, inline)
    return scheme


def _write_techniques(scheme: TechniqueScheme, data: Mapping[str, Any]) -> None:
    label = data.get("label") or words_of_name(data.get("name") or scheme.name)
    _change(scheme, {"label": label, "source": data.get("source", "")})
    rows = [_picked(t, "label", "man", "shade", "gap") for t in data["technique"]]
    _sync_all(Technique, {"scheme": scheme}, rows, key="label")


def _write_shared_rules(owner: dict[str, Any], data: Mapping[str, Any]) -> None:
    _sync_all(AlignRule, owner, [_picked(r, "who", "when", "at") for r in data.get("align", ())])
    _sync_all(KeyRule, owner, [_picked(r, "who", "when", "reads") for r in data.get("keys", ())])
    rules = [{"rule_id": r["id"]} | _picked(r, "who", "when", "fit", "leverage", "say") for r in data.get("fits", ())]
    _sync_all(FitRule, owner, rules, key="rule_id")


def write_formation(data: Mapping[str, Any], opponent: Opponent | None = None) -> Formation:
    """Returns the formation of that name and owner, made or changed to what the data says."""
    with transaction.atomic():
        fields = _picked(data, "personnel", "note", "source")
        formation = _write_entry(Formation, data, opponent, fields)
        players = [_picked(p, "role", "kind", "x", "y") for p in data["players"]]
        _sync_all(
            FormationPlayer,
            {"formation": formation},
            _fitting(FormationPlayer, players, "players"),
            key="role",
            ordered=False,
        )
        formation.refresh_from_db()
        return formation


def write_motion(data: Mapping[str, Any], opponent: Opponent | None = None) -> Motion:
    """Returns the motion of that name and owner, made or changed to what the data says."""
    names = ("kind", "who", "mirror", "x", "x_of", "y", "y_of", "balance", "note", "source")
    return _write_entry(Motion, data, opponent, _picked(data, *names))


def write_concept(data: Mapping[str, Any], opponent: Opponent | None = None) -> Concept:
    """Returns the concept of that name and owner, made or changed to what the data says."""
    with transaction.atomic():
        names = ("family", "source", "to", "time_s", "flags", "eyes")
        concept = _write_entry(Concept, data, opponent, _picked(data, *names))
        _write_concept_rows({"concept": concept}, data)
        concept.refresh_from_db()
        return concept


def write_option(data: Mapping[str, Any], opponent: Opponent | None = None) -> Option:
    """Returns the option of that name and owner, made or changed to what the data says."""
    with transaction.atomic():
        names = ("side", "source", "flags", "eyes")
        option = _write_entry(Option, data, opponent, _picked(data, *names))
        _write_concept_rows({"option": option}, data)
        option.refresh_from_db()
        return option


def _write_concept_rows(owner: dict[str, Any], data: Mapping[str, Any]) -> None:
    cast = [
        {"part": p["part"], "candidates": list(p["from"]), "required": p.get("required", False)}
        for p in data.get("cast", ())
    ]
    _sync_all(CastPart, owner, _fitting(CastPart, cast, "cast"))
    for model, key, names in (
        (BlockRule, "rules", ("who", "when", "does", "step")),
        (LeftMan, "leaves", ("man", "why")),
        (ThreatRule, "threats", ("kind", "who", "where", "time_s", "course")),
    ):
        _sync_all(model, owner, _fitting(model, [_picked(row, *names) for row in data.get(key, ())], key))


def load_library() -> None:
    """Writes what the engine ships and the database never had.

    What is there is left as the staff made it, and what the staff deleted does not come back by itself.
    """
    library = fits.load_library()
    shelves: list[tuple[type[models.Model], Mapping[str, Any], Callable[..., Any]]] = [
        (Formation, library.formations, write_formation),
        (Motion, library.motions, write_motion),
        (Concept, library.concepts, write_concept),
        (Option, library.options, write_option),
    ]
    with transaction.atomic():
        for model, values, write in shelves:
            known = _names_ever(model, opponent=None)
            for name, value in values.items():
                if name not in known:
                    write(value.as_dict())
        known = _names_ever(TechniqueScheme)
        for name, scheme in library.schemes.items():
            if name not in known:
                _write_techniques(TechniqueScheme.objects.create(name=name, label=scheme.label), scheme.as_dict())
        known = _names_ever(System)
        for name in library.systems:
            if name not in known:
                write_shipped(name)


def _names_ever(model: type[Any], **which: Any) -> set[str]:
    """Returns the identifiers that a table has or once had."""
    rows = (table.objects.filter(**which) for table in (model, model.pgh_event_models["insert"]))
    return {name for found in rows for name in found.values_list("name", flat=True)}


def shipped_left_out() -> dict[str, str]:
    """Returns the shipped systems that the database does not have: identifier to label."""
    there = set(System.objects.values_list("name", flat=True))
    return {name: value.label or name for name, value in fits.load_library().systems.items() if name not in there}


@transaction.atomic
def write_shipped(name: str) -> System:
    """Writes a shipped system as it is shipped. Raises KeyError."""
    value = fits.load_library().systems[name]
    system = write_system(value.as_dict())
    ShippedCopy.objects.create(system=system, data=plain(value.as_dict()))
    return system


def plain(data: Any) -> Any:
    """Returns the same without empty values, so that a column nobody filled is no difference."""
    if isinstance(data, Mapping):
        filled = {key: plain(value) for key, value in data.items()}
        return {key: value for key, value in filled.items() if value not in ("", None, False, [], {})}
    if isinstance(data, list | tuple):
        return [plain(value) for value in data]
    return data


# Rows changed to what is wanted, and no more than that


def _picked(data: Mapping[str, Any], *names: str) -> dict[str, Any]:
    return {name: data[name] for name in names if name in data}


def _label(data: Mapping[str, Any]) -> str:
    """Returns what people call it: what the file says, else words made of the identifier."""
    return data.get("label") or words_of_name(data["name"])


def _labelled(data: Mapping[str, Any], *names: str) -> dict[str, Any]:
    return {"name": data["name"], "label": _label(data), **_picked(data, *names)}


def refuse_text(model: type[models.Model], fields: Mapping[str, Any], where: str) -> None:
    """Raises fits.FileError for text that the model's fields cannot keep: too long, or no name where one is wanted."""
    known = {field.name: field for field in model._meta.concrete_fields if not field.is_relation}
    for name, value in fields.items():
        field = known.get({"id": "rule_id"}.get(name, name))
        if field is None:
            continue
        most = getattr(getattr(field, "base_field", field), "max_length", None)
        named = isinstance(field, NameField | models.SlugField)
        for text in _texts(value):
            trouble = trouble_with_name(text) if named else trouble_with(text)
            if most is not None and len(text) > most:
                trouble = f"at most {most} characters"
            if trouble:
                raise fits.FileError(where, f"{where}.{name}", trouble, text)


def refuse_system(data: Mapping[str, Any]) -> None:
    """Raises fits.FileError for text in a system's file that cannot be kept; before anything is written of it."""
    refuse_text(System, {**data["system"], "pressures": data.get("pressure", [])}, "system")
    scheme = data.get("techniques")
    if isinstance(scheme, Mapping):
        refuse_text(TechniqueScheme, scheme, "techniques")
        _fitting(Technique, scheme["technique"], "techniques.technique")
    _fitting(Position, data["role"], "role")
    _fitting(Call, data["call"], "call")
    for table, model in (("front", Front), ("coverage", Coverage)):
        for number, part in enumerate(_fitting(model, data[table], table)):
            for key, rules in RULES.items():
                _fitting(rules, part.get(key, ()), f"{table}[{number}].{key}")


RULES: dict[str, type[models.Model]] = {
    "align": AlignRule,
    "keys": KeyRule,
    "fits": FitRule,
    "takes": TakeRule,
    "force": ForceRule,
}


def _fitting(model: type[models.Model], rows: Iterable[dict[str, Any]], where: str) -> list[dict[str, Any]]:
    """Returns the rows when all their texts can be kept. Raises fits.FileError."""
    found = list(rows)
    for number, row in enumerate(found):
        refuse_text(model, row, f"{where}[{number}]")
    return found


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            yield from (key, *_texts(inner))
    elif isinstance(value, list | tuple):
        for inner in value:
            yield from _texts(inner)


def _write_entry(model: type[Any], data: Mapping[str, Any], opponent: Opponent | None, fields: dict[str, Any]) -> Any:
    name, fields = data["name"], {"label": _label(data), **fields}
    refuse_text(model, {"name": name, **fields}, model._meta.verbose_name)
    row, made = model.objects.get_or_create(name=name, opponent=opponent, defaults=fields)
    if not made:
        _change(row, {**_blank(model), **fields})
    row.refresh_from_db()
    return row


def _change(row: Any, fields: Mapping[str, Any]) -> None:
    """Writes the fields that differ, if any, and counts the version."""
    changes = {name: value for name, value in fields.items() if getattr(row, name) != value}
    if changes:
        version = {"version": F("version") + 1} if hasattr(row, "version") else {}
        type(row)._default_manager.filter(pk=row.pk).update(**changes, **version)
        row.refresh_from_db()


def _blank(model: type[models.Model]) -> dict[str, Any]:
    """Returns what each field holds when a file does not name it."""
    skipped = ("id", "version", "revision", "order", "name", "opponent", "base")
    return {
        field.name: field.get_default() if field.has_default() or not field.null else None
        for field in model._meta.concrete_fields
        if field.name not in skipped and not field.is_relation and (field.has_default() or field.blank)
    }


def _sync(
    model: type[Any], owner: dict[str, Any], wanted: Iterable[Mapping[str, Any]], key: str = "", ordered: bool = True
) -> list[models.Model]:
    """Makes and changes rows so that the owner's list is as wanted; returns the rows that are too many.

    A row is found again by `key`, or by its place in the list.
    """
    existing = list(model.objects.filter(**owner))
    found = {getattr(row, key): row for row in existing} if key else dict(enumerate(existing))
    fresh = []
    for place, fields in enumerate(wanted):
        whole = {**_blank(model), **fields} | ({"order": place} if ordered else {})
        row = found.pop(fields[key] if key else place, None)
        if row is None:
            fresh.append(model(**owner, **whole))
        else:
            _change(row, whole)
    model.objects.bulk_create(fresh)
    return list(found.values())


def _sync_all(
    model: type[Any], owner: dict[str, Any], wanted: Iterable[Mapping[str, Any]], key: str = "", ordered: bool = True
) -> None:
    """Like `_sync`, and deletes what is too many."""
    for row in _sync(model, owner, wanted, key, ordered):
        row.delete()
