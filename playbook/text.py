"""Text and numbers as they come from outside: what cannot be kept is told in words, whatever way it comes in."""

from __future__ import annotations

import unicodedata

from django.core.exceptions import ValidationError
from django.db import models

MOST_DIGITS = 18  # what the database's numbers hold


def trouble_with(text: str) -> str:
    """Returns what was expected of a text that the database cannot keep, else nothing."""
    if "\0" in text:
        return "text without the NUL character"
    if any("\ud800" <= letter <= "\udfff" for letter in text):
        return "text without halves of characters (surrogates)"
    return ""


def kept(text: str) -> str:
    """Returns the text without what the database cannot keep."""
    return "".join(letter for letter in text if letter != "\0" and not "\ud800" <= letter <= "\udfff")


def trouble_with_name(text: str) -> str:
    """Returns what was expected of a text that cannot be a name, else nothing. Any letters of any script can."""
    kinds = {unicodedata.category(letter) for letter in text}
    if kinds & {"Cc", "Zl", "Zp"}:
        return "a name on one line, without control characters"
    if text and all(kind[0] in "ZC" or kind == "Mn" for kind in kinds):
        return "a name with at least one letter that can be seen"
    return trouble_with(text)


def validate_name(text: str) -> None:
    """Raises ValidationError for what cannot be a name."""
    trouble = trouble_with_name(text)
    if trouble:
        raise ValidationError(f"Expected {trouble}.", code="name")


class NameField(models.CharField):
    """A name or label: any letters, on one line, something to see. In the database it is a CharField."""

    default_validators = [validate_name]

    def deconstruct(self) -> tuple[str, str, list[object], dict[str, object]]:
        """Returns what a migration needs: the rule for names is not the database's."""
        name, _, args, kwargs = super().deconstruct()
        return name, "django.db.models.CharField", list(args), kwargs


def whole_number(text: object, otherwise: int = 0) -> int:
    """Returns the number written in a hidden field or an address; what is no number, or too big, is `otherwise`."""
    digits = str(text)
    return int(digits) if digits.isascii() and digits.isdigit() and len(digits) <= MOST_DIGITS else otherwise
