"""The five kinds of rules, and where the rows of each stand: what is the same for all of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from playbook.models import AlignRule, Coverage, FitRule, ForceRule, Front, KeyRule, System, TakeRule

Owner = Front | Coverage
AnyRule = AlignRule | KeyRule | FitRule | TakeRule | ForceRule


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of rule: its key in files, its table, the column it is read from, its words on the page."""

    key: str
    model: type[Any]
    related: str
    title: str
    asks: str
    fields: tuple[str, ...]


KINDS = {
    kind.key: kind
    for kind in (
        Kind("align", AlignRule, "alignrules", "Alignment", "He lines up", ("who", "when", "at")),
        Kind("keys", KeyRule, "keyrules", "Keys", "He reads", ("who", "when", "reads")),
        Kind(
            "fits",
            FitRule,
            "fitrules",
            "Fits",
            "He fits",
            ("rule_id", "who", "when", "fit", "leverage", "say"),
        ),
        Kind("takes", TakeRule, "takerules", "Pass duties", "He takes", ("who", "when", "takes")),
        Kind("force", ForceRule, "forcerules", "Force", "He is the force player on his side", ("who", "when")),
    )
}
KIND_OF = {kind.model: kind for kind in KINDS.values()}
LABELS = {
    "rule_id": "Rule id",
    "who": "Who",
    "when": "When",
    "at": "Lines up at",
    "reads": "Reads",
    "fit": "Fit",
    "leverage": "Leverage",
    "say": "In the coach's words",
    "takes": "Takes",
}


def kinds_of(owner: Owner) -> list[Kind]:
    """Returns the kinds of rules that a front or a coverage has."""
    every = list(KINDS.values())
    return every if isinstance(owner, Coverage) else every[:3]


def noun(owner: Owner) -> str:
    """Returns "front" or "coverage"."""
    return "coverage" if isinstance(owner, Coverage) else "front"


def rows_of(owner: Owner, kind: Kind) -> list[Any]:
    """Returns the rules of a kind in their order."""
    return list(getattr(owner, kind.related).all())


def as_text(rule: Any, names: tuple[str, ...] | None = None) -> str:
    """Returns a rule as lines of text, for the conflict page and the history."""
    names = names or KIND_OF[type(rule)].fields
    return "\n".join(f"{LABELS.get(name, name)}: {getattr(rule, name) or '–'}" for name in names)


def system_of(rule: Any) -> System:
    """Returns the system a rule belongs to."""
    return (rule.coverage if isinstance(rule, TakeRule | ForceRule) else rule.owner).system  # type: ignore[no-any-return]
