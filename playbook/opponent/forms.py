"""Forms of opponents, formations and concepts."""

from __future__ import annotations

from typing import Any

from django import forms

from fits.blocking.concepts import DIRECTIONS, EYES, LEFT_WHY, STEPS, THREATS
from fits.blocking.courses import course_names
from playbook.looks.forms import entry_label
from playbook.models import Call, Formation, Opponent, PlayerKind
from playbook.text import validate_name

CARRIES = (
    "Words that rules can ask for, with commas: rpo (a throw may come off it), read (a man is read), pitch (to a pitch "
    "man), quarterback (he runs it), draw (it looks like a pass), box (we box the kick), or a word of your own."
)
NO_HELP = {"autocomplete": "off", "spellcheck": "false"}


class OpponentForm(forms.ModelForm):
    """Who it is."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    class Meta:
        model = Opponent
        fields = ["name", "short_name", "note"]
        widgets = {"note": forms.Textarea(attrs={"rows": 4})}


class MenuForm(forms.ModelForm):
    """What of the library this opponent carries into a game."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    class Meta:
        model = Opponent
        fields = ["formations", "concepts", "motions"]
        labels = {"concepts": "Runs"}
        widgets = dict.fromkeys(("formations", "concepts", "motions"), forms.CheckboxSelectMultiple)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in self.Meta.fields:
            field: Any = self.fields[name]
            rows = field.queryset.model.objects
            field.queryset = (rows.filter(opponent=None) | rows.filter(opponent=self.instance)).distinct()
            field.label_from_instance = _noted


def _noted(entry: Any) -> str:
    about = getattr(entry, "note", "")
    return f"{entry}: {about}" if about else str(entry)


class EntryForm(forms.Form):
    """What formations and concepts share."""

    label = forms.CharField(
        label="Name", max_length=120, validators=[validate_name], widget=forms.TextInput(attrs=NO_HELP)
    )
    source = forms.CharField(max_length=300, required=False, help_text="Where it was seen: game, film, charts.")


class FormationForm(EntryForm):
    """A formation's name and note; its men stand in rows of their own."""

    note = forms.CharField(max_length=300, required=False)
    field_order = ["label", "note", "source"]


class ManForm(forms.Form):
    """One man of a formation."""

    role = forms.RegexField(
        r"^[A-Za-z][A-Za-z0-9]{0,3}$",
        error_messages={"invalid": "Expected one to four letters or digits, a letter first."},
        widget=forms.TextInput(attrs=NO_HELP | {"size": 4}),
    )
    kind = forms.ChoiceField(choices=PlayerKind.choices)
    x = forms.FloatField(min_value=-54, max_value=54, widget=forms.NumberInput(attrs={"step": "any"}))
    y = forms.FloatField(min_value=-20, max_value=0, widget=forms.NumberInput(attrs={"step": "any"}))

    @property
    def drawn_y(self) -> float:
        """Returns how far down the drawing he stands."""
        try:
            return abs(float(self["y"].value()))
        except (TypeError, ValueError):
            return 0.0

    @property
    def drawn_x(self) -> float:
        """Returns how far across the drawing he stands."""
        try:
            return min(max(float(self["x"].value()), -27.0), 27.0)
        except (TypeError, ValueError):
            return 0.0


Men = forms.formset_factory(ManForm, extra=0, min_num=11, max_num=11, validate_min=True, validate_max=True)


class ConceptForm(EntryForm):
    """A concept's head; cast, rules and threats stand in rows of their own."""

    family = forms.CharField(max_length=60, required=False, help_text="Zone, gap, man, option …")
    to = forms.CharField(
        label="Direction",
        max_length=200,
        help_text=f"In order, with commas; the first that decides wins: {', '.join(DIRECTIONS)}.",
        widget=forms.TextInput(attrs=NO_HELP),
    )
    time_s = forms.FloatField(
        label="Ball at the line after, seconds", required=False, min_value=0.3, max_value=5,
        help_text="Your own time. Empty: worked out from the way the ball goes.",
    )  # fmt: skip
    eyes = forms.ChoiceField(
        label="The quarterback's eyes are on",
        choices=[("", "the back's side"), *((word, word) for word in EYES if word != "back")],
        required=False,
    )
    flags = forms.CharField(
        label="What the play carries", max_length=120, required=False, help_text=CARRIES,
        widget=forms.TextInput(attrs=NO_HELP),
    )  # fmt: skip
    field_order = ["label", "family", "to", "time_s", "eyes", "flags", "source"]


