"""What the pages of lists share: rows checked, refusals placed beside their fields, two versions as text."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any
from urllib.parse import urlencode

from fits.defense.checks import CHECKS
from fits.defense.movement import MOVES
from playbook import rows
from playbook.models import System
from playbook.system import lists, queries, services, vocabulary
from playbook.system.row_forms import ROWS, TITLES

KEPT = ("call", "formation", "concept", "motion", "man")


def words_of(system: System) -> dict[str, Any]:
    """Returns the system, the titles of its lists, and the words that their fields offer."""
    words = vocabulary.words_for(queries.value(system))
    words |= {name: [entry["example"] for entry in known.listing()] for name, known in _LISTED.items()}
    return {"system": system, "titles": TITLES, "words": words}


_LISTED: dict[str, Any] = {"moves": MOVES, "checks": CHECKS}


def query_of(data: Mapping[str, str]) -> str:
    """Returns the query that brings the same drawing and man back."""
    pairs = [(name, data[name]) for name in KEPT if data.get(name)]
    return f"?{urlencode(pairs)}" if pairs else ""


def items(sets: Mapping[str, Any]) -> dict[str, list[lists.Item]] | None:
    """Returns the rows as the file has them, or none when a field is wrong."""
    checked = [found.is_valid() for found in sets.values()]  # each tells its errors
    if not all(checked):
        return None
    return {key: [lists.item(key, row.cleaned_data) for row in found] for key, found in sets.items()}


def placed(refused: services.Refused, sets: Mapping[str, Any]) -> str:
    """Puts the engine's refusal beside the field it is about; returns it for above the form where there is none."""
    key = getattr(refused.__cause__, "key", "")
    found = re.search(r"\b(\w+)\[(\d+)\]\.(\w+)$", key)
    if found and found[1] in sets and int(found[2]) < len(sets[found[1]].forms):
        form = sets[found[1]].forms[int(found[2])]
        if found[3] in form.fields and not form[found[3]].is_hidden:
            form.add_error(found[3], refused.brief)
            return ""
    return refused.brief if found else refused.text


def on_paper(found: Mapping[str, Sequence[Mapping[str, Any]]]) -> list[tuple[str, list[str]]]:
    """Returns each list that has rows, by its title, each row as a line: who, when, what, in the coach's words.

    >>> on_paper({"move": [{"who": "M", "when": "gun", "to": "edge", "say": "off it"}]})[0][1]
    ['M, when gun: edge (off it)']
    """
    return [(TITLES[key][0], [_line(row) for row in kept]) for key, kept in found.items() if kept]


def _line(row: Mapping[str, Any]) -> str:
    when = f", when {row['when']}" if row.get("when") else ""
    say = f" ({row['say']})" if row.get("say") else ""
    takes = f", takes {row['takes']}" if row.get("takes") else ""
    if "duty" in row:
        return f"{row.get('of', '')} is sent: his {row['duty']} goes to {row.get('by', '')}{takes}{say}"
    does = next((row[name] for name in ("to", "does", "at", "fit") if row.get(name)), "")
    return f"{row.get('who', '')}{when}: {does}{takes}{say}"


def beside(refused: services.Refused, data: Any, kinds: Mapping[str, Any]) -> dict[str, Any]:
    """Returns the rows as they were sent, with the refusal beside its field, for the table to be open."""
    sets = rows.bound(data, kinds)
    items(sets)
    told = placed(refused, sets)
    return {"sets": sets, "table_used": True, "not_drawn": told or "a row is not right, see the table below."}


def both(
    mine: Mapping[str, Any], theirs: Mapping[str, Any], head: Sequence[str], back: str, what: str
) -> dict[str, str]:
    """Returns two versions as text, for whoever saved second."""

    def text(found: Mapping[str, Any]) -> str:
        first = [f"{key}: {found[key]}" for key in head if found.get(key)]
        listed = [f"{TITLES[key][0]}:\n{lists.as_text(key, found[key])}" for key in ROWS if found.get(key)]
        return "\n".join([*first, *listed])

    return {"mine": text(mine), "theirs": text(theirs), "back": back, "what": what}
