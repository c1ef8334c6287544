"""`manage.py demo`: database, demo data, web server and worker, until Ctrl-C."""

from __future__ import annotations

import contextlib
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Sequence
from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connections

from playbook import demo, postgres


class Command(BaseCommand):
    """Runs the whole program with demo data."""

    help = "Starts PostgreSQL if DATABASE_URL is not set, migrates, loads the demo, serves it and works its queue."

    def add_arguments(self, parser: CommandParser) -> None:
        """Adds where to listen."""
        parser.add_argument("--host", default="127.0.0.1", help="0.0.0.0 lets phones on the same network in")
        parser.add_argument("--port", type=int, help="default: the first free one from 8000 on")

    def handle(self, *args: Any, **options: Any) -> None:
        """Does it all, and stops what it started."""
        port = _free_port(options["host"], [options["port"]] if options["port"] else range(8000, 8050))
        call_command("migrate", verbosity=0)
        log_ins = demo.load()
        connections.close_all()
        signal.signal(signal.SIGINT, _interrupt)
        signal.signal(signal.SIGTERM, _interrupt)
        web, worker = _start_web(options["host"], port), _start_worker()
        try:
            _wait_until_it_answers(web, options["host"], port)
            self._greet(options["host"], port, log_ins)
            while web.poll() is None:
                if worker.poll() is not None:
                    worker = _start_worker()
                time.sleep(0.5)
            raise CommandError("The web server stopped; what it said stands above.")
        except KeyboardInterrupt:
            self.stdout.write("\nStopping. What you changed is kept.")
        finally:
            _stop([web, worker])
            if not os.environ.get("DATABASE_URL"):
                postgres.stop_if_unused()

    def _greet(self, host: str, port: int, log_ins: list[demo.LogIn]) -> None:
        self.stdout.write(f"\nLaneproof runs at  http://{_reachable(host)}:{port}/\n\nSign in as one of:\n")
        for log_in in log_ins:
            self.stdout.write(f"  {log_in.username:<8} {log_in.password:<16} {log_in.who}")
        self.stdout.write("\nCtrl-C stops it.")
        self.stdout.flush()


def _interrupt(*_: Any) -> None:
    # A terminal may send Ctrl-C twice: to the group, and once more through whatever started this.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_IGN)
    raise KeyboardInterrupt


def _free_port(host: str, ports: Sequence[int]) -> int:
    for port in ports:
        with socket.socket() as trial, contextlib.suppress(OSError):
            trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            trial.bind((host, port))
            return port
    raise CommandError(f"Port {ports[0]} is in use, or not yours to use: name another with --port.")


def _start_web(host: str, port: int) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-m", "gunicorn", "playbook.wsgi", "--bind", f"{host}:{port}", "--preload", "--workers", "2",
         "--threads", "4", "--log-level", "warning", "--timeout", "120"]
    )  # fmt: skip


def _start_worker() -> subprocess.Popen[bytes]:
    return subprocess.Popen([sys.executable, "manage.py", "procrastinate", "worker", "--concurrency", "2"])


def _wait_until_it_answers(web: subprocess.Popen[bytes], host: str, port: int) -> None:
    until = time.monotonic() + 120
    address = f"http://{_reachable(host)}:{port}/alive"
    while time.monotonic() < until and web.poll() is None:
        with contextlib.suppress(OSError), urllib.request.urlopen(address, timeout=30):
            return
        time.sleep(0.1)
    raise CommandError(f"Nothing answers on {host}:{port}; is the port in use? Name another with --port.")


def _reachable(host: str) -> str:
    return "127.0.0.1" if host == "0.0.0.0" else host


def _stop(children: list[subprocess.Popen[bytes]]) -> None:
    for child in children:
        if child.poll() is None:
            child.terminate()
    for child in children:
        try:
            child.wait(timeout=10)
        except subprocess.TimeoutExpired:
            child.kill()
            child.wait()