def _words(size: int = 24, **attrs: Any) -> forms.TextInput:
    return forms.TextInput(attrs=NO_HELP | {"size": size} | attrs)


class CastForm(forms.Form):
    """A job that the concept hands out."""

    part = forms.CharField(label="Job", max_length=60, widget=_words(10))
    candidates = forms.CharField(
        label="Goes to the first of", max_length=400, widget=_words(placeholder="fullback, play wing", list="words-men")
    )
    required = forms.BooleanField(label="Without him it cannot be run", required=False)


class BlockForm(forms.Form):
    """What a man does."""

    who = forms.CharField(max_length=120, widget=_words(16, list="words-men"))
    when = forms.CharField(
        max_length=300, required=False, widget=_words(20, list="words-blocking", placeholder="always")
    )
    does = forms.CharField(max_length=200, widget=_words(20, list="words-verbs"))
    step = forms.ChoiceField(
        label="Shows first", choices=[("", "as it comes"), *((word, word) for word in STEPS)], required=False
    )


class ThreatForm(forms.Form):
    """Who may have the ball."""

    kind = forms.ChoiceField(label="How he has it", choices=[(word, word) for word in THREATS])
    who = forms.CharField(max_length=120, widget=_words(16, list="words-men"))
    where = forms.CharField(max_length=120, widget=_words(18, list="words-lanes"))
    time_s = forms.FloatField(
        label="Seconds", required=False, min_value=0.3, max_value=6, widget=forms.NumberInput(attrs={"step": "any"})
    )
    course = forms.ChoiceField(
        label="His path", choices=[("", "the usual"), *((word, word) for word in course_names())], required=False
    )


class LeftForm(forms.Form):
    """Whom the run leaves unblocked."""

    man = forms.CharField(max_length=120, widget=_words(28, list="words-left"))
    why = forms.ChoiceField(choices=[(word, word) for word in LEFT_WHY])


ROWS = {
    "cast": forms.formset_factory(CastForm, extra=0, max_num=30),
    "rules": forms.formset_factory(BlockForm, extra=0, max_num=60),
    "threats": forms.formset_factory(ThreatForm, extra=0, max_num=12),
    "leaves": forms.formset_factory(LeftForm, extra=0, max_num=6),
}
TITLES = {
    "cast": ("Jobs by who is there", "The first man of the list who is there takes the job; rules may name him by it."),
    "rules": ("What each man does", "A line for each position; the first that holds for a man is his."),
    "threats": ("Who may have the ball", "The carrier first, then whoever may get it instead."),
    "leaves": ("Left alone", "Defenders nobody blocks: the man read, the pitch man."),
}


class AgainstForm(forms.Form):
    """Against what a concept is run."""

    call = forms.ModelChoiceField(Call.objects.select_related("system"), empty_label=None, required=False)
    formation = forms.ModelChoiceField(Formation.objects.none(), empty_label=None, required=False)

    def __init__(self, data: Any, formations: list[Formation]) -> None:
        chosen = data if data.get("call") or data.get("formation") else None
        super().__init__(chosen)
        for field in self.fields.values():
            field.widget.attrs["form"] = "concept-form"
        self.fields["call"].label_from_instance = lambda call: f"{call} ({call.system})"  # type: ignore[attr-defined]
        self.fields["formation"].queryset = Formation.objects.filter(pk__in=[f.pk for f in formations])  # type: ignore[attr-defined]
        self.fields["formation"].label_from_instance = entry_label  # type: ignore[attr-defined]
