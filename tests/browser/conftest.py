"""A real browser against the real program: gunicorn, a worker, and a database of this run's own that holds the demo."""

import contextlib
import os
import re
import socket
import subprocess
import sys
import time
import urllib.request
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

import pytest

CHROMIUM = Path("/usr/bin/chromium")
ROOT = Path(__file__).parent.parent.parent
PHONE = {"width": 360, "height": 740}
DESKTOP = {"width": 1440, "height": 900}
SIZES = {"phone": PHONE, "desktop": DESKTOP}

LOAD = """
import django
django.setup()
from playbook import demo
for log_in in demo.load():
    print(log_in.username, log_in.password)
from playbook.installation import queries
row = queries.installation()
row.name = "Consolidated Agricultural Normal College"  # forty letters, on every page
row.save()
"""


def pytest_collection_modifyitems(items):
    """Marks every test here, and skips it where no Chromium is installed."""
    for item in items:
        if Path(item.fspath).parent == Path(__file__).parent:
            item.add_marker(pytest.mark.browser)
            if not CHROMIUM.exists():
                item.add_marker(pytest.mark.skip(reason="no Chromium installed"))


@dataclass
class Site:
    """The running program."""

    folder: Path
    address: str
    passwords: dict[str, str]
    states: dict[str, dict] = field(default_factory=dict)


@pytest.fixture(scope="session")
def site(django_db_setup, django_db_blocker, tmp_path_factory):
    """Starts the program with the demo in it."""
    from django.db import connection

    with django_db_blocker.unblock():
        own = connection.settings_dict["NAME"]
        name = f"{own}_browser"
        connection.close()
        with connection._nodb_cursor() as cursor:
            cursor.execute("select pg_terminate_backend(pid) from pg_stat_activity where datname = %s", [own])
            cursor.execute(f'create database "{name}" template "{own}"')
    folder = tmp_path_factory.mktemp("site")
    env = os.environ | {
        "DATABASE_URL": _address(name),
        "LANEPROOF_DEBUG": "1",
        "LANEPROOF_DATA": str(folder),
        "DJANGO_SETTINGS_MODULE": "playbook.settings",
    }
    port = _free_port()
    log = (folder / "log").open("w")
    children = []
    try:
        said = subprocess.run(
            [sys.executable, "-c", LOAD], env=env, cwd=ROOT, check=True, capture_output=True, text=True
        )
        for command in (
            ["-m", "gunicorn", "playbook.wsgi", "--bind", f"127.0.0.1:{port}", "--workers", "2", "--threads", "4"],
            ["manage.py", "procrastinate", "worker"],
        ):
            children.append(subprocess.Popen([sys.executable, *command], env=env, cwd=ROOT, stdout=log, stderr=log))
        _wait(port)
        yield Site(folder, f"http://127.0.0.1:{port}", dict(line.split(" ", 1) for line in said.stdout.splitlines()))
    finally:
        for child in children:
            child.terminate()
        for child in children:
            child.wait(timeout=20)
        log.close()
        with django_db_blocker.unblock(), connection._nodb_cursor() as cursor:
            cursor.execute(f'drop database if exists "{name}" with (force)')


def _address(name):
    from playbook import postgres

    base = os.environ.get("DATABASE_URL") or postgres.start()
    return f"{base.rsplit('/', 1)[0]}/{name}"


def _free_port():
    with socket.socket() as trial:
        trial.bind(("127.0.0.1", 0))
        return trial.getsockname()[1]


def _wait(port):
    until = time.monotonic() + 60
    while time.monotonic() < until:
        with contextlib.suppress(OSError), urllib.request.urlopen(f"http://127.0.0.1:{port}/alive", timeout=30):
            return
        time.sleep(0.1)
    raise AssertionError("the web server did not start")


@pytest.fixture
def visit(site, chromium):
    """Opens a window for a role ("" is nobody) in a size; at the end nothing may have gone wrong in any of them."""
    windows = []

    def open_window(role="", size="desktop", **options):
        state = _signed_in(site, chromium, role) if role else None
        context = chromium.new_context(
            viewport=SIZES[size], base_url=site.address, storage_state=state, has_touch=size == "phone", **options
        )
        context.set_default_timeout(30_000)
        page = context.new_page()
        page.troubles = watch(page, site)
        windows.append((context, page))
        return page

    yield open_window
    troubles = [trouble for _, page in windows for trouble in page.troubles]
    if troubles:
        print((site.folder / "log").read_text()[-4000:])
    for context, _ in windows:
        context.close()
    assert troubles == []


def watch(page, site):
    """Returns a list that fills with what must not happen: console errors, faults, requests to other hosts."""
    troubles = []
    page.on("console", lambda said: _is_fault(said) and troubles.append(f"console: {said.text}"))
    page.on("pageerror", lambda error: troubles.append(f"script: {error}"))
    home = urlsplit(site.address).netloc
    page.on("request", lambda r: troubles.append(f"other host: {r.url}") if _elsewhere(r.url, home) else None)
    page.on("response", lambda r: troubles.append(f"{r.status}: {r.url}") if r.status >= 500 else None)
    return troubles


def _elsewhere(url, home):
    parts = urlsplit(url)
    return parts.scheme not in ("data", "blob", "about") and parts.netloc != home


def _is_fault(said):
    """The browser logs every 404, 409, 410 and 422 as a resource that failed to load; those are answers, not faults."""
    answer = "Failed to load resource" in said.text and any(
        f"status of {code} " in said.text for code in (404, 409, 410, 422)
    )
    return said.type == "error" and not answer


def _signed_in(site, chromium, role):
    if role not in site.states:
        context = chromium.new_context(base_url=site.address)
        page = context.new_page()
        sign_in(page, site, role)
        site.states[role] = context.storage_state()
        context.close()
    return site.states[role]


def sign_in(page, site, role):
    """Signs in on the log-in page."""
    page.goto("/people/log-in")
    page.get_by_label("User name").or_(page.get_by_label("Username")).first.fill(role)
    page.get_by_label("Password").fill(site.passwords[role])
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url(re.compile(r"^https?://[^/]+/(my/week)?$"))
