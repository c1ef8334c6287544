"""Scouting's forms."""

from __future__ import annotations

from django import forms

from playbook.models import Chart, Opponent, System, YardStyleName
from playbook.scouting.columns import BY_NAME, COLUMNS
from playbook.scouting.queries import Choice, charts_of, games_of
from playbook.text import trouble_with

MOST_RULES = 5  # of one repair


class UploadForm(forms.Form):
    """A charted file."""

    file = forms.FileField(
        label="Charted file",
        help_text="CSV or .xlsx, any headers in any order, one row per snap, up to 25 MB.",
        allow_empty_file=True,
    )
    again = forms.BooleanField(label="Take it although this very file is already there", required=False)


class MappingForm(forms.Form):
    """Which header holds which column. One field a header."""

    version = forms.IntegerField(widget=forms.HiddenInput)
    yard_style = forms.ChoiceField(
        label="A yard line without a word or sign means", choices=YardStyleName.choices, required=False
    )

    def __init__(self, *args, chart: Chart, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        chosen = {header: column for column, header in chart.mapping.items()}
        choices = [("", "not used"), *((column.name, column.label) for column in COLUMNS)]
        self.fields["version"].initial = chart.version
        self.fields["yard_style"].initial = chart.yard_style
        self.headers = []
        for number, header in enumerate(chart.headers):
            name = f"header-{number}"
            self.fields[name] = forms.ChoiceField(
                label=header, choices=choices, required=False, initial=chosen.get(header, "")
            )
            samples = chart.samples[number] if number < len(chart.samples) else []
            self.headers.append((name, header, samples))

    def lines(self):
        """Returns for each header its field and samples."""
        return [(self[name], samples) for name, _, samples in self.headers]

    @property
    def mapping(self) -> dict[str, str]:
        """Column -> header, as sent."""
        return {self.cleaned_data[name]: header for name, header, _ in self.headers if self.cleaned_data.get(name)}

    def clean(self):
        """Refuses one column for two headers."""
        data = super().clean()
        used: dict[str, str] = {}
        for name, header, _ in self.headers:
            column = data.get(name)
            if column and column in used:
                self.add_error(name, f"{BY_NAME[column].label} is already “{used[column]}”. Choose one of the two.")
            elif column:
                used[column] = header
        return data


class ChoiceForm(forms.Form):
    """Which snaps are looked at."""

    chart = forms.TypedChoiceField(label="Chart", required=False, coerce=int, empty_value=None)
    game = forms.ChoiceField(label="Game", required=False)

    def __init__(self, *args, opponent: Opponent, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        charts = [(chart.pk, chart.name) for chart in charts_of(opponent).filter(state="done")]
        games = games_of(opponent)
        self.fields["chart"].choices = [("", "All that count"), *charts]
        self.fields["game"].choices = [("", "All games"), *((game, game) for game in games)]
        if not games:
            del self.fields["game"]

    @property
    def choice(self) -> Choice:
        """The choice, all when the form is not valid."""
        data = self.cleaned_data if self.is_valid() else {}
        return Choice(data.get("chart"), data.get("game", ""))


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
