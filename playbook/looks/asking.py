"""What can be asked of a look, as a value: rows, direction, hash, motion, options and changed first steps.

An `Ask` and the address of its page say the same, so that every look has an address that can be passed on.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from urllib.parse import urlencode

from django.urls import reverse

from playbook.models import Call, Concept, Formation, Motion, Opponent, Option, Week


@dataclass(frozen=True, slots=True)
class Setting:
    """The part of a question that goes for any call, formation and concept.

    An empty `to` leaves it to the concept; `yard_line` is as in `fits.LookSpec`, `pressure` its name in the call's
    system. `week` is whose rule book goes; `gone` are names of options that the week still has and nobody else. `pace`
    is the level at which everybody runs, empty as they do. `back` is where the back stands, strong or weak; empty as
    the formation is drawn.
    """

    to: str = ""
    flip: bool = False
    hash: str = "middle"
    motion: Motion | None = None
    options: tuple[Option, ...] = ()
    steps: tuple[tuple[str, str], ...] = ()
    yard_line: float | None = None
    pressure: str = ""
    week: Week | None = None
    gone: tuple[str, ...] = ()
    pace: str = ""
    back: str = ""

    def pairs(self) -> list[tuple[str, str]]:
        """Returns the query parameters that differ from a plain look."""
        found = [("to", self.to)] if self.to else []
        found += [("flip", "on")] if self.flip else []
        found += [("hash", self.hash)] if self.hash != "middle" else []
        found += [("motion", str(self.motion.pk))] if self.motion else []
        found += [("back", self.back)] if self.back else []
        found += [("options", str(option.pk)) for option in self.options]
        found += [(f"step-{role}", step) for role, step in self.steps]
        found += [("yard_line", f"{self.yard_line:g}")] if self.yard_line is not None else []
        found += [("pressure", self.pressure)] if self.pressure else []
        found += [("week", str(self.week.pk))] if self.week else []
        found += [("pace", self.pace)] if self.pace else []
        return found + [("gone", name) for name in self.gone]


@dataclass(frozen=True, slots=True)
class Ask:
    """One look: a call against a concept from a formation, in a setting."""

    call: Call
    formation: Formation
    concept: Concept
    setting: Setting = Setting()

    @property
    def path(self) -> str:
        """Returns the address of the look's page without its query."""
        return reverse("looks:detail", args=[self.call.pk, self.formation.pk, self.concept.pk])

    @property
    def opponent(self) -> Opponent | None:
        """Returns whose look it is: the week's opponent, without a week whose formation or run it is; none's else."""
        return self.setting.week.opponent if self.setting.week else self.formation.opponent or self.concept.opponent

    def part(self, name: str, extra: Sequence[tuple[str, str]] = (), **more: object) -> str:
        """Returns the address of what belongs to the look: its `play`, its `repairs`."""
        keys = {"call": self.call.pk, "formation": self.formation.pk, "concept": self.concept.pk}
        query = urlencode([*self.setting.pairs(), *extra])
        path = reverse(f"looks:{name}", kwargs=keys | more)
        return f"{path}?{query}" if query else path

    def address(self, extra: Sequence[tuple[str, str]] = ()) -> str:
        """Returns the whole address of the look's page."""
        query = urlencode([*self.setting.pairs(), *extra])
        return f"{self.path}?{query}" if query else self.path

    def at(self, **changes: object) -> Ask:
        """Returns the same question in another setting."""
        return replace(self, setting=replace(self.setting, **changes))  # type: ignore[arg-type]
