"""Forms for people."""

from typing import Any

from django import forms
from django.contrib.auth.forms import PasswordChangeForm, SetPasswordForm

from playbook.models import Group, User
from playbook.people import services


class PersonForm(forms.ModelForm):
    """Who it is, what he may do, and whether he may sign in."""

    coaches = forms.MultipleChoiceField(
        label="His groups", choices=Group, required=False, widget=forms.CheckboxSelectMultiple,
        help_text="Of a position coach: whose plan he writes and whom he grades.",
    )  # fmt: skip

    class Meta:
        model = User
        fields = ["username", "first_name", "last_name", "email", "role", "coaches", "is_active"]
        labels = {"username": "User name", "is_active": "May sign in"}
        help_texts = {
            "username": "Letters, digits and @ . + - _ only.",
            "role": "Every coach reads all of the staff's work, charts, writes notes and makes documents. Coordinators "
            "change it; a position coach plans for and grades his groups; an admin also runs the installation.",
            "is_active": "",
        }


class AskForm(forms.Form):
    """By what a man is known who cannot sign in."""

    last_name = forms.CharField(max_length=60, widget=forms.TextInput(attrs={"autocomplete": "family-name"}))
    number = forms.IntegerField(label="Jersey number", min_value=0, max_value=99)


class _WritesPasswordOnly:
    """A form that writes the password by our service. Its `save` raises services.AccessEnded."""

    cleaned_data: dict[str, Any]

    def set_password_and_save(self, user: User, password_field_name: str = "password1", commit: bool = True) -> User:
        """Returns the person with the new password."""
        services.set_password(user, self.cleaned_data[password_field_name])
        return user


class OwnPasswordForm(_WritesPasswordOnly, PasswordChangeForm):
    """The old password and twice the new one."""


class FirstPasswordForm(_WritesPasswordOnly, SetPasswordForm):
    """Twice the new password, for who has a one-time link."""


class CodeForm(forms.Form):
    """A code of the phone, or a spare one."""

    code = forms.CharField(
        label="Code", max_length=20,
        widget=forms.TextInput(attrs={"autocomplete": "one-time-code", "inputmode": "text", "autofocus": True}),
    )  # fmt: skip
