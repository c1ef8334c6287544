"""Forms of the week."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db.models import Q, QuerySet

from playbook.models import (
    BackSide,
    Concept,
    Day,
    ExpectedLook,
    FitGrade,
    Formation,
    MenuCall,
    Motion,
    Option,
    PlanEntry,
    Player,
    Season,
    Week,
)
from playbook.week import queries, sheets, words

ZONES = ["backed up", "coming out", "open field", "scoring range", "red zone", "goal line", "two-point"]


class SeenForm(forms.ModelForm):
    """A form that carries the version that was seen."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False, min_value=1)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk:
            self.fields["version"].required = True
            self.initial["version"] = self.instance.version

    @property
    def changes(self) -> dict[str, Any]:
        """The cleaned fields without the version."""
        return {name: value for name, value in self.cleaned_data.items() if name in self._meta.fields}  # type: ignore[operator]

    @property
    def as_text(self) -> str:
        """What was typed, to show beside what somebody else saved."""
        return "\n".join(f"{field.label}: {field.value() or ''}" for field in self.visible_fields())


class DateInput(forms.DateInput):
    """A date picker."""

    input_type = "date"

    def __init__(self) -> None:
        super().__init__(format="%Y-%m-%d")


class SeasonForm(SeenForm):
    """A season, its rule book and the staff's contact limits."""

    class Meta:
        model = Season
        fields = ["year", "name", "book", "contact_day_min", "contact_week_min", "contact_source"]
        help_texts = {
            "contact_day_min": "Full contact is thud and live. Yours to set; the default is a published guideline.",
            "contact_source": "Name the guideline and its year.",
        }


class WeekForm(SeenForm):
    """A week's opponent, system, day of the game and notes."""

    class Meta:
        model = Week
        fields = ["season", "number", "opponent", "system", "game_on", "note"]
        widgets = {"game_on": DateInput(), "note": forms.Textarea(attrs={"rows": 4})}
        help_texts = {
            "opponent": "Leave it empty for a week without a game.",
            "note": "For staff; players do not see it.",
        }


class NewWeekForm(WeekForm):
    """A new week, from nothing or from the work of another."""

    start_from = forms.ModelChoiceField(
        Week.objects.select_related("opponent", "season"),
        required=False,
        empty_label="nothing",
        help_text="Copies that week's days, plan and call menu.",
    )


