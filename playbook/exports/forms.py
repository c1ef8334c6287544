"""Forms that ask for a document."""

from __future__ import annotations

from typing import Any

from django import forms

from playbook.exports import queries
from playbook.models import Document, Group, Week


class PickWeek(forms.Form):
    """Which week to print."""

    week = forms.ModelChoiceField(Week.objects.none(), empty_label=None)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["week"].queryset = queries.weeks()  # type: ignore[attr-defined]


class DocumentForm(forms.Form):
    """One document of a week; each has its own choices."""

    document = ""

    def __init__(self, data: Any = None, *, week: Week) -> None:
        super().__init__(data, prefix=self.document)
        self.week = week
        self.offer()

    def offer(self) -> None:
        """Fills in what can be chosen."""

    @property
    def label(self) -> str:
        """The document's name."""
        return Document(self.document).label

    @property
    def title(self) -> str:
        """What the list calls it."""
        return f"{self.label}: {self.week}"


class BookletForm(DocumentForm):
    """The booklet of a position."""

    document = Document.BOOKLET.value
    position = forms.ChoiceField()

    def offer(self) -> None:
        """Offers the positions of the week's system."""
        rows = self.week.system.positions.all()
        self.fields["position"].choices = [(p.name, f"{p.name} {p.label}") for p in rows]  # type: ignore[attr-defined]

    @property
    def title(self) -> str:
        """Names the position."""
        return f"{self.label} {self.cleaned_data['position']}: {self.week}"


class OneLookForm(DocumentForm):
    """One look against one call."""

    document = Document.LOOK.value
    look = forms.TypedChoiceField(coerce=int)
    call = forms.ChoiceField()

    def offer(self) -> None:
        """Offers the week's looks and its system's calls."""
        self.fields["look"].choices = queries.look_choices(self.week)  # type: ignore[attr-defined]
        names = self.week.system.calls.values_list("name", flat=True)
        self.fields["call"].choices = [(name, name) for name in names]  # type: ignore[attr-defined]

    @property
    def title(self) -> str:
        """Names the look."""
        return dict(queries.look_choices(self.week))[self.cleaned_data["look"]]


class CallBookForm(DocumentForm):
    """The whole call book."""

    document = Document.CALL_BOOK.value


class InstallForm(DocumentForm):
    """The install plan of a group."""

    document = Document.INSTALL.value
    group = forms.ChoiceField(choices=Group.choices)

    @property
    def title(self) -> str:
        """Names the group."""
        return f"{self.label}, {Group(self.cleaned_data['group']).label}: {self.week}"


FORMS = {form.document: form for form in (BookletForm, OneLookForm, CallBookForm, InstallForm)}
