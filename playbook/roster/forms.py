"""The form for a man on the roster."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db.models import Q

from playbook.models import Player, Position, Role, User


class PlayerForm(forms.ModelForm):
    """Who he is, how fast he is, and which positions he plays in which system."""

    version = forms.IntegerField(widget=forms.HiddenInput, initial=0)
    positions = forms.ModelMultipleChoiceField(
        Position.objects.none(), required=False, widget=forms.CheckboxSelectMultiple, label="Positions"
    )

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
        mine = Q(pk=self.instance.user_id) if self.instance.user_id else Q()
        free = Q(role=Role.PLAYER, player=None)
        self.fields["user"].queryset = User.objects.filter(free | mine if self.instance.user_id else free)
        positions = Position.objects.filter(system__base=None).select_related("system")
        field = self.fields["positions"]
        field.queryset = positions.order_by("system__name", "order")
        field.label_from_instance = lambda p: f"{p.system}: {p.label or p.name}"
        if self.instance.pk:
            self.initial["version"] = self.instance.version
            self.initial["positions"] = list(self.instance.spots.values_list("position_id", flat=True))

    def row_fields(self) -> dict[str, Any]:
        """Returns the cleaned values of the man's own row."""
        return {name: self.cleaned_data[name] for name in self.Meta.fields}
