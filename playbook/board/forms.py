"""What the fit board shows: whose looks, which system, and the filter."""

from __future__ import annotations

from typing import Any

from django import forms

from playbook.looks import queries as looks
from playbook.models import Call, Concept, Formation, HashName, Opponent, SideName, System, Week

STATES = [
    ("", "All"),
    (looks.UNSOUND, "Not sound"),
    (looks.ON_TIME, "Sound if on time"),
    (looks.WARNING, "Sound, with a warning"),
    (looks.SOUND, "Sound"),
    ("wrong", "Anything but sound"),
]


class BoardForm(forms.Form):
    """Every field has a default, so an empty address is the next opponent's whole board."""

    opponent = forms.ModelChoiceField(
        Opponent.objects.all(), label="Looks of", required=False, empty_label="the library"
    )
    week = forms.ModelChoiceField(Week.objects.none(), label="Looks", required=False, empty_label="their whole menu")
    system = forms.ModelChoiceField(System.objects.select_related("scheme"), required=False, empty_label=None)
    call = forms.ModelChoiceField(Call.objects.none(), required=False, empty_label="All")
    formation = forms.ModelChoiceField(Formation.objects.none(), required=False, empty_label="All")
    concept = forms.ModelChoiceField(Concept.objects.none(), label="Run", required=False, empty_label="All")
    to = forms.ChoiceField(label="Direction", choices=[("", "As the run says"), *SideName.choices], required=False)
    hash = forms.ChoiceField(label="Ball on", choices=[("", "Middle"), *HashName.choices[::2]], required=False)
    state = forms.ChoiceField(label="Show", choices=STATES, required=False)

    def __init__(self, data: Any) -> None:
        data = data.copy()
        first = looks.next_opponent()
        if "opponent" not in data:
            data["opponent"] = str(first.pk) if first else ""
        if "system" not in data:
            week = Week.objects.filter(opponent=looks.find(Opponent, data["opponent"]), opponent__isnull=False).first()
            found = week.system if week else System.objects.first()
            data["system"] = str(found.pk) if found else ""
        super().__init__(data)
        opponent = looks.find(Opponent, data["opponent"])
        self.menu = looks.menu(opponent)
        self._choose(
            "week", Week.objects.filter(opponent=opponent, opponent__isnull=False).select_related("opponent", "season")
        )
        self._choose("call", Call.objects.filter(system=looks.find(System, data["system"])))
        self._choose("formation", Formation.objects.filter(pk__in=[f.pk for f in self.menu.formations]))
        self._choose("concept", Concept.objects.filter(pk__in=[c.pk for c in self.menu.concepts]))
        self.fields["week"].label_from_instance = lambda week: f"expected in week {week.number}"  # type: ignore[attr-defined]

    def _choose(self, name: str, rows: Any) -> None:
        self.fields[name].queryset = rows  # type: ignore[attr-defined]
