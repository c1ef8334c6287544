"""`manage.py setup`: brings a server's database up to date and puts the shipped library into it."""

from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand

from playbook import convert


class Command(BaseCommand):
    """Migrates, and writes the shipped systems, formations and concepts that the database does not have yet."""

    help = "Migrates, and writes what the shipped library has and the database has not. Safe to repeat."

    def handle(self, *args: Any, **options: Any) -> None:
        """Does both."""
        call_command("migrate", verbosity=options["verbosity"])
        convert.load_library()
