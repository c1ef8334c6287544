"""Smallest changes that would make a look sound, as the engine finds them, and where to make them."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any
from urllib.parse import urlencode

from django.urls import reverse

import fits
from fits.defense.system import free_rule_id
from fits.repair import Repair, could_reach, repair_look
from fits.words import words_of
from playbook import convert
from playbook.looks import pricing, queries
from playbook.looks.asking import Ask
from playbook.looks.specs import spec_of, surroundings


def address(ask: Ask, extra: Sequence[tuple[str, str]] = ()) -> str:
    """Returns the address of the repairs of a look."""
    path = reverse("looks:repairs", args=[ask.call.pk, ask.formation.pk, ask.concept.pk])
    query = urlencode([*ask.setting.pairs(), *extra])
    return f"{path}?{query}" if query else path


@dataclass(frozen=True, slots=True)
class Sought:
    """The repairs of a look, as they were found: with the question put to the engine and the system's calls."""

    spec: fits.LookSpec
    calls: Mapping[str, fits.Call]
    repairs: tuple[Repair, ...]
    deriver: fits.Deriver


def seek(ask: Ask) -> Sought:
    """Returns the repairs of a look. Raises fits.FitsError."""
    calls = convert.calls_of(ask.call.system)
    call, others = calls[ask.call.name], [value for name, value in calls.items() if name != ask.call.name]
    spec = spec_of(ask, surroundings(ask.call.system_id, ask.setting.week), call)
    deriver = fits.Deriver()
    return Sought(spec, calls, tuple(repair_look(spec, others, deriver)), deriver)


def find(ask: Ask, extra: Sequence[tuple[str, str]] = ()) -> dict[str, Any]:
    """Returns the repairs of a look, each with the pages where it can be made, and whether any fit could be in time.

    `extra` goes into the address of each repair's price, which is worked out when it is asked for.
    """
    try:
        sought = seek(ask)
        reach = could_reach(sought.spec, sought.deriver)
        look = queries.known_look(ask, surroundings(ask.call.system_id, ask.setting.week))
    except fits.FitsError as error:
        return {"refused": str(error)}
    by_name = {row.name: row for row in ask.call.system.calls.all()}
    found = [
        {
            "repair": r, "links": _links(ask, r), "other": _other(ask, by_name.get(r.call)),
            "price": price_address(ask, number, r, extra),
        }
        for number, r in enumerate(sought.repairs)
    ]  # fmt: skip
    return {"found": found, "reach": replace(reach, text=words_of(look).retell(reach.text)), "sound": look.sound}


def price_address(ask: Ask, number: int, repair: Repair, extra: Sequence[tuple[str, str]] = ()) -> str:
    """Returns the address of what a repair changes."""
    path = reverse("looks:repair", args=[ask.call.pk, ask.formation.pk, ask.concept.pk, number])
    return f"{path}?{urlencode([*ask.setting.pairs(), *extra, ('of', digest(repair))])}"


def digest(repair: Repair) -> str:
    """Returns a short name for what a repair changes."""
    return hashlib.sha256(f"{repair.text}{repair.call}{repair.rules!r}".encode()).hexdigest()[:12]


def price(ask: Ask, number: int, of: str) -> dict[str, Any]:
    """Returns one repair with its price and drawings; `changed` when it is not that one any more."""
    try:
        sought = seek(ask)
        repair = sought.repairs[number] if number < len(sought.repairs) else None
        if repair is None or digest(repair) != of:
            return {"changed": True}
        specs, over = pricing.looks_around(ask, sought.spec.call)
        other = None if repair.rules else sought.calls[repair.call]
        return {"repair": repair, "weight": pricing.weigh(sought.spec, repair, specs, over, call=other)}
    except fits.FitsError as error:
        return {"refused": str(error)}


def _links(ask: Ask, repair: Repair) -> list[dict[str, str]]:
    """Returns for each new rule the address of the front's page, with the rule filled in and not saved yet."""
    links, against = [], _opponent_with(ask)
    taken = set(ask.call.system.fitrules.values_list("rule_id", flat=True))
    for rule in repair.rules:
        name = free_rule_id(rule.id, ask.call.front.name, taken)
        filled = {"edit": "fits-new", "rule_id": name, "who": rule.who, "when": rule.when, "fit": rule.fit}
        filled |= {
            "leverage": rule.leverage,
            "say": rule.say,
            "place": "1",
            "call": str(ask.call.pk),
            "opponent": against,
        }
        filled |= {"formation": str(ask.formation.pk), "concept": str(ask.concept.pk)}
        query = urlencode([*filled.items(), *ask.setting.pairs()])
        path = reverse("system:front", args=[ask.call.front_id])
        links.append(
            {"who": rule.who, "when": rule.when, "fit": rule.fit, "say": rule.say, "address": f"{path}?{query}"}
        )
    return links


def _opponent_with(ask: Ask) -> str:
    """Returns the key of the next opponent if the look is on his menu, else of its owner, else nothing: the library."""
    menu = queries.menu(queries.next_opponent())
    if menu.opponent and ask.formation in menu.formations and ask.concept in menu.concepts:
        return str(menu.opponent.pk)
    return str(ask.formation.opponent_id or ask.concept.opponent_id or "")


def _other(ask: Ask, row: Any) -> str:
    """Returns the address of the same look against another call, or nothing for the same call."""
    if row is None or row.pk == ask.call.pk:
        return ""
    return Ask(row, ask.formation, ask.concept, ask.setting).address()
