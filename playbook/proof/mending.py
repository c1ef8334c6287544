"""Proven repairs of a week's looks: found, weighed before and after, applied to the week's own variant."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from django.db import transaction

import fits
from fits.defense.system import free_rule_id
from fits.words import words_of
from playbook import convert
from playbook.looks.pricing import Weight, weigh
from playbook.looks.specs import asks_of, specs_of, surroundings
from playbook.models import System, Week
from playbook.proof.results import SOUND, WARNING, StoredVerdict
from playbook.proof.weighing import CallProof, Weighed, prove_calls, weigh_looks
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
    """One repair: the engine's proof, in the words of its system."""

    number: int
    repair: fits.Repair

    @property
    def text(self) -> str:
        """The change in one sentence."""
        return _told(self.repair)

    @property
    def rules(self) -> tuple[fits.defense.system.FitRule, ...]:
        """The rules it adds."""
        return self.repair.rules


@dataclass(frozen=True, slots=True)
class Cost:
    """What a repair changes: its price over the call's other looks of the week, and all looks of all calls that change.

    `gain` is the sound share that the repaired call wins.
    """

    mended: Mended
    weight: Weight
    changed: tuple[Changed, ...]
    gain: float

    @property
    def points(self) -> float:
        """The sound share won, in percentage points of the call's expected runs."""
        return round(100 * self.gain, 1)


GONE = "expected a call and a look of this week; one of them is gone"


class NoRepair(ValueError):
    """The look or its repair is not there any more."""


def find_repairs(week: Week, call: str, look_pk: int) -> list[Mended]:
    """Returns the engine's repairs of one look of the week. Raises NoRepair."""
    return [Mended(number, repair) for number, repair in enumerate(_sought(week, call, look_pk).repairs)]


def is_sound(week: Week, call: str, look_pk: int) -> bool:
    """Returns whether there is nothing to repair. Raises NoRepair."""
    calls, looks = convert.calls_of(week.system), weigh_looks(week)
    if call not in calls:
        raise NoRepair(GONE)
    (proof,) = prove_calls(week, week.system, {call: calls[call]}, looks)
    found = next((result for look, result in proof.against if look.row.pk == look_pk), None)
    if found is None:
        raise NoRepair(GONE)
    return found.state in (SOUND, WARNING)


def weigh_repair(week: Week, call: str, look_pk: int, number: int, text: str) -> Cost:
    """Returns what one repair does to the week's other looks; `text` is the repair as the coach saw it.

    Raises NoRepair when it is not that any more.
    """
    sought = _sought(week, call, look_pk)
    mended = _picked(sought, number, text)
    around, asks = surroundings(week.system_id, week), asks_of(week, [look.row for look in sought.looks])
    specs = [one for one in specs_of(asks, around, sought.spec.call) if isinstance(one, fits.LookSpec)]
    other = None if mended.rules else sought.calls[mended.repair.call]
    try:
        weight = weigh(sought.spec, mended.repair, specs, f"the looks of {week}", call=other)
    except fits.FitsError as error:
        raise NoRepair(str(error)) from error
    if other is not None:
        return Cost(mended, weight, (), 0.0)
    before = prove_calls(week, week.system, sought.calls, sought.looks)
    after = prove_calls(week, week.system, _with_rules(week.system, call, mended.rules), sought.looks)
    gain = _sound_of(after, call) - _sound_of(before, call)
    return Cost(mended, weight, tuple(list_changes(before, after)), gain)


def _picked(sought: _Sought, number: int, text: str) -> Mended:
    if not 0 <= number < len(sought.repairs) or _told(sought.repairs[number]) != text:
        raise NoRepair("the repairs of this look are not the same any more; look at them again")
    return Mended(number, sought.repairs[number])


def _told(repair: fits.Repair) -> str:
    """Returns the repair in the words of its system."""
    return words_of(repair.look).retell(repair.text)


@dataclass(frozen=True, slots=True)
class _Sought:
    """The repairs of a look, with what was asked."""

    spec: fits.LookSpec
    calls: Mapping[str, fits.Call]
    looks: list[Weighed]
    repairs: tuple[fits.Repair, ...]


def _spec(week: Week, call: str, look_pk: int) -> tuple[fits.LookSpec, Mapping[str, fits.Call], list[Weighed]]:
    calls, looks = convert.calls_of(week.system), weigh_looks(week)
    look = next((look for look in looks if look.row.pk == look_pk), None)
    if call not in calls or look is None:
        raise NoRepair(GONE)
    (asked,) = specs_of(asks_of(week, [look.row]), surroundings(week.system_id, week), calls[call])
    if isinstance(asked, fits.FitsError):
        raise NoRepair(str(asked)) from asked
    return asked, calls, looks


def _sought(week: Week, call: str, look_pk: int) -> _Sought:
    spec, calls, looks = _spec(week, call, look_pk)
    others = [value for name, value in calls.items() if name != call]
    try:
        return _Sought(spec, calls, looks, tuple(fits.repair_look(spec, others)))
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
def apply_repair(
    week: Week, call: str, look_pk: int, number: int, text: str, says: Sequence[str] | None = None
) -> Applied:
    """Applies one repair to the week's variant of the system; the base system is never touched.

    `text` is the repair as the coach saw it, `says` his sentence for each of its rules (the engine's own without).
    Raises NoRepair when it is not that any more; then nothing is changed.
    """
    week = Week.objects.select_for_update(of=("self",)).select_related("system").get(pk=week.pk)
    sought = _sought(week, call, look_pk)
    mended = _picked(sought, number, text)
    if not mended.rules or (says is not None and len(says) != len(mended.rules)):
        raise NoRepair("the repairs of this look are not the same any more; look at them again")
    rules = mended.rules if says is None else [replace(r, say=s) for r, s in zip(mended.rules, says, strict=True)]
    before = prove_calls(week, week.system, sought.calls, sought.looks)
    variant, made = week_variant(week)
    convert.write_system(_changed_data(variant, call, rules), variant, variant.base)
    variant.refresh_from_db()
    if made:
        week_services.change_week(week, week.version, {"system": variant})
    after = prove_calls(week, variant, convert.calls_of(variant), sought.looks)
    return Applied(variant, made, tuple(list_changes(before, after)))


def week_variant(week: Week) -> tuple[System, bool]:
    """Returns the week's own variant of its system, made now if its system is the base or is shared; and whether."""
    system = week.system
    shared = Week.objects.filter(system=system).exclude(pk=week.pk).exists()
    if system.base_id and not shared:
        return system, False
    base = system.base or system
    label = _cut(str(base), f", week {week.number}", 120)
    return convert.copy_system(system, "", label), True


def _cut(name: str, tail: str, most: int) -> str:
    return name[: most - len(tail)] + tail
