"""`manage.py serve` as a staff runs it: over HTTPS, without debug pages, started again when a part of it dies."""

import os
import re
import signal
import socket
import ssl
import stat
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest

from playbook import postgres

ROOT = Path(__file__).resolve().parents[3]
OURS = ("DATABASE_URL", "SECRET_KEY", "DJANGO_SETTINGS_MODULE", "DJANGO_ALLOW_ASYNC_UNSAFE")


def free_port():
    with socket.socket() as trial:
        trial.bind(("127.0.0.1", 0))
        return trial.getsockname()[1]


def environment(folder):
    clean = {k: v for k, v in os.environ.items() if k not in OURS and not k.startswith("LANEPROOF")}
    return clean | {"LANEPROOF_DATA": str(folder)}


def run(folder, *arguments):
    """Runs a command that is to end by itself."""
    command = [sys.executable, "manage.py", *arguments]
    return subprocess.run(command, cwd=ROOT, env=environment(folder), capture_output=True, text=True, timeout=120)


def wait_for(what, seconds=90):
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        found = what()
        if found:
            return found
        time.sleep(0.2)
    raise AssertionError("it never came")


def make_certificate(folder, name):
    cert, key = folder / f"{name}.pem", folder / f"{name}.key"
    subprocess.run(
        ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", "-subj", f"/CN={name}",
         "-addext", f"subjectAltName=DNS:{name},IP:127.0.0.1", "-keyout", key, "-out", cert],
        check=True, capture_output=True,
    )  # fmt: skip
    return cert, key


class Running:
    """A program that serves, over a certificate of its own."""

    def __init__(self, folder, port):
        self.folder, self.port, self.data, self.log = folder, port, folder / "data", folder / "log"
        self.cert, self.key = make_certificate(folder, "localhost")
        command = [sys.executable, "manage.py", "serve", "--port", str(port), "--site", "playbook.example.org",
                   "--cert", self.cert, "--key", self.key]  # fmt: skip
        with self.log.open("w") as out:
            self.process = subprocess.Popen(command, cwd=ROOT, env=environment(self.data), stdout=out, stderr=out)

    def open(self, path, host="localhost"):
        trusting = ssl.create_default_context(cafile=str(self.cert))
        request = urllib.request.Request(f"https://127.0.0.1:{self.port}{path}", headers={"Host": host})
        try:
            return urllib.request.urlopen(request, context=trusting, timeout=30)
        except urllib.error.HTTPError as answer:
            return answer

    def children(self):
        """The process numbers of what it started itself, by the word in their command line."""
        found = {}
        for path in Path("/proc").glob("[0-9]*/stat"):
            try:
                parent = path.read_text().rpartition(")")[2].split()[1]
                if int(parent) == self.process.pid:
                    line = (path.parent / "cmdline").read_bytes().decode()
                    found["web" if "gunicorn" in line else "worker"] = int(path.parent.name)
            except (OSError, IndexError):
                continue
        return found


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    running = Running(tmp_path_factory.mktemp("served"), free_port())
    try:
        wait_for(lambda: "Ctrl-C stops it" in running.log.read_text() or running.process.poll() is not None)
        assert running.process.poll() is None, running.log.read_text()
        yield running
    finally:
        running.process.terminate()
        running.process.wait(timeout=60)
        postgres.stop_if_unused(running.data)


def test_it_answers_over_https_with_cookies_that_need_it(served):
    answer = served.open("/people/log-in", "playbook.example.org")
    assert answer.status == 200
    assert "Secure" in answer.headers["Set-Cookie"] and "max-age" in answer.headers["Strict-Transport-Security"]
    style = re.search(r'href="(/static/site\.[0-9a-f]+\.css)"', answer.read().decode())[1]
    assert "immutable" in served.open(style).headers["Cache-Control"]


