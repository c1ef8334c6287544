"""`manage.py setup`: brings a server's database up to date and puts the shipped library into it."""

from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import ProgrammingError

from playbook import convert
from playbook.installation import queries


class Command(BaseCommand):
    """Migrates, and writes the shipped systems, formations and concepts that the database does not have yet."""

    help = "Migrates, and writes what the shipped library has and the database has not. Safe to repeat."

    def add_arguments(self, parser: CommandParser) -> None:
        """Adds the question for the setup code."""
        parser.add_argument("--code", action="store_true", help="only print the code that the first admin types")

    def handle(self, *args: Any, **options: Any) -> None:
        """Does both, or prints the code."""
        if options["code"]:
            try:
                code = "There is an admin already: sign in." if queries.has_admin() else queries.code()
            except ProgrammingError as error:
                raise CommandError("The database has no tables yet: run `manage.py setup` first.") from error
            self.stdout.write(code)
            return
        call_command("migrate", verbosity=options["verbosity"])
        convert.load_library()
