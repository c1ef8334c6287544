"""Forms for people."""

from django import forms

from playbook.models import User


class PersonForm(forms.ModelForm):
    """Who it is, what he may do, and whether he may sign in."""

    class Meta:
        model = User
        fields = ["username", "first_name", "last_name", "email", "role", "is_active"]
        labels = {"username": "User name", "is_active": "May sign in"}
        help_texts = {"username": "Letters, digits and @ . + - _ only.", "is_active": ""}
