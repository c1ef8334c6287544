"""Forms of tendencies."""

from __future__ import annotations

from django import forms

from playbook.charts.queries import Choice, charts_of, games_of
from playbook.models import Opponent


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
