"""Forms of the first visit."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.forms import BaseUserCreationForm
from django.utils import timezone

from playbook.installation import queries, services
from playbook.models import BookName, Concept, Formation, Installation, Opponent, Season, System, User, Week
from playbook.models.system import FrameName
from playbook.text import validate_name


class FirstAdminForm(BaseUserCreationForm):
    """The code that the server printed, and who runs the installation."""

    code = forms.CharField(
        label="Setup code", max_length=40, widget=forms.TextInput(attrs={"autocomplete": "off", "autofocus": True}),
        help_text="Sixteen letters and digits; whoever started the program sees them where it runs.",
    )  # fmt: skip
    usable_password = None
    field_order = ["code", "username", "first_name", "last_name", "password1", "password2"]

    class Meta:
        model = User
        fields = ["username", "first_name", "last_name"]
        labels = {"username": "User name"}
        help_texts = {"username": "Letters, digits and @ . + - _ only."}

    def clean_code(self) -> str:
        """Refuses a wrong code."""
        if not services.right_code(self.cleaned_data["code"]):
            raise forms.ValidationError("This is not the code that the server printed.")
        return str(self.cleaned_data["code"])


class NameForm(forms.ModelForm):
    """What the staff calls its program."""

    class Meta:
        model = Installation
        fields = ["name"]
        labels = {"name": "What do you call it?"}
        help_texts = {"name": "Your own name for this playbook; it stands at the top of every page."}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["name"].required = True

    def keep(self) -> None:
        """Writes it."""
        services.finish("name", name=self.cleaned_data["name"])


class KeepForm(forms.ModelForm):
    """How long what is kept of people is kept."""

    class Meta:
        model = Installation
        fields = ["log_days", "grade_years"]
        labels = {"log_days": "The log, days", "grade_years": "Grades, seasons"}
        help_texts = {
            "log_days": "Who signed in, changed access, took documents and opened plans; 30 to 3,650.",
            "grade_years": "Older seasons' grades are deleted in the night, their history too; 0 keeps all.",
        }


class SystemChoice(forms.ModelChoiceField):
    """The systems, each with a sentence."""

    def label_from_instance(self, obj: Any) -> str:
        """Returns the system's name and what it is."""
        about = queries.ABOUT.get(obj.name)
        return f"{obj}: {about}" if about else str(obj)


class SystemForm(forms.Form):
    """Which system the staff starts from."""

    system = SystemChoice(
        System.objects.filter(base=None), label="Which is nearest to yours?", empty_label=None,
        widget=forms.RadioSelect, help_text="You change every rule of it later. The others stay in your list.",
    )  # fmt: skip

    def keep(self) -> None:
        """Writes it."""
        services.finish("system", system=self.cleaned_data["system"])


SAID = {
    FrameName.STRONG: "strong and weak: “fits the strong B gap”",
    FrameName.FIELD: "field and boundary: “fits the B gap to the field”",
    FrameName.OWN: "his own left and right: “fits the B gap on my left”",
    FrameName.PLAY: "play side and back side: “fits the play-side B gap”",
}


class WordsForm(forms.Form):
    """How the staff says sides."""

    frame = forms.ChoiceField(
        label="How do you say sides?", choices=[(name.value, words) for name, words in SAID.items()],
        widget=forms.RadioSelect, help_text="Every page, drawing, sheet and quiz speaks like that.",
    )  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.system = queries.system()
        if self.system is not None:
            self.initial["frame"] = self.system.frame

    def clean(self) -> dict[str, Any]:
        """Refuses words for a system that was not chosen."""
        if self.system is None:
            raise forms.ValidationError("Choose your system first: the words belong to it.")
        return self.cleaned_data

    def keep(self) -> None:
        """Writes it."""
        assert self.system is not None
        if self.system.frame != self.cleaned_data["frame"]:
            self.system.save_version(self.system.version, frame=self.cleaned_data["frame"])
        services.finish("words")


class OpponentForm(forms.Form):
    """The first opponent, and what he lines up in and runs most."""

    name = forms.CharField(label="Who do you play first?", max_length=Opponent._meta.get_field("name").max_length,
                           validators=[validate_name])  # fmt: skip
    formations = forms.ModelMultipleChoiceField(
        Formation.objects.filter(opponent=None), required=False, widget=forms.CheckboxSelectMultiple,
        label="What does he line up in?",
    )  # fmt: skip
    concepts = forms.ModelMultipleChoiceField(
        Concept.objects.filter(opponent=None), required=False, widget=forms.CheckboxSelectMultiple,
        label="What does he run?",
    )  # fmt: skip

    def clean_name(self) -> str:
        """Refuses a name that another opponent has."""
        if Opponent.objects.filter(name=self.cleaned_data["name"]).exists():
            raise forms.ValidationError("There is an opponent of that name already.")
        return str(self.cleaned_data["name"])

    def keep(self) -> None:
        """Writes him."""
        data = self.cleaned_data
        services.add_opponent(data["name"], {name: data[name] for name in ("formations", "concepts")})


class WeekForm(forms.Form):
    """The first week: season, rule book, opponent, day of the game."""

    year = forms.IntegerField(label="Season", min_value=1900, max_value=2200)
    book = forms.ChoiceField(label="Whose rule book?", choices=BookName.choices)
    system = forms.ModelChoiceField(System.objects.all(), label="System")
    opponent = forms.ModelChoiceField(Opponent.objects.all(), required=False, empty_label="no game")
    game_on = forms.DateField(
        label="Day of the game", required=False, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        season = Season.objects.first()
        year = season.year if season else timezone.localdate().year
        self.initial |= {"year": year, "system": queries.system(), "opponent": Opponent.objects.first()}

    def clean(self) -> dict[str, Any]:
        """Refuses a first week where the season has one."""
        data = super().clean() or self.cleaned_data
        if Week.objects.filter(season__year=data.get("year"), number=1).exists():
            self.add_error("year", "This season has a first week already.")
        return data

    def keep(self) -> None:
        """Writes it."""
        data = self.cleaned_data
        services.add_week(
            {name: data[name] for name in ("year", "book")},
            {name: data[name] for name in ("system", "opponent", "game_on")},
        )


FORMS: dict[str, type[Any]] = {
    "name": NameForm, "system": SystemForm, "words": WordsForm, "opponent": OpponentForm, "week": WeekForm,
}  # fmt: skip
