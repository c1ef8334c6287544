"""A player's sheet under gunicorn with two workers, against a bare view in the same run, round by round in turn.

Run alone on an idle machine: `python -m pytest tests/benchmarks/test_sheet_load.py -s`.
"""

from __future__ import annotations

import http.client
import os
import socket
import statistics
import subprocess
import sys
import threading
import time
from pathlib import Path
from urllib.parse import quote

import pytest
from django.conf import settings
from django.db import connection
from django.test import Client

from playbook import demo
from playbook.models import User

pytestmark = pytest.mark.django_db(transaction=True)
ROOT = Path(__file__).resolve().parents[2]
ROUNDS, SECONDS, CLIENTS = 5, 2.0, 4


@pytest.fixture
def port():
    """Gunicorn with two workers on the test database."""
    demo.load()
    with socket.socket() as trial:
        trial.bind(("127.0.0.1", 0))
        number = trial.getsockname()[1]
    s = connection.settings_dict
    address = f"postgresql://{quote(s['USER'])}:{quote(s['PASSWORD'])}@{quote(s['HOST'], safe='')}/{s['NAME']}"
    if s["PORT"]:
        address = address.replace("/" + s["NAME"], f":{s['PORT']}/{s['NAME']}")
    env = os.environ | {
        "DATABASE_URL": address, "LANEPROOF_DEBUG": "1", "DJANGO_SETTINGS_MODULE": "tests.benchmarks.bare_settings",
        "PYTHONPATH": str(ROOT),
    }  # fmt: skip
    server = subprocess.Popen(
        [sys.executable, "-m", "gunicorn", "playbook.wsgi", "--bind", f"127.0.0.1:{number}", "--workers", "2",
         "--log-level", "error", "--no-control-socket"],
        env=env, cwd=ROOT,
    )  # fmt: skip
    try:
        for _ in range(200):
            with socket.socket() as trial:
                if trial.connect_ex(("127.0.0.1", number)) == 0:
                    break
            time.sleep(0.1)
        yield number
    finally:
        server.terminate()
        server.wait(timeout=20)


def cookie() -> str:
    """Signs the demo's player in."""
    client = Client()
    client.force_login(User.objects.get(username="player"))
    return f"{settings.SESSION_COOKIE_NAME}={client.cookies[settings.SESSION_COOKIE_NAME].value}"


def per_second(port: int, path: str, signed_in: str) -> float:
    """Requests a second that four clients get through."""
    until, done = time.monotonic() + SECONDS, [0] * CLIENTS

    def work(number: int) -> None:
        while time.monotonic() < until:
            link = http.client.HTTPConnection("127.0.0.1", port)
            link.request("GET", path, headers={"Cookie": signed_in})
            answer = link.getresponse()
            answer.read()
            assert answer.status == 200, (path, answer.status)
            link.close()
            done[number] += 1

    threads = [threading.Thread(target=work, args=(number,)) for number in range(CLIENTS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return sum(done) / SECONDS


def test_a_sheet_is_at_least_half_as_fast_as_a_bare_view(port):
    signed_in = cookie()
    for path in ("/bare", "/my/week"):
        per_second(port, path, signed_in)
    rounds = [(per_second(port, "/bare", signed_in), per_second(port, "/my/week", signed_in)) for _ in range(ROUNDS)]
    bare, sheet = (statistics.median(column) for column in zip(*rounds, strict=True))
    share = statistics.median(s / b for b, s in rounds)
    print(f"\nbare view {bare:.0f}/s, a player's sheet {sheet:.0f}/s: {share:.2f} of it")
    assert share >= 0.5
