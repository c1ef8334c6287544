"""Forms of the proof."""

from __future__ import annotations

from django import forms

from playbook.models import System
from playbook.text import trouble_with

MOST_RULES = 5  # of one repair


class TakeForm(forms.Form):
    """Which counted looks come into the week."""

    at_least = forms.IntegerField(label="Seen at least this often", min_value=1, max_value=1000, initial=2)
    guesses = forms.BooleanField(label="Also the likely ones not seen yet", required=False)


class CompareForm(forms.Form):
    """Two systems, or a system and a week's variant of it."""

    left = forms.ModelChoiceField(System.objects.all(), label="One plan")
    right = forms.ModelChoiceField(System.objects.all(), label="The other")


class SayForm(forms.Form):
    """The coach's sentence for each rule of a repair: `say-0`, `say-1`, as many as are sent."""

    def __init__(self, data) -> None:
        super().__init__(data)
        self.names = [name for name in (f"say-{n}" for n in range(MOST_RULES)) if name in data]
        for name in self.names:
            self.fields[name] = forms.CharField(max_length=300, required=False, label="Told to him")

    def clean(self):
        """Refuses a sentence that cannot be kept."""
        data = super().clean()
        for name in self.names:
            trouble = trouble_with(data.get(name, ""))
            if trouble:
                self.add_error(name, f"A sentence for a man: expected {trouble}.")
        return data

    @property
    def says(self) -> list[str] | None:
        """The sentences in order, each on one line; none when none was sent."""
        return [" ".join(self.cleaned_data[name].split()) for name in self.names] or None
