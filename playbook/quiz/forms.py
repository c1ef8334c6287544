"""Forms of the quiz."""

from __future__ import annotations

from django import forms

from playbook.models import Ask

CLOCKS = {"": "No clock", "10": "10 seconds", "15": "15 seconds", "20": "20 seconds", "30": "30 seconds"}


class AnswerForm(forms.Form):
    """Which question of which round, of which state of the card, and what was answered.

    `key` is made with the question, so that an answer sent twice counts once; `late` says that the clock ran out.
    """

    key = forms.UUIDField(widget=forms.HiddenInput)
    round = forms.UUIDField(widget=forms.HiddenInput)
    look = forms.IntegerField(widget=forms.HiddenInput)
    call = forms.CharField(max_length=60, widget=forms.HiddenInput)
    ask = forms.ChoiceField(choices=Ask.choices, widget=forms.HiddenInput)
    state = forms.CharField(max_length=64, required=False, widget=forms.HiddenInput)
    given = forms.CharField(max_length=300, required=False)
    late = forms.BooleanField(required=False)
    at = forms.DateTimeField(required=False, widget=forms.HiddenInput)

    def clean(self) -> dict[str, object]:
        """Refuses an answer that says nothing, unless time was up."""
        data = super().clean() or self.cleaned_data
        if not data.get("given") and not data.get("late"):
            self.add_error("given", "Choose one answer.")
        return data


class ClockForm(forms.Form):
    """How long there is for a question."""

    seconds = forms.TypedChoiceField(
        label="Clock", choices=list(CLOCKS.items()), required=False, coerce=int, empty_value=None
    )


class PlanForm(forms.Form):
    """What goes into the next day's plan: a rule of a position."""

    position = forms.CharField(max_length=20)
    ask = forms.ChoiceField(choices=Ask.choices)
    rule = forms.CharField(max_length=120)
