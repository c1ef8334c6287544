"""What a call is called, where a template holds its identifier."""

from django import template

import fits
from fits.terms import words_of_name
from playbook import convert
from playbook.models import System

register = template.Library()


@register.filter
def called(name: str, system: System) -> str:
    """Returns the label of a system's call; words made of the identifier where the system has no such call."""
    try:
        return convert.calls_of(system)[name].called
    except (fits.FitsError, KeyError):
        return str(words_of_name(name))