def test_a_stranger_sees_no_debug_page(served):
    for path, host, status in (("/nothing-here", "localhost", 404), ("/people/log-in", "evil.example.com", 400)):
        answer = served.open(path, host)
        said = answer.read().decode()
        assert answer.status == status
        assert not re.search(r"traceback|DEBUG = |urlpatterns|settings.py|SuspiciousOperation", said, re.IGNORECASE), (
            said
        )


def test_the_secret_key_and_the_folder_are_their_owners_only(served):
    assert stat.S_IMODE((served.data / "secret-key").stat().st_mode) == 0o600
    assert stat.S_IMODE(served.data.stat().st_mode) == 0o700


def test_a_second_one_is_told_who_has_the_folder(served):
    refused = run(served.data, "serve", "--port", str(free_port()))
    assert refused.returncode == 1
    assert f"in use by another running program (process {served.process.pid}, https://" in refused.stderr
    assert "Traceback" not in refused.stderr and served.open("/alive").status == 200


def test_a_port_in_use_is_said_with_one_that_is_free(served, tmp_path):
    refused = run(tmp_path / "data", "serve", "--port", str(served.port))
    assert refused.returncode == 1 and "Traceback" not in refused.stderr
    assert re.search(rf"Port {served.port} is in use by another program\..*--port \d+", refused.stderr)


@pytest.mark.skipif(sys.platform != "linux", reason="reads /proc")
def test_what_dies_is_started_again(served):
    before = wait_for(lambda: len(served.children()) == 2 and served.children())
    database = postgres._server_pid(served.data)
    os.kill(before["web"], signal.SIGKILL)
    os.kill(before["worker"], signal.SIGKILL)
    os.kill(database, signal.SIGKILL)
    wait_for(
        lambda: served.children().keys() == before.keys() and not set(served.children().values()) & {*before.values()}
    )
    wait_for(lambda: postgres._server_pid(served.data) not in (None, database))
    wait_for(lambda: _quiet(lambda: served.open("/alive").status) == 200)


@pytest.mark.skipif(sys.platform != "linux", reason="reads /proc")
def test_a_dead_database_comes_back_and_breaks_no_page(served):
    """Until it is back the answer is 503, never 500. How long that takes hangs on the machine: 11 s on a busy one."""
    wait_for(lambda: _quiet(lambda: served.open("/alive").status) == 200)
    os.kill(postgres._server_pid(served.data), signal.SIGKILL)
    began, said = time.monotonic(), set()
    while 200 not in said or time.monotonic() - began < 0.7:
        try:
            said.add(served.open("/alive").status)
        except urllib.error.HTTPError as refused:
            said.add(refused.code)
            said.discard(200)
        assert time.monotonic() - began < 30
    assert said <= {200, 503}, said


def test_a_backup_is_taken_while_it_runs(served, tmp_path):
    done = run(served.data, "backup", str(tmp_path / "all.zip"))
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "all.zip").stat().st_size > 10_000 and served.open("/alive").status == 200


def test_a_renewed_certificate_is_used_without_a_restart(served):
    served.cert.write_bytes((fresh := make_certificate(served.folder, "127.0.0.1"))[0].read_bytes())
    served.key.write_bytes(fresh[1].read_bytes())
    assert ssl.get_server_certificate(("127.0.0.1", served.port)).split() == served.cert.read_text().split()


def test_it_ends_clean_at_the_end_of_the_machine(tmp_path):
    running = Running(tmp_path, free_port())
    try:
        wait_for(lambda: "Ctrl-C stops it" in running.log.read_text() or running.process.poll() is not None)
        children = running.children().values()
        running.process.send_signal(signal.SIGTERM)
        assert running.process.wait(timeout=60) == 0, running.log.read_text()
        assert postgres._server_pid(running.data) is None
        assert not any(Path(f"/proc/{pid}").exists() for pid in children)
        assert "Traceback" not in running.log.read_text()
    finally:
        running.process.kill()
        running.process.wait()
        postgres.stop_if_unused(running.data)


def _quiet(ask):
    try:
        return ask()
    except OSError:
        return None
