"""Rows of a concept as a form holds them before they are checked: added, taken out, moved."""

from __future__ import annotations

from typing import Any

from django.http import QueryDict

from fits.blocking.build import LABELS
from playbook.opponent.forms import ROWS
from playbook.text import whole_number

MEN = [
    *LABELS,
    *(f"{side} {man}" for side in ("play", "back") for man in ("guard", "tackle", "attached", "tight end", "wing")),
]
FILE_FIELDS = {"from": "candidates"}


def act(data: QueryDict, action: str) -> dict[str, list[dict[str, Any]]]:
    """Returns the rows after an action such as `add rules`, `drop rules 3`, `up cast 1`, `down threats 0`."""
    rows = {key: _rows(data, key) for key in ROWS}
    verb, _, rest = action.partition(" ")
    key, _, number = rest.partition(" ")
    found = rows.get(key, [])
    at = whole_number(number, -1)
    if verb == "add" and key in rows:
        found.append({})
    elif 0 <= at < len(found):
        row = found.pop(at)
        if verb in ("up", "down"):
            found.insert(max(at - 1, 0) if verb == "up" else at + 1, row)
        elif verb != "drop":
            found.insert(at, row)
    return rows


def _rows(data: QueryDict, key: str) -> list[dict[str, Any]]:
    form = ROWS[key].form
    total = data.get(f"{key}-TOTAL_FORMS", "0")
    count = min(whole_number(total), 200)
    return [{name: data.get(f"{key}-{number}-{name}", "") for name in form.base_fields} for number in range(count)]
