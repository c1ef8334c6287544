"""`manage.py token NAME`: makes or takes back an API token."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from playbook.api import tokens
from playbook.models import User
from playbook.people.services import AccessEnded


class Command(BaseCommand):
    """Makes a token for a person and prints it, or takes all of his back."""

    help = "Makes an API token for a user name and prints it, or takes all of them back."

    def add_arguments(self, parser: CommandParser) -> None:
        """Adds whose token, and whether to take it back."""
        parser.add_argument("username")
        parser.add_argument("--revoke", action="store_true", help="take the person's tokens back")
        parser.add_argument("--label", default="", help="what it is for")
        parser.add_argument(
            "--days", type=int, default=tokens.USUAL_DAYS, choices=tokens.DAYS, help="how long it is good"
        )
        parser.add_argument("--read-only", action="store_true", help="a token that changes nothing")

    def handle(self, *args: Any, **options: Any) -> None:
        """Does it."""
        user = User.objects.filter(username=options["username"]).first()
        if user is None:
            raise CommandError(f"There is nobody with the user name {options['username']!r}.")
        if not options["revoke"]:
            try:
                made = tokens.make_token(user, options["label"], options["days"], not options["read_only"])
                self.stdout.write(made)
            except (AccessEnded, tokens.TooMany) as ended:
                raise CommandError(str(ended)) from ended
        elif tokens.revoke_tokens(user):
            self.stdout.write(f"No token of {user} is good any longer.")
        else:
            raise CommandError(f"{user} has no token.")
