"""Forms of what stands in lists: called movement, motion checks, and the lists of a pressure."""

from __future__ import annotations

from typing import Any

from django import forms

from fits.defense.pressure import DUTIES
from fits.defense.system import LEVERAGES
from playbook.text import validate_name

NO_HELP = {"autocomplete": "off", "spellcheck": "false"}


def _text(label: str, words: str = "", needed: bool = True, most: int = 300, **attrs: Any) -> forms.CharField:
    listed = {"list": f"words-{words}"} if words else {}
    widget = forms.TextInput(attrs=NO_HELP | listed | attrs)
    return forms.CharField(label=label, max_length=most, required=needed, widget=widget)


def _when() -> forms.CharField:
    return _text("When", "conditions", needed=False, placeholder="always")


def _say() -> forms.CharField:
    return _text("In the coach's words", needed=False)


class PlaceForm(forms.Form):
    """Where a man lines up."""

    who, when, at = _text("Who", "labels", most=60), _when(), _text("Lines up at", "places", most=120)


class MoveForm(forms.Form):
    """Where called movement takes a man."""

    who, when, to = _text("Who", "labels", most=60), _when(), _text("Goes to", "moves", most=120)
    first = forms.BooleanField(label="Only the first of them who is there", required=False)
    say = _say()


class CheckForm(forms.Form):
    """What a man does about a motion."""

    who, when, does = _text("Who", "labels", most=60), _when(), _text("Does", "checks", most=120)
    takes, say = _text("Takes on a pass", "duties", needed=False, most=60), _say()


class ReplaceForm(forms.Form):
    """Who takes what a man who is sent leaves."""

    of = _text("When he is sent", "labels", most=60)
    duty = forms.ChoiceField(label="His", choices=[(word, word) for word in DUTIES])
    by = _text("Goes to", "labels", most=60)
    takes, say = _text("Takes on a pass", "duties", needed=False, most=60), _say()


class SentFitForm(forms.Form):
    """How a man fits in a pressure, before the rules he has anyway."""

    id = forms.CharField(max_length=60, required=False, widget=forms.HiddenInput)
    who, when, fit = _text("Who", "labels", most=60), _when(), _text("Fits", "targets", most=120)
    leverage = forms.ChoiceField(choices=[(word, word or "as the fit says") for word in LEVERAGES], required=False)
    say = _say()


class PressureForm(forms.Form):
    """A pressure's name, note and source; its lists stand in rows of their own."""

    label = forms.CharField(
        label="Name", max_length=120, validators=[validate_name],
        widget=forms.TextInput(attrs=NO_HELP | {"form": "editor-form", "size": 40}),
    )  # fmt: skip
    note = forms.CharField(max_length=300, required=False, help_text="What it does, in a sentence for your men.")
    source = forms.CharField(max_length=200, required=False, help_text="Your own book, a clinic, common practice.")


ROWS = {
    "move": forms.formset_factory(MoveForm, extra=0, max_num=30),
    "checks": forms.formset_factory(CheckForm, extra=0, max_num=60),
    "replaces": forms.formset_factory(ReplaceForm, extra=0, max_num=30),
    "align": forms.formset_factory(PlaceForm, extra=0, max_num=30),
    "fits": forms.formset_factory(SentFitForm, extra=0, max_num=30),
}
TITLES = {
    "move": ("Movement", "Who goes where at the snap; the first row that holds for a man is his."),
    "checks": ("Motion checks", "What he does about a motion; the first row that holds for a man is his."),
    "replaces": ("Who takes what they leave", "The pass, gap and force of every man who is sent need somebody."),
    "align": ("Alignment", "Who lines up elsewhere than in the call."),
    "fits": ("Fits", "Rules that stand before those of the call."),
}
