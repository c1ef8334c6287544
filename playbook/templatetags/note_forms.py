"""Small words of the forms of notes."""

from django import template

from playbook.notes.forms import MOST

register = template.Library()


@register.filter
def add_pk(word: str, pk: int) -> str:
    """Returns a word with a number behind it: the name of a form among many."""
    return f"{word}{pk}"


@register.simple_tag
def note_limit() -> str:
    """Returns how long a note can be, in words."""
    return f"At most {MOST:,} characters. Players never see it."
