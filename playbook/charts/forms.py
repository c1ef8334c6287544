"""Forms of charts."""

from __future__ import annotations

from django import forms

from playbook.charts.columns import BY_NAME, COLUMNS
from playbook.charts.queries import charts_of
from playbook.charts.reading import MAX_CELL
from playbook.models import Chart, Opponent, YardStyleName


class UploadForm(forms.Form):
    """A charted file."""

    file = forms.FileField(
        label="Charted file",
        help_text="CSV or .xlsx, any headers in any order, one row per snap, up to 25 MB.",
        allow_empty_file=True,
    )
    again = forms.BooleanField(label="Take it although this very file is already there", required=False)
    replaces = forms.ModelChoiceField(
        Chart.objects.none(),
        label="It is a mended copy of",
        required=False,
        empty_label="none of them: it is another file",
        help_text="Once it is read it takes that one's place, and you see what differs, row by row.",
    )

    def __init__(self, *args, opponent: Opponent, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["replaces"].queryset = charts_of(opponent).filter(state="done")
        if not self.fields["replaces"].queryset.exists():
            del self.fields["replaces"]


class MappingForm(forms.Form):
    """Which header holds which column. One field a header."""

    version = forms.IntegerField(widget=forms.HiddenInput)
    yard_style = forms.ChoiceField(
        label="A yard line without a word or sign means", choices=YardStyleName.choices, required=False
    )
    unit = forms.ChoiceField(
        label="Their offense is marked",
        choices=[("O", "O (the chart is of their games)"), ("D", "D (the chart is of ours: we were on defense)")],
        required=False,
    )
    offense = forms.CharField(
        label="This opponent is, in the column of the offense",
        max_length=40,
        required=False,
        widget=forms.TextInput(attrs={"list": "teams"}),
    )

    def __init__(self, *args, chart: Chart, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        chosen = {header: column for column, header in chart.mapping.items()}
        choices = [("", "not used"), *((column.name, column.label) for column in COLUMNS)]
        self.fields["version"].initial = chart.version
        self.fields["yard_style"].initial = chart.yard_style
        self.fields["unit"].initial = chart.theirs.get("unit", "O")
        self.fields["offense"].initial = chart.theirs.get("offense", "")
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

    @property
    def theirs(self) -> dict[str, str]:
        """What marks this opponent's offense, by column, as sent."""
        sent = {"unit": self.cleaned_data.get("unit") or "O", "offense": self.cleaned_data.get("offense", "")}
        return {column: cell for column, cell in sent.items() if column in self.mapping and cell}

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


class RowForm(forms.Form):
    """One row of a chart, a field a header; those that are read come first."""

    def __init__(self, *args, chart: Chart, cells: list[str], **kwargs) -> None:
        super().__init__(*args, **kwargs)
        used = {header: column for column, header in chart.mapping.items()}
        self.order = sorted(range(len(chart.headers)), key=lambda number: chart.headers[number] not in used)
        for number in self.order:
            header = chart.headers[number]
            column = BY_NAME[used[header]] if header in used else None
            self.fields[f"cell-{number}"] = forms.CharField(
                label=header,
                required=False,
                max_length=MAX_CELL,
                initial=cells[number] if number < len(cells) else "",
                help_text=f"{column.label}: {column.help}" if column else "not used",
            )

    @property
    def cells(self) -> list[str]:
        """The cells in the order of the file, as sent."""
        return [self.cleaned_data[f"cell-{number}"] for number in sorted(self.order)]
