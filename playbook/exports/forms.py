"""Forms that ask for a document."""

from __future__ import annotations

from typing import Any

from django import forms

from playbook.exports import queries
from playbook.models import Document, Group, Paper, Week

LOOKS = ((8, "the first 8 looks"), (4, "the first 4 looks"), (16, "the first 16 looks"), (0, "all looks"))


class PickWeek(forms.Form):
    """Which week to print."""

    week = forms.ModelChoiceField(Week.objects.none(), empty_label=None)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["week"].queryset = queries.weeks()  # type: ignore[attr-defined]


class DocumentForm(forms.Form):
    """One document of a week; each has its own choices. `start` are answers that stand there at first."""

    document = ""
    says = ""

    def __init__(self, data: Any = None, *, week: Week, start: Any = None) -> None:
        super().__init__(data, prefix=self.document, initial=start)
        self.week = week
        self.fields["paper"] = forms.ChoiceField(choices=Paper.choices)
        self.offer()

    def offer(self) -> None:
        """Fills in what can be chosen."""

    def offer_positions(self) -> None:
        """Offers the positions of the week's system."""
        rows = self.week.system.positions.all()
        self.fields["position"].choices = [(p.name, f"{p.name} {p.label}") for p in rows]  # type: ignore[attr-defined]

    def offer_calls(self) -> None:
        """Offers the calls of the week's system, those of the menu first."""
        self.fields["call"].choices = queries.call_choices(self.week)  # type: ignore[attr-defined]

    def offer_looks(self) -> None:
        """Offers the week's looks."""
        self.fields["look"].choices = queries.look_choices(self.week)  # type: ignore[attr-defined]

    def chosen(self, name: str) -> str:
        """Returns what was chosen, in words."""
        words = dict(self.fields[name].choices)  # type: ignore[attr-defined]
        return str(words[self.cleaned_data[name]])

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
    says = "For a position: one line a look, a drawing where the job changes."
    position = forms.ChoiceField()

    def offer(self) -> None:
        """Offers the positions."""
        self.offer_positions()

    @property
    def title(self) -> str:
        """Names the position."""
        return f"{self.label}, {self.chosen('position')}: {self.week}"


class MyWeekForm(BookletForm):
    """The page of each man of a position."""

    document = Document.MY_WEEK.value
    says = "For each man of a position: his jobs of the week on one page."


class QuizForm(DocumentForm):
    """The quiz of a position."""

    document = Document.QUIZ.value
    says = "For a position: looks without their fits, lines to fill in, and a page with the answers."
    position = forms.ChoiceField()
    call = forms.ChoiceField()
    looks = forms.TypedChoiceField(coerce=int, choices=LOOKS)

    def offer(self) -> None:
        """Offers positions and calls."""
        self.offer_positions()
        self.offer_calls()

    @property
    def title(self) -> str:
        """Names the position."""
        return f"{self.label}, {self.chosen('position')}, {self.chosen('call')}: {self.week}"


class HandOutForm(DocumentForm):
    """One look for a meeting."""

    document = Document.HAND_OUT.value
    says = "One look in three frames, with everybody's job."
    look = forms.TypedChoiceField(coerce=int)
    call = forms.ChoiceField()

    def offer(self) -> None:
        """Offers the week's looks and its system's calls."""
        self.offer_looks()
        self.offer_calls()

    @property
    def title(self) -> str:
        """Names the look."""
        return f"{self.label}: {self.chosen('look')}, {self.chosen('call')}"


class WallForm(HandOutForm):
    """One look for a wall."""

    document = Document.WALL.value
    says = "One look on a whole sheet: A3, or 11 × 17 inches."


class CardsForm(DocumentForm):
    """The looks of a call as cards."""

    document = Document.CARDS.value
    says = "Every look of the week against one call, to cut up or to hold up."
    call = forms.ChoiceField()

    def offer(self) -> None:
        """Offers the calls."""
        self.offer_calls()

    @property
    def title(self) -> str:
        """Names the call."""
        return f"{self.label}, {self.chosen('call')}: {self.week}"


class CallBookForm(DocumentForm):
    """The call book."""

    document = Document.CALL_BOOK.value
    says = "Every position's rules in each call, and how the week's looks stand against it."
    calls = forms.ChoiceField(choices=(("menu", "of the week's menu"), ("all", "of the whole system")))


class InstallForm(DocumentForm):
    """The install plan of a group."""

    document = Document.INSTALL.value
    says = "Day by day, with contact minutes against the limits."
    group = forms.ChoiceField(choices=Group.choices)

    @property
    def title(self) -> str:
        """Names the group."""
        return f"{self.label}, {Group(self.cleaned_data['group']).label}: {self.week}"


FORMS: dict[str, type[DocumentForm]] = {
    form.document: form
    for form in (BookletForm, MyWeekForm, QuizForm, HandOutForm, WallForm, CardsForm, CallBookForm, InstallForm)
}
