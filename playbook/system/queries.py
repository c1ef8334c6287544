"""What the system's pages read."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import Count, QuerySet, prefetch_related_objects
from django.http import Http404

import fits
from playbook import convert
from playbook.models import Coverage, Front, System
from playbook.system.rules import KINDS, AnyRule, Kind, Owner, kinds_of, rows_of


def systems() -> QuerySet[System]:
    """Returns all systems with what they hold counted."""
    return System.objects.select_related("base").annotate(
        front_count=Count("fronts", distinct=True),
        coverage_count=Count("coverages", distinct=True),
        call_count=Count("calls", distinct=True),
    )


def owner(noun: str, pk: int) -> Owner:
    """Returns the front or coverage. Raises Http404."""
    model: type[Any] = {"front": Front, "coverage": Coverage}[noun]
    found = model.objects.select_related("system", "system__scheme").filter(pk=pk).first()
    if found is None:
        raise Http404
    return found  # type: ignore[no-any-return]


def read_rules(part: Owner) -> None:
    """Reads the rules of a front or coverage, and the positions of its system, once for a page that changes nothing."""
    prefetch_related_objects([part], "system__positions", *(of.related for of in kinds_of(part)))


def kind(key: str, part: Owner) -> Kind:
    """Returns the kind of rule of that key. Raises Http404 when this front or coverage has no such rules."""
    if key not in KINDS or KINDS[key] not in kinds_of(part):
        raise Http404
    return KINDS[key]


def rule(part: Owner, of: Kind, pk: int) -> AnyRule | None:
    """Returns a rule of this front or coverage, or none when it is gone."""
    return getattr(part, of.related).filter(pk=pk).first()  # type: ignore[no-any-return]


def value(system: System) -> fits.System | None:
    """Returns the engine's system, or none while its rows do not make one."""
    try:
        return convert.system_value(system)
    except fits.FitsError:
        return None


def concerns(rule: AnyRule, man: str) -> bool:
    """Returns whether the rule names the position, or its left or right man."""
    labels = {who.strip() for who in rule.who.split(",")}
    return bool(labels & {man, f"left {man}", f"right {man}"})


@dataclass(frozen=True, slots=True)
class Row:
    """A rule as a sentence: `key` names it in addresses, `gives` is what it says, `also` are the others it names.

    `at` counts from 1 among the rules of its list.
    """

    rule: Any
    key: str
    gives: str
    first: bool
    last: bool
    at: int
    also: str


@dataclass(frozen=True, slots=True)
class Section:
    """The rules of one kind: those of one man, and everybody else's."""

    kind: Kind
    new: str
    rows: tuple[Row, ...]
    others: tuple[Row, ...]


def sections(part: Owner, man: str = "", also: str = "") -> list[Section]:
    """Returns each kind of rule, in the order in which they are asked: the man's own, and the others'.

    Without a man every rule is his. `also` is the key of a rule that stands with his in any case.
    """
    found = []
    for of in kinds_of(part):
        his: list[AnyRule] = []
        others: list[AnyRule] = []
        for rule in rows_of(part, of):
            mine = not man or concerns(rule, man) or f"{of.key}-{rule.pk}" == also
            (his if mine else others).append(rule)
        found.append(Section(of, f"{of.key}-new", _rows(of, his, man), _rows(of, others, "")))
    return found


def _rows(of: Kind, rules: Sequence[AnyRule], man: str) -> tuple[Row, ...]:
    gives = next((name for name in ("at", "reads", "fit", "takes") if name in of.fields), "")
    return tuple(
        Row(
            rule,
            f"{of.key}-{rule.pk}",
            getattr(rule, gives, "the force player"),
            place == 0,
            place == len(rules) - 1,
            place + 1,
            ", ".join(who for who in (part.strip() for part in rule.who.split(",")) if who != man),
        )
        for place, rule in enumerate(rules)
    )


def counts(part: Owner) -> Counter[str]:
    """Returns how many rules each position of the system has in this front or coverage."""
    names = [position.name for position in part.system.positions.all()]
    rules = [rule for of in kinds_of(part) for rule in rows_of(part, of)]
    return Counter(name for rule in rules for name in names if concerns(rule, name))
