"""`manage.py check FILE`: whether a backup is whole. Without a file, Django's own checks of the program."""

from __future__ import annotations

from typing import Any

from django.apps import apps
from django.core.management.base import CommandError
from django.core.management.commands import check

from playbook.backups import files, services
from playbook.backups.archive import Unreadable


class Command(check.Command):
    """Checks a backup file, or as Django does the program or some of its apps."""

    help = "Says whether a backup FILE is whole and can be restored here. Without one, checks the program itself."

    def handle(self, *app_labels: Any, **options: Any) -> None:
        """Does the one or the other."""
        apps_known = {app.label for app in apps.get_app_configs()}
        if len(app_labels) == 1 and app_labels[0] not in apps_known:
            self._check_file(app_labels[0])
        else:
            super().handle(*app_labels, **options)

    def _check_file(self, name: str) -> None:
        try:
            with files.opened(name) as source:
                older, manifest = services.check(source.manifest), source.manifest
        except Unreadable as reason:
            raise CommandError(f"{files.named(name)}: {reason}") from reason
        except FileNotFoundError as error:
            raise CommandError(f"There is no file {name}, and no app of that name to check.") from error
        except OSError as error:
            raise CommandError(f"{files.named(name)} cannot be read: {error.strerror or error}.") from error
        here = "it can be restored here, and is brought up to this version" if older else "it can be restored here"
        self.stdout.write(
            f"{files.named(name)} is whole: {len(manifest.tables)} tables with {manifest.rows} rows, made at "
            f"{manifest.made_at} by version {manifest.version}; {here}."
        )
