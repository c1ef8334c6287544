"""The techniques of a system: those it shares with others until the staff changes them, then its own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from playbook import names
from playbook.models import StaleVersion, System, Technique, TechniqueScheme
from playbook.system.services import Refused

FIELDS = ("label", "man", "shade", "gap")


def rows_of(scheme: TechniqueScheme) -> list[dict[str, str]]:
    """Returns the techniques as rows."""
    return list(scheme.techniques.values(*FIELDS))


def is_shared(system: System) -> bool:
    """Returns whether the numbering is shipped, or another system has it as well."""
    return not system.scheme.inline or system.scheme.systems.exclude(pk=system.pk).exists()


def seen(system: System) -> str:
    """Returns what tells one state of the techniques from another."""
    versions = sum(system.scheme.techniques.values_list("version", flat=True))
    return f"{system.scheme_id}.{system.scheme.version}.{versions}.{system.scheme.techniques.count()}"


def save(system: System, was: str, head: Mapping[str, str], wanted: Sequence[Mapping[str, Any]]) -> TechniqueScheme:
    """Writes a system's techniques; call through `services.carry_out`. Raises StaleVersion and Refused.

    A shared numbering stays as it is: the system gets one of its own.
    """
    current = System.objects.select_related("scheme").get(pk=system.pk)
    if seen(current) != was:
        raise StaleVersion(current)
    labels = [row["label"] for row in wanted]
    if twice := next((label for label in labels if labels.count(label) > 1), None):
        raise Refused(f"Expected each technique once; {twice} is there twice.")
    scheme = _own(current, head) if is_shared(current) else current.scheme
    if (scheme.label, scheme.source) != (head["label"], head["source"]):
        scheme.save_version(scheme.version, label=head["label"], source=head["source"])
    _write(scheme, wanted)
    return scheme


def _own(system: System, head: Mapping[str, str]) -> TechniqueScheme:
    taken = set(TechniqueScheme.objects.values_list("name", flat=True))
    name = names.identifier(f"{system.name[:40]} techniques", taken, "techniques")
    made = TechniqueScheme.objects.create(name=name, label=head["label"], source=head["source"], inline=True)
    system.save_version(system.version, scheme=made)
    return made


def _write(scheme: TechniqueScheme, wanted: Sequence[Mapping[str, Any]]) -> None:
    """Makes the rows what is wanted; a technique is known by what it is called."""
    kept = {row.label: row for row in scheme.techniques.all()}
    labels = {row["label"] for row in wanted}
    for label, row in kept.items():
        if label not in labels:
            row.delete()
    for place, new in enumerate(wanted):
        values = {name: new[name] for name in FIELDS}
        found = kept.get(new["label"])
        if found is None:
            Technique.objects.create(scheme=scheme, order=place, **values)
        elif any(getattr(found, name) != value for name, value in values.items()) or found.order != place:
            found.save_version(found.version, order=place, **values)
