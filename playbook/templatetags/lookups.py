"""Reading a mapping by a key that a template holds."""

from collections.abc import Mapping
from typing import Any

from django import template

register = template.Library()


@register.filter
def get(mapping: Mapping[str, Any], key: str) -> Any:
    """Returns the mapping's value, or none."""
    return mapping.get(key)
