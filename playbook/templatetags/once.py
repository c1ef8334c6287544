"""The key of a form that is kept once, however often it is sent."""

from uuid import uuid4

from django import template
from django.utils.html import format_html

from playbook.sending import FIELD

register = template.Library()


@register.simple_tag
def once() -> str:
    """Returns a hidden field with a new key."""
    return format_html('<input type="hidden" name="{}" value="{}">', FIELD, uuid4())
