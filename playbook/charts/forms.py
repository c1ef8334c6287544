"""Forms of charts."""

from __future__ import annotations

from django import forms

from playbook.charts.columns import BY_NAME, COLUMNS
from playbook.models import Chart, YardStyleName


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
