"""What the program ships better than a staff's copy of it: rule by rule, the staff's own edits never overwritten.

Three states of a system are laid side by side in the shape of its file: as it was taken, as the staff has it now, and
as it is shipped today. What differs between the first and the last is offered; where the second differs from the first
as well, the staff has edited it, and that is said.
"""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

import fits
from playbook import convert
from playbook.models import Call, Coverage, Front, ShippedCopy, System
from playbook.system.changes import events_of
from playbook.system.rules import KINDS, LABELS
from playbook.system.services import FILE_KEY, Refused, proven

Data = dict[str, Any]
WHOLE = {"pressure": "Pressure", "call": "Call", "front": "Front", "coverage": "Coverage"}
RULE_LISTS = {
    "align": "alignment rule",
    "keys": "key rule",
    "fits": "fit rule",
    "move": "movement",
    "checks": "check against motion",
    "takes": "pass duty",
    "force": "force",
}
WORDS = {"to": "Moves to", "does": "Does", "first": "First of them", "note": "Note", "front": "Front"} | LABELS


@dataclass(frozen=True, slots=True)
class Improvement:
    """One thing that is shipped otherwise than it was taken.

    `mine` and `theirs` are its entries in the shape of the file, none where there is none; `edited` says that the
    staff changed or deleted it since it was taken.
    """

    table: str
    part: str
    label: str
    kind: str
    at: tuple[str, ...]
    mine: Data | None
    theirs: Data | None
    edited: bool

    @property
    def key(self) -> str:
        """Returns what names it in a form: the same for the same change to the same entry."""
        text = json.dumps([self.table, self.part, self.kind, self.at, self.mine, self.theirs], sort_keys=True)
        return hashlib.sha256(text.encode()).hexdigest()[:20]

    @property
    def who(self) -> str:
        """Returns the men it is about."""
        return str((self.theirs or self.mine or {}).get("who", ""))

    @property
    def noun(self) -> str:
        """Returns what it is."""
        return RULE_LISTS.get(self.kind) or WHOLE[self.table].lower()

    @property
    def words(self) -> str:
        """Returns what taking it does."""
        return "added" if self.mine is None else "taken out" if self.theirs is None else "changed"

    @property
    def texts(self) -> tuple[str, str]:
        """Returns the entry as it is here and as it is shipped, as lines of text."""
        return _text(self.mine), _text(self.theirs)


def improvements(system: System) -> list[Improvement]:
    """Returns what may be taken from what is shipped, in the order of the file; none for a staff's own system."""
    theirs = _shipped(system)
    if theirs is None:
        return []
    copy = ShippedCopy.objects.filter(system=system).first()
    if copy is not None and copy.data == theirs:
        return []
    mine, base = convert.plain(convert.system_dict(system)), copy.data if copy else _as_taken(system)
    return [*_of_wholes(base, mine, theirs), *_of_rules(base, mine, theirs)]


def with_taken(system: System, keys: Collection[str]) -> fits.System:
    """Returns the system as it would be with these taken. Raises Refused with the engine's words."""
    return fits.build_system(_taken(system, keys), system.name, fits.load_library().schemes)


def take(system: System, keys: Collection[str]) -> int:
    """Takes these into the system and returns how many. Call through `services.carry_out`. Raises Refused."""
    chosen = [item for item in improvements(system) if item.key in keys]
    convert.write_system(_taken(system, keys), system)
    _remember(system, chosen)
    return len(chosen)


def leave(system: System, keys: Collection[str]) -> int:
    """Leaves these as the staff has them: they are not offered again until they are shipped otherwise."""
    chosen = [item for item in improvements(system) if item.key in keys]
    _remember(system, chosen)
    return len(chosen)


def _taken(system: System, keys: Collection[str]) -> Data:
    data, theirs = proven(system).as_dict(), _shipped(system) or {}
    chosen = [item for item in improvements(system) if item.key in keys]
    if len(chosen) < len(set(keys)):
        raise Refused("Something you chose was changed since you opened the page. Look at the list again.")
    for item in chosen:
        _put(data, item, theirs)
    _straighten(data, theirs)
    try:
        fits.build_system(data, system.name, fits.load_library().schemes)
    except fits.FileError as error:
        raise Refused(f"These do not go without others of the list: {error}") from error
    return data


def _remember(system: System, chosen: Sequence[Improvement]) -> None:
    """Writes down that these stand as they are shipped now; when nothing is left to offer, that all does."""
    theirs = _shipped(system) or {}
    copy, _ = ShippedCopy.objects.get_or_create(system=system, defaults={"data": _as_taken(system)})
    for item in chosen:
        _put(copy.data, item, theirs)
    copy.save(update_fields=["data"])
    if not improvements(system):
        copy.data = theirs
        copy.save(update_fields=["data"])


def _shipped(system: System) -> Data | None:
    value = fits.load_library().systems.get(system.name)
    return None if value is None else convert.plain(value.as_dict())


# Differences


def _of_wholes(base: Data, mine: Data, theirs: Data) -> Iterator[Improvement]:
    for table in WHOLE:
        was, here, there = ({row["name"]: row for row in data.get(table, ())} for data in (base, mine, theirs))
        rows = table in ("pressure", "call")  # of a front or coverage only one that is new as a whole
        for name in [*there, *(name for name in was if name not in there and rows)]:
            if was.get(name) == there.get(name) or here.get(name) == there.get(name):
                continue
            if rows or (name not in was and name not in here):
                label = str((there.get(name) or was[name]).get("label") or name)
                edited = here.get(name) != was.get(name)
                yield Improvement(table, name, label, "", (name,), here.get(name), there.get(name), edited)


