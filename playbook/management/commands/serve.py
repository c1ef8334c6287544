"""`manage.py serve`: the whole program for a staff on one machine, until Ctrl-C."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connections

from playbook import convert, demo, postgres
from playbook.installation import queries
from playbook.models import User
from playbook.serving import house, network, running, unit


class Command(BaseCommand):
    """Runs database, web server and workers."""

    help = (
        "Runs the whole program for a staff: its own PostgreSQL (or DATABASE_URL), web server, workers. Everything is "
        "kept in the data folder (LANEPROOF_DATA, else .data)."
    )
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        """Adds where to listen, the names, the certificate, and how many processes."""
        parser.add_argument("--address", default="127.0.0.1", help="where to listen; 0.0.0.0 lets other machines in")
        parser.add_argument("--port", type=int, help="8000, with a certificate 8443")
        parser.add_argument(
            "--site", action="append", default=[], metavar="NAME",
            help="a name that people type, such as playbook.example.org; may stand more than once",
        )  # fmt: skip
        parser.add_argument("--cert", type=Path, metavar="FILE", help="HTTPS: the certificate with its chain, PEM")
        parser.add_argument("--key", type=Path, metavar="FILE", help="HTTPS: the certificate's key, PEM")
        parser.add_argument(
            "--proxies", type=int, default=0, metavar="N", help="how many proxies of yours stand in front and do HTTPS"
        )
        parser.add_argument("--web", type=int, default=2, metavar="N", help="web server processes")
        parser.add_argument("--workers", type=int, default=1, metavar="N", help="worker processes for long work")
        parser.add_argument("--unit", action="store_true", help="print a systemd unit with these options, and stop")

    def handle(self, *args: Any, **options: Any) -> None:
        """Runs it, or prints the unit."""
        try:
            plan = _plan(options)
            if options["unit"]:
                self.stdout.write(_unit(plan), ending="")
            else:
                serve(plan, [plan.port], self.stdout.write, self._greet)
        except (network.NetworkError, house.FolderError, postgres.PostgresError) as error:
            raise CommandError(str(error)) from error

    def _greet(self, plan: running.Plan) -> None:
        say = self.stdout.write
        say(f"\nLaneproof runs at  {plan.shown}")
        if network.only_here(plan.address) and not plan.proxies:
            say("  Only this machine reaches it; --address 0.0.0.0 lets others in.")
        if not plan.https:
            say("  Without HTTPS passwords can be read on the way; the README says how to have it.")
        if not queries.has_admin():
            say(f"\nNobody can sign in yet. Open it and type this setup code:  {queries.code()}")
        connections.close_all()
        say(f"\nEverything is kept in {postgres.default_folder().absolute()}. Ctrl-C stops it.")
        self.stdout.flush()


def serve(plan: running.Plan, ports: list[int], say: Any, greet: Any, fill: Any = None) -> None:
    """Brings the database up to date and runs the program on the first free port."""
    folder = postgres.default_folder().absolute()
    bound = network.listen(plan.address, ports)
    plan = running.Plan(
        plan.address, bound.getsockname()[1], plan.sites, plan.proxies, plan.cert, plan.key, plan.web, plan.workers
    )
    with bound, house.alone(folder, plan.shown):
        say("Starting. The first time this can take some minutes.")
        call_command("migrate", verbosity=0)
        convert.load_library()
        if fill is None:
            _refuse_demo(folder)
        else:
            fill()
        call_command("collectstatic", interactive=False, verbosity=0)
        connections.close_all()
        database = os.environ.get("DATABASE_URL") or postgres.start()
        running.run(plan, bound, database, lambda: greet(plan), say)


def _refuse_demo(folder: Path) -> None:
    """The demo's passwords are printed for everybody to read: no staff's program runs with them."""
    for person in User.objects.filter(username__in=("admin", "coach", "player"), is_active=True):
        if person.check_password(demo.PASSWORD):
            raise house.FolderError(
                f"{folder} holds the demo, whose passwords everybody knows. Name another folder: LANEPROOF_DATA=FOLDER."
            )


def _plan(options: dict[str, Any]) -> running.Plan:
    cert, key = (path.absolute() if path else None for path in (options["cert"], options["key"]))
    if bool(cert) != bool(key):
        raise network.NetworkError("HTTPS needs both: --cert FILE and --key FILE.")
    if cert and key:
        network.check_certificate(cert, key)
        if options["proxies"]:
            raise network.NetworkError("Either the proxy does HTTPS (--proxies), or this program (--cert and --key).")
    for name in ("web", "workers"):
        if not 1 <= options[name] <= 64:
            raise network.NetworkError(f"--{name}: expected 1 to 64, got {options[name]}.")
    if not 0 <= options["proxies"] <= 9:
        raise network.NetworkError(f"--proxies: expected 0 to 9, got {options['proxies']}.")
    return running.Plan(
        options["address"], options["port"] or (8443 if cert else 8000),
        tuple(network.read_site(text) for text in options["site"]), options["proxies"], cert, key, options["web"],
        options["workers"],
    )  # fmt: skip


def _unit(plan: running.Plan) -> str:
    command = [sys.executable, str(settings.BASE_DIR / "manage.py"), "serve", "--address", plan.address, "--port",
               str(plan.port), "--web", str(plan.web), "--workers", str(plan.workers)]  # fmt: skip
    for site in plan.sites:
        command += ["--site", site.origin]
    if plan.proxies:
        command += ["--proxies", str(plan.proxies)]
    if plan.cert and plan.key:
        command += ["--cert", str(plan.cert), "--key", str(plan.key)]
    return unit.unit(settings.BASE_DIR, command, {"LANEPROOF_DATA": str(postgres.default_folder().absolute())})
