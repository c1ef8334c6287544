"""`manage.py demo` as a newcomer runs it: an address, log-ins that work, and an end that leaves nothing running."""

import os
import re
import signal
import socket
import subprocess
import sys
import time
from http.cookiejar import CookieJar
from pathlib import Path
from urllib.parse import urlencode
from urllib.request import HTTPCookieProcessor, Request, build_opener

import pytest
from django.core.management import CommandError, call_command

from playbook import postgres

ROOT = Path(__file__).resolve().parents[2]


def start(folder, log):
    environment = {k: v for k, v in os.environ.items() if k not in ("DATABASE_URL", "SECRET_KEY", "LANEPROOF_DEBUG")}
    environment |= {"LANEPROOF_DATA": str(folder), "DJANGO_SETTINGS_MODULE": "playbook.settings"}
    command = [sys.executable, "manage.py", "demo"]
    with log.open("w") as out:
        return subprocess.Popen(command, cwd=ROOT, env=environment, stdout=out, stderr=out)


def greeting(process, log):
    until = time.monotonic() + 240
    while "Ctrl-C stops it" not in log.read_text():
        assert process.poll() is None and time.monotonic() < until, log.read_text()
        time.sleep(0.2)
    return log.read_text()


def sign_in(address, username, password):
    browser = build_opener(HTTPCookieProcessor(CookieJar()))
    page = browser.open(f"{address}people/log-in").read().decode()
    token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', page)[1]
    data = urlencode({"csrfmiddlewaretoken": token, "username": username, "password": password}).encode()
    return browser.open(Request(f"{address}people/log-in", data, {"Referer": address})).read().decode()


def test_it_prints_an_address_and_log_ins_that_work_and_stops_whole(tmp_path):
    folder, log = tmp_path / "data", tmp_path / "log"
    process = start(folder, log)
    try:
        said = greeting(process, log)
        address = re.search(r"http://\S+", said)[0]
        log_ins = re.findall(r"^  (\w+) +(\S+)  +\w", said, re.MULTILINE)
        assert {name for name, _ in log_ins} == {"admin", "coach", "player"}
        for name, password in log_ins:
            opens = "Line up" if name == "player" else "Looks expected"
            assert opens in sign_in(address, name, password)
        process.send_signal(signal.SIGINT)
        process.send_signal(signal.SIGINT)
        assert process.wait(timeout=60) == 0, log.read_text()
        assert postgres._server_pid(folder) is None
    finally:
        process.kill()
        process.wait()
        postgres.stop_if_unused(folder)


def test_a_port_in_use_is_said_before_anything_starts():
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        port = taken.getsockname()[1]
        with pytest.raises(CommandError, match=f"Port {port} is in use"):
            call_command("demo", port=port)
