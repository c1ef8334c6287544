"""Addresses of what can be done with a rule."""

from django import template
from django.urls import reverse

from playbook.system.bench import Bench
from playbook.system.rules import Owner, noun

register = template.Library()


@register.simple_tag
def rule_address(action: str, part: Owner, kind: str, rule: int | str | None = None) -> str:
    """Returns the address that does the action with a rule, or with a new one when there is none yet."""
    if rule:
        return reverse(f"system:{action}-rule", args=[noun(part), part.pk, kind, rule])
    return reverse(f"system:{action}-new-rule", args=[noun(part), part.pk, kind])


@register.filter
def of_man(bench: Bench, position: str) -> str:
    """Returns the query that shows that man's rules on the same drawing."""
    return bench.at(position)
