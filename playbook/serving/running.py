"""The program at work: web server and workers over a database, until it is told to stop."""

from __future__ import annotations

import contextlib
import os
import signal
import socket
import ssl
import sys
import time
import urllib.request
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from playbook import postgres
from playbook.serving import network
from playbook.serving.processes import Child, stop

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True, slots=True)
class Plan:
    """How to run: where, under which names, over which certificate, and with how many processes."""

    address: str
    port: int
    sites: tuple[network.Site, ...] = ()
    proxies: int = 0
    cert: Path | None = None
    key: Path | None = None
    web: int = 2
    workers: int = 1

    @property
    def https(self) -> bool:
        """Whether people reach it over HTTPS."""
        return self.cert is not None or self.proxies > 0

    @property
    def shown(self) -> str:
        """The address to open: the site's, else the machine's."""
        if self.sites:
            site = self.sites[0]
            if not self.https:
                return f"http://{site.host}:{self.port}/"
            ours = self.cert is not None and self.port != 443 and site.origin == f"https://{site.host}"
            return f"{site.origin}:{self.port}/" if ours else f"{site.origin}/"
        host = network.own_names()[0] if network.everywhere(self.address) else self.address
        return f"{'https' if self.cert else 'http'}://{network.in_an_address(host)}:{self.port}/"


def environment(plan: Plan, database: str) -> dict[str, str]:
    """Returns what the child processes get: never debug settings, whatever this process was started with."""
    ours = {
        "DATABASE_URL": database,
        "DJANGO_SETTINGS_MODULE": "playbook.settings",
        "LANEPROOF_DATA": str(postgres.default_folder().absolute()),
        "LANEPROOF_HOSTS": ",".join(network.hosts(plan.address, plan.sites)),
        "LANEPROOF_ORIGINS": ",".join(site.origin for site in plan.sites),
        "LANEPROOF_PROXIES": str(plan.proxies),
        "LANEPROOF_PLAIN": "0" if plan.https else "1",
        "PYTHONUNBUFFERED": "1",
    }
    return {name: value for name, value in os.environ.items() if name != "LANEPROOF_DEBUG"} | ours


def run(plan: Plan, bound: socket.socket, database: str, greet: Callable[[], Any], say: Callable[[str], Any]) -> None:
    """Runs web server and workers, starts again what dies, and ends at SIGINT or SIGTERM.

    Raises NetworkError when the web server does not come up.
    """
    children = [_web(plan, bound, environment(plan, database))]
    children += [_worker(number, environment(plan, database)) for number in range(1, plan.workers + 1)]
    for name in (signal.SIGINT, signal.SIGTERM):
        signal.signal(name, _interrupt)
    try:
        for child in children:
            child.start()
        _wait_until_it_answers(plan, children[0])
        greet()
        embedded = not os.environ.get("DATABASE_URL")
        while True:
            if embedded and not postgres.lives():
                say("The database server ended and is started again.")
                with contextlib.suppress(postgres.PostgresError):
                    postgres.start()
            for child in children:
                child.watch(say)
            time.sleep(0.5)
    except KeyboardInterrupt:
        say("Stopping. Everything is kept.")
    finally:
        stop(children)


def _interrupt(*_: Any) -> None:
    # A terminal may send Ctrl-C twice: to the group, and once more through whatever started this.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_IGN)
    raise KeyboardInterrupt


def _web(plan: Plan, bound: socket.socket, variables: dict[str, str]) -> Child:
    """The web server takes the socket that is bound already, so that nobody gets between when it is started again."""
    command = [
        sys.executable, "-m", "gunicorn", "playbook.wsgi", "--bind", f"fd://{bound.fileno()}", "--preload",
        "--workers", str(plan.web), "--threads", "4", "--log-level", "warning", "--timeout", "120",
        "--graceful-timeout", "20", "--no-control-socket", "--chdir", str(ROOT),
    ]  # fmt: skip
    if plan.cert and plan.key:
        command += ["--certfile", str(plan.cert), "--keyfile", str(plan.key)]
    return Child("web server", command, variables, handles=(bound.fileno(),))


def _worker(number: int, variables: dict[str, str]) -> Child:
    command = [sys.executable, str(ROOT / "manage.py"), "procrastinate", "worker", "--concurrency", "2"]
    return Child(f"worker {number}", command, variables)


def _wait_until_it_answers(plan: Plan, web: Child) -> None:
    until = time.monotonic() + 120
    host = network.in_an_address({"0.0.0.0": "127.0.0.1", "::": "::1"}.get(plan.address, plan.address))
    request = urllib.request.Request(
        f"{'https' if plan.cert else 'http'}://{host}:{plan.port}/alive", headers={"Host": "localhost"}
    )
    own = ssl.create_default_context()
    own.check_hostname, own.verify_mode = False, ssl.CERT_NONE  # it asks itself, whatever name is on the certificate
    opener = urllib.request.build_opener(urllib.request.ProxyHandler({}), urllib.request.HTTPSHandler(context=own))
    while time.monotonic() < until and web.process is not None and web.process.poll() is None:
        with contextlib.suppress(OSError), opener.open(request, timeout=30):
            return
        time.sleep(0.1)
    raise network.NetworkError("The web server does not come up; what it said stands above.")
