"""Rows of a form before they are checked: added, taken out, moved. What was typed stays as it was."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.http import QueryDict

from playbook.text import whole_number

Rows = dict[str, list[dict[str, Any]]]
MOST = 200  # rows of a list, however many a request says there are


def as_sent(data: QueryDict, kinds: Mapping[str, Any]) -> Rows:
    """Returns the rows of each list as they were sent; `kinds` are their formset classes."""
    return {key: _rows(data, key, kind.form) for key, kind in kinds.items()}


def _rows(data: QueryDict, key: str, form: Any) -> list[dict[str, Any]]:
    count = min(whole_number(data.get(f"{key}-TOTAL_FORMS", "0")), MOST)
    return [{name: data.get(f"{key}-{number}-{name}", "") for name in form.base_fields} for number in range(count)]


def act(rows: Rows, action: str) -> Rows:
    """Returns the rows after an action such as `add rules`, `drop rules 3`, `up cast 1`; any other changes nothing."""
    verb, _, rest = action.partition(" ")
    key, _, number = rest.partition(" ")
    found = rows.get(key, [])
    at = whole_number(number, -1)
    if verb == "add" and key in rows:
        found.append({})
    elif verb in ("up", "down", "drop") and 0 <= at < len(found):
        row = found.pop(at)
        if verb != "drop":
            found.insert(max(at - 1, 0) if verb == "up" else at + 1, row)
    return rows


def fresh(rows: Rows, kinds: Mapping[str, Any]) -> dict[str, Any]:
    """Returns unbound formsets that hold the rows."""
    return {key: kind(initial=rows[key], prefix=key) for key, kind in kinds.items()}


def bound(data: QueryDict, kinds: Mapping[str, Any]) -> dict[str, Any]:
    """Returns the formsets that a request filled."""
    return {key: kind(data, prefix=key) for key, kind in kinds.items()}
