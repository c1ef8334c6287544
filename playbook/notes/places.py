"""What a note is about, as a value and as the short text that a form carries."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from playbook.models import Call, Concept, Day, Formation, Week
from playbook.text import MOST_DIGITS

KINDS: dict[str, tuple[str, type[Any]]] = {
    "w": ("week", Week),
    "f": ("formation", Formation),
    "r": ("concept", Concept),
    "c": ("call", Call),
    "d": ("day", Day),
}


@dataclass(frozen=True, slots=True)
class Place:
    """A week, a look of it (a formation with a concept) and a call, or a day; what is none is not meant."""

    week: Week | None = None
    formation: Formation | None = None
    concept: Concept | None = None
    call: Call | None = None
    day: Day | None = None

    @property
    def token(self) -> str:
        """The place as a form carries it, such as `w2-f3-r4-c5`."""
        rows = [(letter, getattr(self, name)) for letter, (name, _) in KINDS.items()]
        return "-".join(f"{letter}{row.pk}" for letter, row in rows if row is not None)

    @property
    def words(self) -> str:
        """What it is, in words; nothing for a week itself."""
        if self.day:
            return str(self.day)
        if self.formation and self.concept:
            return f"{self.concept} from {self.formation}" + (f" against {self.call}" if self.call else "")
        return str(self.call) if self.call else ""

    @property
    def rows(self) -> dict[str, Any]:
        """The rows by the name of their column."""
        return {name: getattr(self, name) for name, _ in KINDS.values()}


def read_place(token: str) -> Place | None:
    """Returns the place that a form carried; none when it is no place or something of it is gone."""
    found: dict[str, Any] = {}
    for part in token.split("-"):
        match = re.fullmatch(rf"([wfrcd])([0-9]{{1,{MOST_DIGITS}}})", part)
        if match is None:
            return None
        name, model = KINDS[match[1]]
        row = model._default_manager.filter(pk=int(match[2])).first()
        if row is None or name in found:
            return None
        found[name] = row
    day, week, look = found.get("day"), found.get("week"), ("formation" in found, "concept" in found)
    if look[0] != look[1] or (day and (week is None or day.week_id != week.pk or len(found) > 2)):
        return None
    return Place(**found)
