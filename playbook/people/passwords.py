"""Passwords that anybody would try first."""

from __future__ import annotations

import re

from django.core.exceptions import ValidationError

from playbook.installation.queries import program
from playbook.models import User

LEAST = 8  # letters and digits beside the words that everybody here knows
WORDS = ("laneproof", "playbook", "football", "defense", "password", "coach", "season")


class NoKnownWords:
    """Refuses a password that is little more than the program's name, the staff's own name for it, or a trade word."""

    def validate(self, password: str, user: User | None = None) -> None:
        """Raises ValidationError."""
        left = _letters(password)
        for word in sorted({*WORDS, *map(_letters, program().split()), _letters(program())}, key=len, reverse=True):
            left = left.replace(word, "") if len(word) > 2 else left
        if len(left) < LEAST and left != _letters(password):
            raise ValidationError(
                "Expected more than a word that everybody here knows: this password would be tried first.", code="known"
            )

    def get_help_text(self) -> str:
        """Returns what a password may not be."""
        return "Your password can’t be the program’s name or a word of the game with little more."


def _letters(text: str) -> str:
    return re.sub(r"[^a-z]", "", text.casefold().translate(str.maketrans("013457@$", "oieastas")))
