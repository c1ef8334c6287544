"""What stands in lists of a row: a system's pressures, and a front's or coverage's called movement and motion checks.

Each item has the shape of the file. Call what changes something through `services.carry_out`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from fits.defense.system import free_rule_id
from fits.terms import words_of_name
from playbook import names
from playbook.models import StaleVersion, System
from playbook.system.rules import Owner, noun
from playbook.system.services import Refused, proven, rule_ids

Item = dict[str, Any]
ALWAYS = {
    "align": ("who", "when", "at"),
    "move": ("who", "when", "to"),
    "checks": ("who", "when", "does"),
    "replaces": ("of", "duty", "by"),
    "fits": ("id", "who", "when", "fit"),
}
OF_A_PRESSURE = ("align", "move", "replaces", "fits")


def label_of(pressure: Mapping[str, Any]) -> str:
    """Returns what a pressure is called."""
    return str(pressure.get("label") or words_of_name(pressure["name"]))


def keys_of(part: Owner) -> tuple[str, ...]:
    """Returns which of the lists a front or a coverage has."""
    return ("move", "checks") if noun(part) == "front" else ("checks",)


def item(key: str, row: Mapping[str, Any]) -> Item:
    """Returns a row of a list as the file has it: what it always has, and what is filled."""
    return {name: value for name, value in row.items() if name in ALWAYS[key] or value}


def as_text(key: str, rows: Sequence[Mapping[str, Any]]) -> str:
    """Returns a list as lines of text."""
    return "\n".join(
        ", ".join(f"{name} {value}" for name, value in row.items() if value and name != "id") for row in rows
    )


def change_lists(part: Owner, seen: int, lists: Mapping[str, Sequence[Item]]) -> None:
    """Writes a front's or coverage's lists. Raises StaleVersion."""
    part.save_version(seen, **lists)


def save_pressure(system: System, seen: int, number: int | None, new: Item) -> int:
    """Writes a pressure, a new one where no number is given; returns its number, from 1. Raises StaleVersion, Refused.

    A new one gets its identifier, and so does each of its fits that has none.
    """
    pressures = list(system.pressures)
    others = [one for at, one in enumerate(pressures, 1) if at != number]
    if new["label"] in map(label_of, others):
        raise Refused(f"There is a pressure called {new['label']} here already.", "label")
    if number is not None and not 1 <= number <= len(pressures):
        raise StaleVersion(None)
    old = pressures[number - 1] if number else {}
    name = old.get("name") or names.identifier(new["label"], {one["name"] for one in others}, "pressure")
    taken = rule_ids(system) | {rule["id"] for one in pressures for rule in one.get("fits", ())}
    kept = {rule["id"] for rule in old.get("fits", ())}
    for rule in new["fits"]:
        if rule["id"] not in kept:
            rule["id"] = free_rule_id(_stem(rule["who"]), name, taken)
            taken.add(rule["id"])
    whole = {"name": name, **{key: value for key, value in new.items() if value or key == "move"}}
    if number:
        pressures[number - 1] = whole
    else:
        pressures.append(whole)
    system.save_version(seen, pressures=pressures)
    return number or len(pressures)


def _stem(who: str) -> str:
    first = who.split(",")[0].strip().removeprefix("left ").removeprefix("right ")
    return "".join(letter for letter in first if letter.isalnum()) or "R"


def delete_pressure(system: System, seen: int, number: int) -> str:
    """Takes a pressure out; returns what it was called. Raises StaleVersion."""
    pressures = list(system.pressures)
    if not 1 <= number <= len(pressures):
        raise StaleVersion(None)
    gone = pressures.pop(number - 1)
    system.save_version(seen, pressures=pressures)
    return label_of(gone)


def with_pressure(system: System, name: str, new: Item) -> dict[str, Any]:
    """Returns the system's file shape as it would be with a pressure of that identifier. Raises Refused."""
    data = proven(system).as_dict()
    rest = [one for one in data.get("pressure", []) if one["name"] != name]
    fits = [{**rule, "id": rule["id"] or f"tried-{at}"} for at, rule in enumerate(new["fits"])]
    whole = {"name": name, **{key: value for key, value in new.items() if value}, "fits": fits}
    return {**data, "pressure": [*rest, whole]}
