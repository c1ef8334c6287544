"""`manage.py person NAME`: all that is kept of one person, handed out or erased."""

from __future__ import annotations

import json
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.core.serializers.json import DjangoJSONEncoder

from playbook.models import Player, User
from playbook.people import erasing


class Command(BaseCommand):
    """Hands out or erases one person's data."""

    help = "Prints all that is kept of one person as JSON, or erases it. A restore erases it again."

    def add_arguments(self, parser: CommandParser) -> None:
        """Adds who, and whether to erase."""
        parser.add_argument("username", nargs="?", default="", help="his user name")
        parser.add_argument("--player", type=int, metavar="N", help="number of a player without a log-in: /roster/N")
        parser.add_argument("--erase", action="store_true", help="erase him; this cannot be undone")

    def handle(self, *args: Any, **options: Any) -> None:
        """Does it."""
        user = User.objects.filter(username=options["username"]).first() if options["username"] else None
        player = Player.objects.filter(pk=options["player"]).first() if options["player"] else None
        if user is None and (player is None or options["username"]):
            raise CommandError("There is nobody like that. Expected a user name, or --player with a player's number.")
        if player is None and user is not None:
            player = Player.objects.filter(user=user).first()
        if not options["erase"]:
            self.stdout.write(json.dumps(erasing.data_of(user, player), cls=DjangoJSONEncoder, indent=2))
            return
        try:
            erasing.erase(user, player)
        except erasing.LastAdminStays as reason:
            raise CommandError(str(reason)) from reason
        self.stdout.write("Erased. Documents and backups of before hold what they held; a restore erases again.")
