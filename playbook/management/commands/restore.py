"""`manage.py restore FILE`: brings a backup back, whole or not at all."""

from __future__ import annotations

from typing import Any

import psycopg
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import Error

from playbook.backups import files, services
from playbook.backups.archive import Unreadable


class Command(BaseCommand):
    """Puts a backup into an empty database, or with --replace in the place of what is there."""

    help = "Brings a backup back into an empty database; with --replace, in the place of everything there."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        """Adds the file and the express word."""
        parser.add_argument("file", metavar="FILE", help="a backup, or - for standard input")
        parser.add_argument("--replace", action="store_true", help="drop everything that is in the database now")

    def handle(self, *args: Any, **options: Any) -> None:
        """Restores it."""
        name = options["file"]
        try:
            with files.opened(name) as source:
                services.restore(source, options["replace"])
                manifest = source.manifest
        except Unreadable as reason:
            raise CommandError(f"{files.named(name)}: {reason} Nothing was changed.") from reason
        except services.NotNow as reason:
            raise CommandError(f"{reason} Nothing was changed.") from reason
        except (Error, psycopg.Error, OSError) as error:  # the second is what COPY raises
            raise CommandError(f"{files.named(name)} could not be restored. Nothing was changed. {error}") from error
        self.stdout.write(
            f"{len(manifest.tables)} tables with {manifest.rows} rows are back as they were at {manifest.made_at}, "
            "compared with the file.\nSo are passwords, roles, log-ins and tokens: whoever was shut out since then has "
            "to be shut out again."
        )
