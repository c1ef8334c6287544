"""What is looked at: the filters of every report, as they stand in the address."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms
from django.db.models import Q

from playbook.charts.queries import Choice, charts_of, games_of
from playbook.models import HashName, Opponent

from .counting import DISTANCE_BUCKETS, ZONE_BUCKETS
from .queries import Filters
from .reports import SCORES

TWO_MINUTES_S = 120
SCORE_Q = {
    "behind": Q(margin__lt=-8),
    "close": Q(margin__range=(-8, 8)),
    "ahead": Q(margin__gt=8),
}
DOWNS = {
    f"down-{down}": (f"every {word} down", Q(down=down)) for down, word in enumerate(("1st", "2nd", "3rd", "4th"), 1)
}
BANDS = {
    f"{bucket.group}-{bucket.low}-{bucket.high}": (
        bucket.label, Q(down=int(bucket.group[0]), distance__range=(bucket.low, bucket.high)),
    )
    for bucket in DISTANCE_BUCKETS
}  # fmt: skip
SITUATIONS = DOWNS | BANDS
ZONES = {
    f"{bucket.low}-{bucket.high}": (bucket.label, Q(yard_line__range=(bucket.low, bucket.high)))
    for bucket in ZONE_BUCKETS
}
LAST = Q(quarter__in=(2, 4), clock_s__lte=TWO_MINUTES_S)
MINUTES = {
    "last": ("the last two minutes of a half", LAST),
    "rest": ("all but those", ~LAST & Q(clock_s__isnull=False)),
}
QUARTERS = {str(number): (f"{number}", Q(quarter=number)) for number in range(1, 5)} | {
    "ot": ("overtime", Q(quarter__gt=4))
}
RECENT = {"2": "half as much after 2 games", "4": "half as much after 4 games", "8": "half as much after 8 games"}


def _choices(everything: str, rows: Iterable[tuple[str, str]]) -> list[tuple[str, str]]:
    return [("", everything), *rows]


def _labels(rows: dict[str, tuple[str, Q]]) -> list[tuple[str, str]]:
    return [(name, label) for name, (label, _) in rows.items()]


class FilterForm(forms.Form):
    """Which snaps are counted, and how much recent games weigh. What cannot be read filters nothing, and is said."""

    situation = forms.ChoiceField(
        label="Down and distance", choices=_choices("all", _labels(SITUATIONS)), required=False
    )
    personnel = forms.ChoiceField(label="Personnel", required=False)
    zone = forms.ChoiceField(label="Field zone", choices=_choices("all", _labels(ZONES)), required=False)
    hash = forms.ChoiceField(label="Hash", choices=_choices("all", HashName.choices), required=False)
    quarter = forms.ChoiceField(label="Quarter", choices=_choices("all", _labels(QUARTERS)), required=False)
    minutes = forms.ChoiceField(label="Two minutes", choices=_choices("all", _labels(MINUTES)), required=False)
    score = forms.ChoiceField(
        label="Score", choices=_choices("all", [(name, label) for name, (label, _) in SCORES.items()]), required=False
    )
    recent = forms.ChoiceField(label="Older games count", choices=_choices("as much", RECENT.items()), required=False)

    _where = {"situation": SITUATIONS, "zone": ZONES, "quarter": QUARTERS, "minutes": MINUTES}

    def __init__(self, data: Any, personnel: Iterable[str], **kwargs: Any) -> None:
        super().__init__(data, **kwargs)
        self.fields["personnel"].choices = _choices("all", [(group, group) for group in personnel])  # type: ignore[attr-defined]

    def _said(self, name: str) -> str:
        return str(self.cleaned_data.get(name) or "") if self.is_valid() else ""

    @property
    def where(self) -> Q:
        """The condition of the chosen rows."""
        found = Q()
        for name, rows in self._where.items():
            if value := self._said(name):
                found &= rows[value][1]
        if value := self._said("hash"):
            found &= Q(hash=value)
        if value := self._said("score"):
            found &= SCORE_Q[value]
        return found

    @property
    def half_life(self) -> int:
        """After how many games a snap counts half as much; 0 when all count the same."""
        return int(self._said("recent") or 0)

    @property
    def said(self) -> list[str]:
        """What is chosen, in words."""
        words = []
        for name, field in self.fields.items():
            value = self._said(name)
            if value and name != "recent":
                label = {str(key): label for key, label in field.choices}.get(value, value)  # type: ignore[attr-defined]
                words.append(f"{field.label}: {label}")
        return words


class TheirFilters(FilterForm):
    """The filters of an opponent's snaps."""

    chart = forms.TypedChoiceField(label="Chart", required=False, coerce=int, empty_value=None)
    game = forms.ChoiceField(label="Game", required=False)
    against = forms.ChoiceField(
        label="Games", choices=[("", "all"), ("us", "against us"), ("others", "against others")], required=False
    )

    def __init__(self, data: Any, *, opponent: Opponent, **kwargs: Any) -> None:
        super().__init__(data, **kwargs)
        charts = [(chart.pk, chart.name) for chart in charts_of(opponent).filter(state="done")]
        games = games_of(opponent)
        self.fields["chart"].choices = [("", "all that count"), *charts]  # type: ignore[attr-defined]
        self.fields["game"].choices = [("", "all"), *((game, game) for game in games)]  # type: ignore[attr-defined]
        if not games:
            del self.fields["game"]

    @property
    def filters(self) -> Filters:
        """What is chosen."""
        chart = self.cleaned_data.get("chart") if self.is_valid() else None
        choice = Choice(chart, self._said("game"), self.where)
        return Filters(choice, self._said("personnel"), self._said("against"), self.half_life)


class OurFilters(FilterForm):
    """The filters of our own calls."""

    opponent = forms.ModelChoiceField(Opponent.objects.none(), label="Opponent", empty_label="all", required=False)

    def __init__(self, data: Any, **kwargs: Any) -> None:
        super().__init__(data, **kwargs)
        self.fields["opponent"].queryset = Opponent.objects.filter(charts__counts=True).distinct()  # type: ignore[attr-defined]

    @property
    def filters(self) -> Filters:
        """What is chosen."""
        opponent = self.cleaned_data.get("opponent") if self.is_valid() else None
        where = self.where & (Q(chart__opponent=opponent) if opponent else Q())
        return Filters(Choice(where=where), self._said("personnel"), "", self.half_life)
