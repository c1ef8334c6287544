"""`manage.py backup FILE`: everything in one file, while the program runs."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import IO, Any

import psycopg
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import Error

from playbook.backups import services
from playbook.backups.archive import Manifest


class Command(BaseCommand):
    """Writes a backup to a file, or to standard output."""

    help = "Writes everything in the database into one file, as it is at one moment. The program may run on."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        """Adds the file."""
        parser.add_argument("file", metavar="FILE", help="a file that is not there yet, or - for standard output")

    def handle(self, *args: Any, **options: Any) -> None:
        """Writes it."""
        try:
            if options["file"] == "-":
                if sys.stdout.isatty():
                    raise CommandError("Send standard output into a file: manage.py backup - > FILE")
                manifest, where = services.back_up(sys.stdout.buffer), "standard output"
            else:
                manifest, where = _to_file(Path(options["file"])), options["file"]
        except services.NotNow as reason:
            raise CommandError(str(reason)) from reason
        except OSError as error:
            raise CommandError(f"{options['file']} cannot be written: {error.strerror or error}.") from error
        except (Error, psycopg.Error) as error:  # the second is what COPY raises
            raise CommandError(f"The database could not be read: {error}") from error
        self.stderr.write(f"{_told(manifest)} written to {where}.")
        beside = services.left_out()
        if beside:
            self.stderr.write(f"Not in it, because not this program's: {', '.join(beside)}.")


def _told(manifest: Manifest) -> str:
    return f"{len(manifest.tables)} tables with {manifest.rows} rows"


def _to_file(path: Path) -> Manifest:
    """Writes the backup beside the place where it is to stand, and moves it there when it is whole."""
    if path.exists():
        raise CommandError(f"{path} is there already, and a backup overwrites nothing. Name another file.")
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        with _private(part) as out:
            manifest = services.back_up(out)
            os.fsync(out.fileno())
        part.rename(path)
    finally:
        part.unlink(missing_ok=True)
    return manifest


def _private(path: Path) -> IO[bytes]:
    return os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb")
