"""Proven repairs of a week's looks: found, weighed before and after, applied to the week's own variant."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db import transaction

import fits
from fits.defense.system import free_rule_id
from fits.words import words_of
from playbook import convert
from playbook.models import System, Week
from playbook.scouting.proof import CallProof, Weighed, around_of, prove_calls, specs_of, weigh_looks
from playbook.scouting.results import StoredVerdict
from playbook.week import services as week_services


@dataclass(frozen=True, slots=True)
class Changed:
    """A look that is not what it was."""

    call: str
    look: Weighed
    before: StoredVerdict
    after: StoredVerdict

    @property
    def better(self) -> bool:
        """Whether it is nearer to sound."""
        return self.after.severity < self.before.severity


@dataclass(frozen=True, slots=True)
class Mended:
    """One repair: the engine's proof, and what it changes over all calls and looks of the week."""

    number: int
    text: str
    kind: str
    size: int
    rules: tuple[fits.defense.system.FitRule, ...]
    changed: tuple[Changed, ...]
    gain: float

    @property
    def better(self) -> int:
        """How many looks come nearer to sound."""
        return sum(change.better for change in self.changed)

    @property
    def worse(self) -> int:
        """How many looks get worse."""
        return sum(change.after.severity > change.before.severity for change in self.changed)

    @property
    def points(self) -> float:
        """The sound share won over all calls, in percentage points of the repaired call."""
        return round(100 * self.gain, 1)


class NoRepair(ValueError):
    """The look or its repair is not there any more."""


def find_repairs(week: Week, call: str, look_pk: int) -> list[Mended]:
    """Returns the engine's repairs of one look of the week, each with all that it changes. Raises NoRepair."""
    looks = weigh_looks(week)
    found = _repairs(week, call, look_pk, looks)
    calls = convert.calls_of(week.system)
    around = around_of(week.system)
    before = prove_calls(calls, looks, around)
    mended = []
    for number, repair in enumerate(found):
        after = prove_calls(_with_rules(week.system, call, repair.rules), looks, around) if repair.rules else before
        changed = list_changes(before, after)
        gain = _sound_of(after, call) - _sound_of(before, call)
        mended.append(Mended(number, _told(repair), repair.kind, repair.size, repair.rules, tuple(changed), gain))
    return mended


def _told(repair: fits.Repair) -> str:
    """Returns the repair in the words of its system."""
    return words_of(repair.look).retell(repair.text)


def _repairs(week: Week, call: str, look_pk: int, looks: Sequence[Weighed]) -> list[fits.Repair]:
    calls = convert.calls_of(week.system)
    look = next((look for look in looks if look.row.pk == look_pk), None)
    if call not in calls or look is None:
        raise NoRepair("expected a call and a look of this week; one of them is gone")
    spec = specs_of(calls[call], [look], around_of(week.system))[0]
    others = [value for name, value in calls.items() if name != call]
    try:
        return fits.repair_look(spec, others)
    except fits.FitsError as error:
        raise NoRepair(str(error)) from error


def _sound_of(proofs: Sequence[CallProof], call: str) -> float:
    return next((proof.sound for proof in proofs if proof.call == call), 0.0)


def list_changes(before: Sequence[CallProof], after: Sequence[CallProof]) -> list[Changed]:
    """Returns the looks whose result differs, the heaviest first."""
    then = {proof.call: proof for proof in after}
    changed = [
        Changed(proof.call, look, result, again)
        for proof in before
        if proof.call in then
        for (look, result), (_, again) in zip(proof.against, then[proof.call].against, strict=True)
        if result != again
    ]
    return sorted(changed, key=lambda change: (-change.look.weight, change.call))


def _with_rules(system: System, call: str, rules: Sequence[Any]) -> Mapping[str, fits.Call]:
    """Returns the system's calls with those rules in front of the call's front, as saving them would make it."""
    data = _changed_data(system, call, rules)
    return fits.build_system(data, system.name, fits.load_library().schemes).calls()


def _changed_data(system: System, call: str, rules: Sequence[Any]) -> dict[str, Any]:
    data = convert.system_dict(system)
    front_name = next(row["front"] for row in data["call"] if row["name"] == call)
    front = next(front for front in data["front"] if front["name"] == front_name)
    taken = {rule["id"] for owner in (*data["front"], *data["coverage"]) for rule in owner["fits"]}
    fresh = [_rule_dict(rule, front["name"], taken) for rule in rules]
    front["fits"] = [*fresh, *front["fits"]]
    return data


def _rule_dict(rule: Any, part: str, taken: set[str]) -> dict[str, Any]:
    name = free_rule_id(rule.id, part, taken)
    taken.add(name)
    fields = {"id": name, "who": rule.who, "when": rule.when, "fit": rule.fit}
    return fields | {key: value for key in ("leverage", "say") if (value := getattr(rule, key))}


@dataclass(frozen=True, slots=True)
class Applied:
    """What applying a repair did."""

    system: System
    made_variant: bool
    changed: tuple[Changed, ...]


@transaction.atomic
def apply_repair(week: Week, call: str, look_pk: int, number: int, text: str) -> Applied:
    """Applies one repair to the week's variant of the system; the base system is never touched.

    `text` is the repair as the coach saw it. Raises NoRepair when it is not that any more; then nothing is changed.
    """
    week = Week.objects.select_for_update(of=("self",)).select_related("system").get(pk=week.pk)
    looks = weigh_looks(week)
    found = _repairs(week, call, look_pk, looks)
    if not 0 <= number < len(found) or _told(found[number]) != text or not found[number].rules:
        raise NoRepair("the repairs of this look are not the same any more; look at them again")
    repair = found[number]
    around = around_of(week.system)
    before = prove_calls(convert.calls_of(week.system), looks, around)
    variant, made = week_variant(week)
    convert.write_system(_changed_data(variant, call, repair.rules), variant, variant.base)
    variant.refresh_from_db()
    if made:
        week_services.change_week(week, week.version, {"system": variant})
    after = prove_calls(convert.calls_of(variant), looks, around)
    return Applied(variant, made, tuple(list_changes(before, after)))


def week_variant(week: Week) -> tuple[System, bool]:
    """Returns the week's own variant of its system, made now if its system is the base or is shared; and whether."""
    system = week.system
    shared = Week.objects.filter(system=system).exclude(pk=week.pk).exists()
    if system.base_id and not shared:
        return system, False
    base = system.base or system
    tail, number = f"-week-{week.number}", 2
    name = _cut(base.name, tail, 60)
    while System.objects.filter(name=name).exists():
        name, number = _cut(base.name, f"{tail}-{number}", 60), number + 1
    label = _cut(base.label or base.name, f", week {week.number}", 120)
    return convert.copy_system(system, name, label), True


def _cut(name: str, tail: str, most: int) -> str:
    return name[: most - len(tail)] + tail
