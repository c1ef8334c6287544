"""`manage.py token NAME`: makes or takes back an API token."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from playbook.api import tokens
from playbook.models import User
from playbook.people.services import AccessEnded


class Command(BaseCommand):
    """Makes a token for a person and prints it; the old one stops working."""

    help = "Makes an API token for a user name and prints it, or takes it back."

    def add_arguments(self, parser: CommandParser) -> None:
        """Adds whose token, and whether to take it back."""
        parser.add_argument("username")
        parser.add_argument("--revoke", action="store_true", help="take the person's token back")

    def handle(self, *args: Any, **options: Any) -> None:
        """Does it."""
        user = User.objects.filter(username=options["username"]).first()
        if user is None:
            raise CommandError(f"There is nobody with the user name {options['username']!r}.")
        if not options["revoke"]:
            try:
                self.stdout.write(tokens.make_token(user))
            except AccessEnded as ended:
                raise CommandError(str(ended)) from ended
        elif tokens.revoke_token(user):
            self.stdout.write(f"The token of {user} is no longer good.")
        else:
            raise CommandError(f"{user} has no token.")
