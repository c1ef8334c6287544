"""Identifiers: made here from what people call a thing, and nowhere else. People never see or type them."""

from __future__ import annotations

from collections.abc import Container

from django.db.models import Model, Q
from django.utils.text import slugify

LONGEST = 60


def identifier(label: str, taken: Container[str], noun: str) -> str:
    """Returns an identifier for the label that is not taken: `Trey Rip 11` is `trey-rip-11`, then `trey-rip-11-2`.

    Letters lose their accents; a label of which nothing is left, as in most scripts, gets the noun: `formation-2`.
    """
    stem = slugify(label.replace("ß", "ss"))[:LONGEST].strip("-_") or noun
    name, number = stem, 1
    while name in taken:
        number += 1
        tail = f"-{number}"
        name = stem[: LONGEST - len(tail)] + tail
    return name


def free_name(model: type[Model], label: str, **owner: object) -> str:
    """Returns an identifier for a new row of the model, unique among its owner's (an opponent's: and the library's)."""
    rows = model._default_manager.filter(_around(owner))
    return identifier(label, set(rows.values_list("name", flat=True)), str(model._meta.verbose_name).replace(" ", "-"))


def _around(owner: dict[str, object]) -> Q:
    if "opponent" not in owner:
        return Q(**owner)
    return Q() if owner["opponent"] is None else Q(opponent=owner["opponent"]) | Q(opponent=None)
