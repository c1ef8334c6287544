"""What the board shows, read from the address: whose looks, which calls, which of them, and what is put away."""

from __future__ import annotations

import re
from typing import Any

from django import forms

from playbook.board import queries
from playbook.installation import queries as installation
from playbook.looks import queries as looks
from playbook.models import Opponent, System, Week
from playbook.text import whole_number

SHOW = [("", "every look"), ("unsound", "what is not sound"), ("wrong", "anything but sound")]
LIBRARY = "library"


class BoardForm(forms.Form):
    """Every field has a default, so an empty address is the current week's board.

    `of` is a week (`w12`), an opponent's whole menu (`o3`) or the library; `opponent=3` in an address is the latest
    week of his, else his menu.
    """

    of = forms.ChoiceField(label="Looks of", required=False)
    system = forms.ChoiceField(label="Our system", required=False)
    calls = forms.ChoiceField(label="Our calls", required=False)
    show = forms.ChoiceField(label="Show", choices=SHOW, required=False)
    page = forms.IntegerField(min_value=1, max_value=100_000, required=False, widget=forms.HiddenInput)

    def __init__(self, data: Any, now: Week | None) -> None:
        data = data.copy()
        weeks = Week.objects.select_related("season", "opponent", "system", "system__scheme")
        weeks = list(weeks.order_by("-season__year", "-number"))
        opponents, systems = list(Opponent.objects.all()), list(System.objects.select_related("scheme"))
        if not data.get("of"):
            data["of"] = _first(data.get("opponent", ""), weeks, opponents, now)
        super().__init__(data)
        of = data["of"]
        self.week = next((week for week in weeks if of == f"w{week.pk}"), None)
        self.opponent = next((one for one in opponents if of == f"o{one.pk}"), None)
        own = self.week.system if self.week else _of_opponent(self.opponent, weeks) or installation.own_system()
        picked = whole_number(data.get("system", ""))
        self.system = next((system for system in systems if system.pk == picked), own)
        self.away = frozenset(key for key in data.getlist("away") if re.fullmatch(r"c\d+|l\d+|m\d+-\d+", key))
        self._choose("of", ([] if of else [("", "no week yet")]) + _whose(weeks, opponents))
        self._choose("system", [("", str(own))] + [(str(s.pk), str(s)) for s in systems if s != own])
        self.chosen_calls, choices = (
            queries.calls_of(self.system, self.week, data.get("calls", "")) if self.system else ([], [])
        )
        self._choose("calls", choices)

    def _choose(self, name: str, choices: list[Any]) -> None:
        self.fields[name].choices = choices  # type: ignore[attr-defined]

    def clean_page(self) -> int:
        """Returns the page, the first when nothing was said."""
        return self.cleaned_data["page"] or 1

    def question(self) -> queries.Question | None:
        """Returns what a valid form asks for; none before there is a system."""
        if self.system is None:
            return None
        c = self.cleaned_data
        menu = None if self.week or not c["of"] else looks.menu(self.opponent)
        return queries.Question(self.system, tuple(self.chosen_calls), self.week, menu, c["show"], c["page"], self.away)

    def pairs(self, **changes: str | None) -> list[tuple[str, str]]:
        """Returns the query parameters of this board, with changes; what is at its default is left out."""
        c = self.cleaned_data
        now = {"of": c["of"], "system": c["system"], "calls": c["calls"], "show": c["show"], "page": str(c["page"])}
        now = {**now, **changes}  # type: ignore[dict-item]
        found = [(key, value) for key, value in now.items() if value and (key, value) != ("page", "1")]
        return found + [("away", key) for key in sorted(self.away)]


def _first(opponent: str, weeks: list[Week], opponents: list[Opponent], now: Week | None) -> str:
    """Returns what to show when the address does not say: the opponent's latest week or menu, else the current week."""
    asked = next((one for one in opponents if one.pk == whole_number(opponent)), None)
    if asked:
        week = next((week for week in weeks if week.opponent_id == asked.pk), None)
        return f"w{week.pk}" if week else f"o{asked.pk}"
    return f"w{now.pk}" if now else ""


def _of_opponent(opponent: Opponent | None, weeks: list[Week]) -> System | None:
    return next((week.system for week in weeks if opponent and week.opponent_id == opponent.pk), None)


def _whose(weeks: list[Week], opponents: list[Opponent]) -> list[tuple[str, Any]]:
    menus = [(f"o{one.pk}", f"{one}: their whole menu") for one in opponents] + [(LIBRARY, "the whole library")]
    groups: list[tuple[str, Any]] = [("Whole menus", menus)]
    return [("Weeks", [(f"w{week.pk}", _week(week, weeks[0])) for week in weeks]), *groups] if weeks else groups


def _week(week: Week, latest: Week) -> str:
    return str(week) if week.season_id == latest.season_id else f"{week}, {week.season}"
