"""`manage.py demo`: the whole program with demo data, until Ctrl-C."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from playbook import demo, postgres
from playbook.management.commands.serve import serve
from playbook.serving import house, network, running


class Command(BaseCommand):
    """Runs the whole program with demo data."""

    help = "Runs the whole program with demo data in a folder of its own (LANEPROOF_DATA, else .data/demo)."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        """Adds where to listen."""
        parser.add_argument("--address", default="127.0.0.1", help="0.0.0.0 lets phones on the same network in")
        parser.add_argument("--port", type=int, help="default: the first free one from 8000 on")

    def handle(self, *args: Any, **options: Any) -> None:
        """Does it all, and stops what it started."""
        plan = running.Plan(options["address"], options["port"] or 8000)
        ports = [options["port"]] if options["port"] else list(range(8000, 8050))
        try:
            serve(plan, ports, self.stdout.write, self._greet, demo.load)
        except (network.NetworkError, house.FolderError, postgres.PostgresError) as error:
            raise CommandError(str(error)) from error

    def _greet(self, plan: running.Plan) -> None:
        self.stdout.write(f"\nLaneproof runs at  {plan.shown}\n\nSign in as one of:\n")
        for log_in in demo.log_ins():
            self.stdout.write(f"  {log_in.username:<8} {log_in.password:<16} {log_in.who}")
        self.stdout.write("\nCtrl-C stops it.")
        self.stdout.flush()