def _of_rules(base: Data, mine: Data, theirs: Data) -> Iterator[Improvement]:
    for table in ("front", "coverage"):
        was, here, there = ({row["name"]: row for row in data[table]} for data in (base, mine, theirs))
        for name, part in there.items():
            if name not in here:
                continue
            for kind in RULE_LISTS:
                old, own, new = (_by_key(rows.get(name, {}), kind) for rows in (was, here, there))
                for at in [*new, *(at for at in old if at not in new)]:
                    if old.get(at) != new.get(at) and own.get(at) != new.get(at):
                        label, edited = str(part.get("label") or name), own.get(at) != old.get(at)
                        yield Improvement(table, name, label, kind, at, own.get(at), new.get(at), edited)


def _by_key(part: Data, kind: str) -> dict[tuple[str, ...], Data]:
    """Returns the entries of a list by what finds them again: a fit rule's id, else who, when and which of the same."""
    found: dict[tuple[str, ...], Data] = {}
    seen: Counter[tuple[str, ...]] = Counter()
    for row in part.get(kind, ()):
        at = (row["id"],) if "id" in row else (str(row.get("who", "")), str(row.get("when", "")))
        seen[at] += 1
        found[at if seen[at] == 1 else (*at, str(seen[at]))] = row
    return found


# Taking


def _put(data: Data, item: Improvement, theirs: Data) -> None:
    """Makes the entry of `data` what it is in what is shipped."""
    if not item.kind:
        rows, source = data.setdefault(item.table, []), theirs.get(item.table, ())
        keys, wanted = [(row["name"],) for row in rows], [(row["name"],) for row in source]
    else:
        part = next((row for row in data[item.table] if row["name"] == item.part), None)
        if part is None:
            return
        rows = part.setdefault(item.kind, [])
        source = next(row for row in theirs[item.table] if row["name"] == item.part)
        keys, wanted = list(_by_key(part, item.kind)), list(_by_key(source, item.kind))
    here = keys.index(item.at) if item.at in keys else None
    if item.theirs is None:
        if here is not None:
            del rows[here]
    elif here is not None:
        rows[here] = deepcopy(item.theirs)
    else:
        before = [keys.index(at) for at in wanted[: wanted.index(item.at)] if at in keys]
        rows.insert(before[-1] + 1 if before else 0, deepcopy(item.theirs))


def _straighten(data: Data, theirs: Data) -> None:
    """Puts a list that holds just what is shipped into the shipped order, since the first rule that matches wins."""
    for table in ("front", "coverage"):
        there = {row["name"]: row for row in theirs[table]}
        for part in data[table]:
            for kind in RULE_LISTS:
                own, new = _by_key(convert.plain(part), kind), _by_key(there.get(part["name"], {}), kind)
                if own == new and list(own) != list(new):
                    at = dict(zip(own, part[kind], strict=True))
                    part[kind] = [at[key] for key in new]


# What was taken


def _as_taken(system: System) -> Data:
    """Returns the system as the program last wrote it, from its history: versions that have nobody's name on them."""
    data: Data = {table: [] for table in ("front", "coverage", "call", "pressure")}
    for event in _unsigned(System, system):
        data["pressure"] = event.pressures
    names: dict[tuple[str, int], str] = {}
    for table, model in (("front", Front), ("coverage", Coverage)):
        for event in _unsigned(model, system):
            lists = {key: getattr(event, key) for key in ("move", "checks") if hasattr(event, key)}
            data[table].append({"name": event.name, "label": event.label, **lists})
            names[table, event.id] = event.name
    for event in _unsigned(Call, system):
        front, coverage = names.get(("front", event.front_id), ""), names.get(("coverage", event.coverage_id), "")
        entry = {"name": event.name, "front": front, "coverage": coverage, "note": event.note, "short": event.short}
        data["call"].append(entry)
    for kind in KINDS.values():
        for event in _unsigned(kind.model, system):
            table = "front" if getattr(event, "front_id", None) else "coverage"
            owner = names.get((table, getattr(event, f"{table}_id")))
            part = next((row for row in data[table] if row["name"] == owner), None)
            if part is not None:
                entry = {FILE_KEY.get(name, name): getattr(event, name) for name in kind.fields}
                part.setdefault(kind.key, []).append(entry)
    return convert.plain(data)  # type: ignore[no-any-return]


def _unsigned(model: type[Any], system: System) -> list[Any]:
    """Returns each row's last version that no person wrote, in the order of the lists."""
    latest: dict[int, Any] = {}
    for event in events_of(model, system).filter(pgh_context=None).order_by("pgh_id"):
        latest[event.id] = event
    latest = {pk: event for pk, event in latest.items() if event.pgh_label != "delete"}
    return sorted(latest.values(), key=lambda event: (getattr(event, "order", 0), event.id))


def _text(entry: Data | None) -> str:
    if entry is None:
        return ""
    said = []
    for key, value in entry.items():
        if key not in ("name", "id"):
            words = f"{len(value)} rows" if isinstance(value, list) else "yes" if value is True else value
            said.append(f"{WORDS.get(key, key.capitalize())}: {words}")
    return "\n".join(said)
