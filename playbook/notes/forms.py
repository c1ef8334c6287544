"""Forms of notes."""

from __future__ import annotations

from typing import Any

from django import forms

from playbook.models import User
from playbook.notes import queries

MOST = 2000  # characters


class TextForm(forms.Form):
    """The text of a note, with its limit said before and after."""

    text = forms.CharField(
        label="Note",
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Write something first."},
    )

    def clean_text(self) -> str:
        """Returns the text; too long a one is refused with how long it is, and stays in the form."""
        text = str(self.cleaned_data["text"]).replace("\r\n", "\n")
        if len(text) > MOST:
            raise forms.ValidationError(f"Expected {MOST:,} characters at most, got {len(text):,}.")
        return text


class ChangeForm(TextForm):
    """Another text for a note, with the version that was seen."""

    version = forms.IntegerField(min_value=1, widget=forms.HiddenInput)


class AnswerForm(TextForm):
    """An answer. `key` tells a form that is sent twice from two forms."""

    key = forms.UUIDField(widget=forms.HiddenInput)


class NoteForm(AnswerForm):
    """A note for all of the staff or for one coach."""

    to = forms.ModelChoiceField(User.objects.none(), label="For", required=False, empty_label="all of the staff")

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["to"].queryset = queries.other_coaches(user)  # type: ignore[attr-defined]
