"""Rows of a concept as a form holds them before they are checked: added, taken out, moved."""

from __future__ import annotations

from typing import Any

from django.http import QueryDict

from fits.blocking.build import LABELS
from playbook.opponent.forms import ROWS
from playbook.opponent.run_men import give_job
from playbook.text import whole_number

MEN = [
    *LABELS,
    *(f"{side} {man}" for side in ("play", "back") for man in ("guard", "tackle", "attached", "tight end", "wing")),
]
FILE_FIELDS = {"from": "candidates"}


def act(data: QueryDict, action: str) -> dict[str, list[dict[str, Any]]]:
    """Returns the rows after an action such as `add rules`, `drop rules 3`, `up cast 1`, `job`, `ball`.

    `job` gives the man of the fields `job-…` what he does, `ball` sends the first threat where the field says.
    """
    rows = {key: _rows(data, key) for key in ROWS}
    verb, _, rest = action.partition(" ")
    key, _, number = rest.partition(" ")
    if verb == "job" and data.get("job-does") and data.get("job-who"):
        names = data.get("job-names", "").split(",")
        when = data.get("job-when", "").strip()
        rows["rules"] = give_job(rows["rules"], data["job-who"], names, data["job-does"], when)
    if verb == "ball" and data.get("ball") and rows["threats"]:
        rows["threats"][0]["where"] = data["ball"]
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
