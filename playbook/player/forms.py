"""The form of a quiz answer."""

from django import forms

from playbook.models import Ask


class AnswerForm(forms.Form):
    """Which question, of which state of the card, and what was answered."""

    look = forms.IntegerField(widget=forms.HiddenInput)
    ask = forms.ChoiceField(choices=Ask.choices, widget=forms.HiddenInput)
    state = forms.CharField(max_length=64, required=False, widget=forms.HiddenInput)
    given = forms.CharField(max_length=300, error_messages={"required": "Choose one answer."})
