"""Rows of a concept as a form holds them before they are checked: added, taken out, moved."""

from __future__ import annotations

import re
from typing import Any

from django.http import QueryDict

import fits
from fits.blocking.build import LABELS
from playbook import rows
from playbook.opponent.forms import ROWS
from playbook.opponent.run_men import give_job

MEN = [
    *LABELS,
    *(f"{side} {man}" for side in ("play", "back") for man in ("guard", "tackle", "attached", "tight end", "wing")),
]
FILE_FIELDS = {"from": "candidates"}


def act(data: QueryDict, action: str) -> dict[str, list[dict[str, Any]]]:
    """Returns the rows after an action such as `add rules`, `drop rules 3`, `up cast 1`, `job`, `ball`.

    `job` gives the man of the fields `job-…` what he does, `ball` sends the first threat where the field says.
    """
    found = rows.as_sent(data, ROWS)
    verb, _, _ = action.partition(" ")
    if verb == "job" and data.get("job-does") and data.get("job-who"):
        names = data.get("job-names", "").split(",")
        when = data.get("job-when", "").strip()
        found["rules"] = give_job(found["rules"], data["job-who"], names, data["job-does"], when)
    if verb == "ball" and data.get("ball") and found["threats"]:
        found["threats"][0]["where"] = data["ball"]
    return rows.act(found, action)


def place_error(error: fits.FileError, form: Any, sets: dict[str, Any]) -> tuple[Any, str | None]:
    """Returns the form and the field that the engine's error is about: of a row, else of the head, None for neither."""
    found = re.search(r"\b(cast|rules|threats|leaves)\[(\d+)\]\.(\w+)$", error.key)
    if found:
        return sets[found[1]].forms[int(found[2])], FILE_FIELDS.get(found[3], found[3])
    name = re.sub(r"\W.*", "", error.key.rsplit(".", 1)[-1])
    return form, name if name in form.fields else None
