"""The what-if form of a look, read from the address; and the form that picks a look."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db.models import Q

from fits.timing import LEVELS
from playbook.looks.asking import Ask, Setting
from playbook.models import BackSide, Call, Concept, Formation, HashName, Motion, Opponent, Option, SideName, Week
from playbook.text import whole_number

ORIENTATIONS = [("", "As the system says sides"), ("offense", "Offense up"), ("defense", "Defense up")]


class LookForm(forms.Form):
    """The what-if form of one look: its setting, its week, whose view, and which way up.

    Every field has a default, so an empty address is a plain look. Motions and options are the library's, and those of
    the opponent whose look it is.
    """

    to = forms.ChoiceField(label="Direction", choices=[("", "As the concept says"), *SideName.choices], required=False)
    hash = forms.ChoiceField(label="Ball on", choices=[("", "Middle"), *HashName.choices[::2]], required=False)
    motion = forms.ModelChoiceField(Motion.objects.none(), label="Motion or shift", empty_label="None", required=False)
    back = forms.ChoiceField(label="Back", choices=[("", "As drawn"), *BackSide.choices], required=False)
    flip = forms.BooleanField(label="Formation flipped", required=False)
    yard_line = forms.FloatField(
        label="Yards to the goal line", min_value=1, max_value=99, required=False,
        widget=forms.NumberInput(attrs={"placeholder": "midfield", "step": "any"}),
    )  # fmt: skip
    pressure = forms.ChoiceField(label="Pressure", required=False)
    options = forms.ModelMultipleChoiceField(
        Option.objects.none(), label="Options", required=False, widget=forms.CheckboxSelectMultiple
    )
    pace = forms.ChoiceField(label="Speeds", choices=[("", ""), *((level, level) for level in LEVELS)], required=False)
    week = forms.ModelChoiceField(
        Week.objects.select_related("season", "opponent", "system"), required=False, widget=forms.HiddenInput
    )
    role = forms.CharField(max_length=20, required=False, widget=forms.HiddenInput)
    up = forms.ChoiceField(label="Drawing", choices=ORIENTATIONS, required=False)

    def __init__(self, data: Any, ask: Ask, **kwargs: Any) -> None:
        super().__init__(data, **kwargs)
        whose = Q(pk__in=[pk for pk in (ask.formation.opponent_id, ask.concept.opponent_id) if pk])
        if week := whole_number(data.get("week", "")):
            whose |= Q(weeks=week)
        mine = Q(opponent=None) | Q(opponent__in=Opponent.objects.filter(whose).values("pk"))
        self.fields["motion"].queryset = Motion.objects.filter(mine)  # type: ignore[attr-defined]
        self.fields["options"].queryset = Option.objects.filter(mine).order_by("-side", "name")  # type: ignore[attr-defined]
        pressures = [(p["name"], p.get("label") or p["name"]) for p in ask.call.system.pressures]
        self.fields["pressure"].choices = [("", "None"), *pressures]  # type: ignore[attr-defined]

    def clean_hash(self) -> str:
        """Returns the hash, the middle when nothing was said."""
        return self.cleaned_data["hash"] or "middle"

    def steps(self) -> tuple[tuple[str, str], ...]:
        """Returns the first steps asked for, by role."""
        found = [(key.removeprefix("step-"), self.data[key]) for key in self.data if key.startswith("step-")]
        return tuple(sorted((role, step) for role, step in found if step))

    def setting(self) -> Setting:
        """Returns the setting of a valid form."""
        c = self.cleaned_data
        return Setting(
            c["to"], c["flip"], c["hash"], c["motion"], tuple(c["options"]), self.steps(), c["yard_line"],
            c["pressure"], c["week"], tuple(self.data.getlist("gone")), c["pace"], c["back"],
        )  # fmt: skip

    def view(self) -> list[tuple[str, str]]:
        """Returns the query parameters of the view, those that differ from the plain one."""
        c = self.cleaned_data
        found = [("role", c["role"])] if c["role"] else []
        return found + ([("up", c["up"])] if c["up"] else [])


class PlaceForm(forms.Form):
    """A defender and how far he was dragged, in units of one of the page's drawings."""

    man = forms.CharField(max_length=20)
    dx = forms.FloatField(min_value=-2000, max_value=2000)
    dy = forms.FloatField(min_value=-2000, max_value=2000)
    form = forms.ChoiceField(choices=[("wide", "wide"), ("narrow", "narrow")], required=False)


class PickForm(forms.Form):
    """Picks the call, formation and concept of a look."""

    call = forms.ModelChoiceField(
        Call.objects.select_related("system").order_by("system", "order", "id"), empty_label=None
    )
    formation = forms.ModelChoiceField(Formation.objects.select_related("opponent"), empty_label=None)
    concept = forms.ModelChoiceField(Concept.objects.select_related("opponent"), label="Run", empty_label=None)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["call"].label_from_instance = lambda call: f"{call} ({call.system})"  # type: ignore[attr-defined]
        for name in ("formation", "concept"):
            self.fields[name].label_from_instance = entry_label  # type: ignore[attr-defined]

    def ask(self) -> Ask:
        """Returns the question of a valid form."""
        return Ask(self.cleaned_data["call"], self.cleaned_data["formation"], self.cleaned_data["concept"])


def entry_label(entry: Formation | Concept) -> str:
    """Returns an entry's name with its owner, when an opponent owns it."""
    return f"{entry} ({entry.opponent})" if entry.opponent else str(entry)
