"""Smallest changes that would make a look sound, as the engine finds them, and where to make them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any
from urllib.parse import urlencode

from django.urls import reverse

import fits
from fits.defense.system import free_rule_id
from fits.repair import Repair, could_reach, repair_look
from fits.words import words_of
from playbook import convert
from playbook.looks import queries
from playbook.looks.asking import Ask


def address(ask: Ask, extra: Sequence[tuple[str, str]] = ()) -> str:
    """Returns the address of the repairs of a look."""
    path = reverse("looks:repairs", args=[ask.call.pk, ask.formation.pk, ask.concept.pk])
    query = urlencode([*ask.setting.pairs(), *extra])
    return f"{path}?{query}" if query else path


def find(ask: Ask) -> dict[str, Any]:
    """Returns the repairs of a look, each with the pages where it can be made, and whether any fit could be in time."""
    calls = convert.calls_of(ask.call.system)
    call, others = calls[ask.call.name], [value for name, value in calls.items() if name != ask.call.name]
    spec = queries.spec_of(ask, queries.surroundings(ask.call.system_id), call)
    deriver = fits.Deriver()
    try:
        found, reach = repair_look(spec, others, deriver), could_reach(spec, deriver)
        said = words_of(deriver.look(spec))
    except fits.FitsError as error:
        return {"refused": str(error)}
    by_name = {row.name: row for row in ask.call.system.calls.all()}
    return {
        "found": [{"repair": r, "links": _links(ask, r), "other": _other(ask, by_name.get(r.call))} for r in found],
        "reach": replace(reach, text=said.retell(reach.text)),
    }


def _links(ask: Ask, repair: Repair) -> list[dict[str, str]]:
    """Returns for each new rule the address of the front's page, with the rule filled in and not saved yet."""
    links, against = [], _opponent_with(ask)
    taken = set(ask.call.system.fitrules.values_list("rule_id", flat=True))
    for rule in repair.rules:
        name = free_rule_id(rule.id, ask.call.front.name, taken)
        filled = {"edit": "fits-new", "rule_id": name, "who": rule.who, "when": rule.when, "fit": rule.fit}
        filled |= {"leverage": rule.leverage, "place": "1", "call": str(ask.call.pk), "opponent": against}
        filled |= {"formation": str(ask.formation.pk), "concept": str(ask.concept.pk)}
        query = urlencode([*filled.items(), *ask.setting.pairs()])
        path = reverse("system:front", args=[ask.call.front_id])
        links.append({"who": rule.who, "when": rule.when, "fit": rule.fit, "address": f"{path}?{query}"})
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
