"""Forms of the system: rules, fronts, coverages, calls, positions, files."""

from __future__ import annotations

from typing import Any

from django import forms

from fits.defense.system import LEVERAGES
from fits.notation.toml import MOST_CHARACTERS
from playbook.models import Call, Coverage, Front, Position, System
from playbook.system.rules import LABELS, Kind
from playbook.text import validate_name

NAMED = {"label": "Name"}  # what people call it; identifiers are the program's
LARGEST = 4 * MOST_CHARACTERS  # bytes, as a character takes up to four
LISTS = {"who": "labels", "when": "conditions", "at": "places", "reads": "keys", "fit": "targets", "takes": "duties"}


class RuleForm(forms.Form):
    """One rule: a text field for each column, with the vocabulary offered while typing."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)
    place = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, kind: Kind, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in kind.fields:
            self.fields[name] = self._field(kind, name)
        if not self.is_bound:
            self.fields["who"].widget.attrs["autofocus"] = True

    @staticmethod
    def _field(kind: Kind, name: str) -> forms.Field:
        model_field = kind.model._meta.get_field(name)
        needed = not model_field.blank
        if name == "rule_id":  # the program's own; a proposed rule may bring one
            return forms.CharField(max_length=model_field.max_length, required=False, widget=forms.HiddenInput)
        if name == "leverage":
            choices = [(word, word or "as the fit says") for word in LEVERAGES]
            return forms.ChoiceField(label=LABELS[name], choices=choices, required=False)
        attrs = {"autocomplete": "off", "spellcheck": "false"}
        if name in LISTS:
            attrs["list"] = f"words-{LISTS[name]}"
        if name == "when":
            attrs["placeholder"] = "always"
        return forms.CharField(
            label=LABELS[name], max_length=model_field.max_length, required=needed, widget=forms.TextInput(attrs)
        )

    def values(self) -> dict[str, str]:
        """Returns the columns of a valid form, without an id that nobody gave."""
        values = {name: value for name, value in self.cleaned_data.items() if name not in ("version", "place")}
        return {name: value for name, value in values.items() if name != "rule_id" or value}


class FrontForm(forms.ModelForm):
    """A front's name and strength."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    class Meta:
        model = Front
        fields = ["label", "strength"]
        labels = NAMED
        help_texts = {"strength": "What the front is called to."}


class CoverageForm(forms.ModelForm):
    """A coverage's name."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    class Meta:
        model = Coverage
        fields = ["label"]
        labels = NAMED


class CallForm(forms.ModelForm):
    """A call: its name, and the front and coverage that it joins."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    class Meta:
        model = Call
        fields = ["label", "front", "coverage", "note"]
        labels = NAMED

    def __init__(self, *args: Any, system: System, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["front"].queryset = system.fronts.all()  # type: ignore[attr-defined]
        self.fields["coverage"].queryset = system.coverages.all()  # type: ignore[attr-defined]


class CopyFrom(forms.Form):
    """Which front or coverage a new one starts from."""

    copy = forms.ModelChoiceField(Front.objects.none(), label="Start with the rules of", required=False)

    def __init__(self, *args: Any, parts: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["copy"].queryset = parts  # type: ignore[attr-defined]
        self.fields["copy"].empty_label = "none: write them from the start"  # type: ignore[attr-defined]


class SystemForm(forms.ModelForm):
    """A system's name, source and words for sides."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    class Meta:
        model = System
        fields = ["label", "source", "frame"]
        labels = NAMED | {"frame": "Words for sides"}
        help_texts = {
            "source": "Where it comes from: your own book, a clinic, common practice.",
            "frame": "How lanes, men and sentences are said on every page, drawing, sheet and quiz.",
        }


class VariantForm(forms.Form):
    """Names a variant of a system."""

    label = forms.CharField(label="Name", max_length=120, validators=[validate_name])


class FileForm(forms.Form):
    """Takes a system file."""

    file = forms.FileField(help_text="A .toml file, as exported here or written by hand.")

    def clean_file(self) -> Any:
        """Refuses a file that is too big before it is read."""
        file = self.cleaned_data["file"]
        if file.size > LARGEST:
            raise forms.ValidationError(f"Expected at most {LARGEST:,} bytes, got {file.size:,}.")
        return file

    def text(self) -> str:
        """Returns the file's text. Raises UnicodeDecodeError when it is not text."""
        return self.cleaned_data["file"].read().decode("utf-8")  # type: ignore[no-any-return]


class PositionForm(forms.ModelForm):
    """One position."""

    was = forms.CharField(widget=forms.HiddenInput, required=False)
    drop = forms.BooleanField(label="Take out", required=False)

    class Meta:
        model = Position
        fields = ["name", "label", "group", "side", "v_yd_s", "tau_s"]
        labels = {"v_yd_s": "Top speed, yd/s", "tau_s": "Start, s"}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk:
            self.initial.setdefault("was", self.instance.name)
        self.fields["v_yd_s"].widget.attrs |= {"step": "0.01"}
        self.fields["tau_s"].widget.attrs |= {"step": "0.01"}

    def _get_validation_exclusions(self) -> set[str]:
        """Returns every field: the list is checked as a whole, by the engine and the database."""
        return super()._get_validation_exclusions() | {"system", "order"}

    def row(self) -> dict[str, Any]:
        """Returns the position as the services take it."""
        return {key: value for key, value in self.cleaned_data.items() if key != "drop"}