class RowForm(SeenForm):
    """A row of a week; `week` limits what can be chosen."""

    def __init__(self, *args: Any, week: Week, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.week = week
        self.limit()

    def limit(self) -> None:
        """Limits the choices to what belongs to the week."""


class LookForm(RowForm):
    """A look to expect; it must be legal and runnable."""

    options = forms.MultipleChoiceField(
        required=False, widget=forms.CheckboxSelectMultiple, help_text="Tags on the concept, and our own options."
    )
    share = forms.FloatField(
        label="Share of their runs, per cent", required=False, min_value=0, max_value=100,
        widget=forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"}),
    )  # fmt: skip

    class Meta:
        model = ExpectedLook
        fields = [
            "formation",
            "concept",
            "motion",
            "options",
            "back",
            "to",
            "flip",
            "hash",
            "zone",
            "share",
            "pinned",
            "guess",
            "note",
        ]
        labels = {
            "to": "Direction",
            "back": "Back",
            "zone": "Only there",
            "flip": "Flipped: strong to the left",
            "hash": "Ball",
            "pinned": "First on the sheets",
        }

    def limit(self) -> None:
        """Offers the staff's library and this opponent's own entries, his menu first."""
        allowed = Q(opponent=None) | Q(opponent=self.week.opponent_id)
        for name, model in (("formation", Formation), ("concept", Concept), ("motion", Motion)):
            self.fields[name].queryset = model.objects.filter(allowed)  # type: ignore[attr-defined]
        rows = {row.name: str(row) for row in Option.objects.filter(allowed).order_by("name", "opponent")}
        self.fields["options"].choices = list(rows.items())  # type: ignore[attr-defined]
        self.fields["back"].choices = [("", "as drawn"), *((side, label.lower()) for side, label in BackSide.choices)]  # type: ignore[attr-defined]
        self.fields["to"].choices = [("", "as the concept says"), ("left", "left"), ("right", "right")]  # type: ignore[attr-defined]
        if self.instance.share is not None:
            self.initial["share"] = round(self.instance.share * 100, 1)

    def clean_share(self) -> float | None:
        """Returns the share as a number from 0 to 1."""
        share = self.cleaned_data["share"]
        return None if share is None else share / 100

    def clean(self) -> dict[str, Any]:
        """Refuses what the rule book forbids, and what the formation has nobody to run with."""
        data = super().clean() or self.cleaned_data
        if self.errors:
            return data
        given = {name: data[name] for name in self._meta.fields}  # type: ignore[union-attr]
        same = self.week.expected_looks.filter(**{n: given[n] for n in _SAME}).exclude(pk=self.instance.pk)
        if same.exists():
            raise forms.ValidationError("This look is on the list already.")
        trial = ExpectedLook(week=self.week, **given)
        calls = sheets.calls_of(self.week)
        if calls:
            trouble = sheets.trouble_with(self.week, trial, next(iter(calls.values())))
            if trouble:
                raise forms.ValidationError(words.sentence(trouble))
        return data


_SAME = ("formation", "concept", "motion", "back", "options", "to", "flip", "hash", "zone")


class MenuForm(RowForm):
    """A call for a situation; what is left empty fits everything."""

    class Meta:
        model = MenuCall
        fields = ["call", "down", "distance_from", "distance_to", "zone", "personnel", "note"]
        labels = {"distance_from": "From, yards to go", "distance_to": "To, yards to go"}
        widgets = {"zone": forms.TextInput(attrs={"list": "zones"}), "personnel": forms.TextInput(attrs={"size": 6})}
        help_texts = {"personnel": "Two digits, backs and tight ends, such as 11."}

    def limit(self) -> None:
        """Offers the calls of the week's system."""
        self.fields["call"].queryset = self.week.system.calls.all()  # type: ignore[attr-defined]
        self.fields["down"] = forms.TypedChoiceField(
            choices=[("", "any"), *queries.ORDINALS.items()], coerce=int, empty_value=None, required=False
        )

    def clean(self) -> dict[str, Any]:
        """Refuses a distance that ends before it starts."""
        data = super().clean() or self.cleaned_data
        low, high = data.get("distance_from"), data.get("distance_to")
        if low is not None and high is not None and low > high:
            self.add_error("distance_to", f"Expected {low} or more, as the distance starts at {low}.")
        return data


class DayForm(RowForm):
    """A day of the week's work."""

    class Meta:
        model = Day
        fields = ["label", "date", "note"]
        widgets = {"date": DateInput(), "note": forms.Textarea(attrs={"rows": 2})}


class EntryForm(RowForm):
    """What is taught on a day, to whom, for how long, how hard."""

    class Meta:
        model = PlanEntry
        fields = ["day", "group", "text", "call", "look", "minutes", "contact"]
        labels = {"text": "What", "group": "For"}
        help_texts = {"contact": "Thud and live are full contact and count against the staff's limits."}

    def limit(self) -> None:
        """Offers this week's days, looks and calls."""
        self.fields["day"].queryset = self.week.days.all()  # type: ignore[attr-defined]
        self.fields["call"].queryset = self.week.system.calls.all()  # type: ignore[attr-defined]
        looks = self.week.expected_looks.select_related("formation", "concept")
        self.fields["look"].queryset = looks  # type: ignore[attr-defined]
        self.fields["group"].choices = [("", "everybody"), *self.fields["group"].choices[1:]]  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        """Asks for the minutes of full contact, so that they can be counted."""
        data = super().clean() or self.cleaned_data
        if data.get("contact") in queries.FULL_CONTACT and data.get("minutes") is None:
            self.add_error("minutes", "Say how many minutes: thud and live are counted against the limits.")
        return data


class GradeForm(forms.ModelForm):
    """A player's fit on one snap."""

    class Meta:
        model = FitGrade
        fields = ["player", "snap", "look", "call", "fit_right", "leverage_right", "effort", "correction"]
        labels = {"correction": "What to correct"}
        help_texts = {"correction": "He reads this on his next sheet."}

    def __init__(self, *args: Any, week: Week, men: QuerySet[Player], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["player"].queryset = men  # type: ignore[attr-defined]
        self.fields["look"].queryset = week.expected_looks.select_related("formation", "concept")  # type: ignore[attr-defined]
        self.fields["call"].queryset = week.system.calls.all()  # type: ignore[attr-defined]


class SituationForm(forms.Form):
    """A situation to look up on the call menu."""

    down = forms.TypedChoiceField(
        choices=[("", "any"), *queries.ORDINALS.items()], coerce=int, empty_value=None, required=False
    )
    distance = forms.IntegerField(label="To go", required=False, min_value=0, max_value=99)
    zone = forms.CharField(label="Field zone", required=False, max_length=40)
    personnel = forms.CharField(required=False, max_length=10)


FORMS: dict[str, type[RowForm]] = {"look": LookForm, "call": MenuForm, "day": DayForm, "entry": EntryForm}
