"""The forms of the roster: one man, and many at once."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db.models import Q

from playbook.charts.errors import ChartError
from playbook.charts.reading import MAX_BYTES, too_big
from playbook.models import Player, Position, Rights, System, User
from playbook.roster import queries, reading


class PlayerForm(forms.ModelForm):
    """Who he is, how fast he is, and for each of the staff's systems the positions he plays in it."""

    version = forms.IntegerField(widget=forms.HiddenInput, initial=0)

    class Meta:
        model = Player
        fields = ["first_name", "last_name", "number", "class_year", "ten_yd_s", "forty_yd_s", "user", "active"]
        labels = {"user": "Log-in", "active": "On the roster now", "class_year": "Class"}
        help_texts = {
            "ten_yd_s": "His own measured time; without it the default of his position is used.",
            "user": "The account with which he sees his sheet.",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        free = Q(role=Rights.PLAYER, player=None)
        mine = Q(pk=self.instance.user_id) if self.instance.user_id else free
        self.fields["user"].queryset = User.objects.filter(free | mine)
        played = list(self.instance.spots.values_list("position_id", flat=True)) if self.instance.pk else []
        if self.instance.pk:
            self.initial["version"] = self.instance.version
        self.ours = queries.played_systems(self.instance)
        for system in queries.own_systems():
            name = f"positions_{system.pk}"
            self.fields[name] = _positions_of(system)
            self.initial[name] = played

    def own_fields(self) -> list[forms.BoundField]:
        """Returns the fields of the man himself."""
        return [self[name] for name in self.Meta.fields]

    def position_fields(self) -> list[forms.BoundField]:
        """Returns the field of each system."""
        return [self[name] for name in self.fields if name.startswith("positions_")]

    def own_positions(self) -> list[forms.BoundField]:
        """Returns the fields of the systems that the staff plays, or in which he has a position."""
        return [field for field in self.position_fields() if int(field.name.removeprefix("positions_")) in self.ours]

    def other_positions(self) -> list[forms.BoundField]:
        """Returns the fields of the other systems."""
        ours = [field.name for field in self.own_positions()]
        return [field for field in self.position_fields() if field.name not in ours]

    def row_fields(self) -> dict[str, Any]:
        """Returns the cleaned values of the man's own row."""
        return {name: self.cleaned_data[name] for name in self.Meta.fields}

    def positions(self) -> list[Position]:
        """Returns the chosen positions of all systems."""
        return [position for field in self.position_fields() for position in self.cleaned_data[field.name]]


class TakeForm(forms.Form):
    """Men to take in: a file, or typed lines, which a file becomes so that it can be mended on the page."""

    system = forms.ModelChoiceField(System.objects.none(), label="Positions of", empty_label=None)
    file = forms.FileField(
        label="Roster file", required=False, help_text="CSV or .xlsx; the columns in any order, the names are enough."
    )
    text = forms.CharField(
        label="Or one man a line",
        required=False,
        strip=False,
        widget=forms.Textarea(attrs={"rows": 12, "spellcheck": "false"}),
        help_text="Number, name, positions, class, 10 yards, 40 yards; what you do not know stays empty.",
    )
    log_ins = forms.BooleanField(label="Make a log-in for each man who has none", required=False, initial=True)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        systems = queries.own_systems()
        self.fields["system"].queryset = systems
        self.fields["system"].initial = systems.first()

    def clean(self) -> dict[str, Any]:
        """Turns a file into lines."""
        cleaned = super().clean() or {}
        file = cleaned.get("file")
        try:
            if file:
                if file.size > MAX_BYTES:
                    raise too_big(file.size)
                cleaned["text"] = reading.read_upload(file.chunks())
            if "system" in cleaned:
                cleaned["rows"] = reading.read_lines(cleaned.get("text", ""), cleaned["system"].positions.all())
        except (reading.RosterError, ChartError) as error:
            self.add_error("file" if file else "text", str(error))
        return cleaned


def _positions_of(system: System) -> forms.ModelMultipleChoiceField:
    field = forms.ModelMultipleChoiceField(
        system.positions.all(), required=False, widget=forms.CheckboxSelectMultiple, label=str(system)
    )
    field.label_from_instance = lambda position: position.label or position.name
    return field
