"""The form for a man on the roster."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db.models import Q

from playbook.models import Player, Position, Rights, System, User
from playbook.roster import queries


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

    def row_fields(self) -> dict[str, Any]:
        """Returns the cleaned values of the man's own row."""
        return {name: self.cleaned_data[name] for name in self.Meta.fields}

    def positions(self) -> list[Position]:
        """Returns the chosen positions of all systems."""
        return [position for field in self.position_fields() for position in self.cleaned_data[field.name]]


def _positions_of(system: System) -> forms.ModelMultipleChoiceField:
    field = forms.ModelMultipleChoiceField(
        system.positions.all(), required=False, widget=forms.CheckboxSelectMultiple, label=str(system)
    )
    field.label_from_instance = lambda position: position.label or position.name
    return field
