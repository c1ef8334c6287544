"""The web app under gunicorn with two sync workers, set up as a real installation, against the targets it was built to.

Run by hand, alone on the machine: `python -m pytest tests/benchmarks/test_web_speed.py -s`. Figures are printed.
"""

from __future__ import annotations

import contextlib
import gzip
import http.client
import os
import re
import socket
import statistics
import subprocess
import sys
import threading
import time
import urllib.request
from pathlib import Path
from urllib.parse import urlencode

import pytest

ROOT = Path(__file__).parent.parent.parent
SECONDS, CLIENTS = 6.0, 4
CHROMIUM = Path("/usr/bin/chromium")


class Site:
    """The running program."""

    def __init__(self, port: int, passwords: dict[str, str], workers: list[int]) -> None:
        self.port, self.passwords, self.workers = port, passwords, workers

    def ask(self, method: str, path: str, cookies: dict[str, str], body: str = "", **headers: str):
        """Returns status, headers and content of one request, through a new connection as the front would make."""
        link = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        sent = {"Cookie": "; ".join(f"{k}={v}" for k, v in cookies.items()), "X-Forwarded-Proto": "https", **headers}
        link.request(method, path, body or None, sent)
        answer = link.getresponse()
        content = answer.read()
        link.close()
        return answer.status, answer.headers, content

    def sign_in(self, name: str) -> dict[str, str]:
        """Returns the cookies of somebody signed in."""
        _, headers, content = self.ask("GET", "/people/log-in", {})
        cookies = _cookies(headers)
        token = re.search(rb'name="csrfmiddlewaretoken" value="(\w+)"', content)[1].decode()
        body = urlencode({"username": name, "password": self.passwords[name], "csrfmiddlewaretoken": token})
        status, headers, _ = self.ask("POST", "/people/log-in", cookies, body, **self.form(token))
        assert status == 302, status
        return cookies | _cookies(headers)

    def form(self, token: str) -> dict[str, str]:
        """Returns the headers of a form."""
        referer = "https://127.0.0.1/"
        kind = "application/x-www-form-urlencoded"
        return {"Content-Type": kind, "Referer": referer, "Host": "127.0.0.1", "X-CSRFToken": token}


def _cookies(headers) -> dict[str, str]:
    return dict(line.split(";")[0].split("=", 1) for line in headers.get_all("Set-Cookie") or [])


@pytest.fixture(scope="module")
def site(django_db_setup, django_db_blocker, tmp_path_factory):
    from django.db import connection

    from playbook import postgres

    with django_db_blocker.unblock():
        own = connection.settings_dict["NAME"]
        name = f"{own}_speed"
        connection.close()
        with connection._nodb_cursor() as cursor:
            cursor.execute(f'create database "{name}" template "{own}"')
    folder = tmp_path_factory.mktemp("speed")
    base = os.environ.get("DATABASE_URL") or postgres.start()
    env = {k: v for k, v in os.environ.items() if k != "LANEPROOF_DEBUG"} | {
        "DATABASE_URL": f"{base.rsplit('/', 1)[0]}/{name}",
        "SECRET_KEY": "measured-" + "k" * 50,
        "LANEPROOF_HOSTS": "127.0.0.1",
        "LANEPROOF_PROXIES": "1",
        "LANEPROOF_DATA": str(folder),
        "BENCH_STATIC": str(folder / "static"),
        "DJANGO_SETTINGS_MODULE": "tests.benchmarks.web_settings",
    }
    load = (
        "import django; django.setup(); from playbook import demo; [print(l.username, l.password) for l in demo.load()]"
    )
    said = subprocess.run([sys.executable, "-c", load], env=env, cwd=ROOT, check=True, capture_output=True, text=True)
    collect = [sys.executable, "-m", "django", "collectstatic", "--no-input", "-v", "0"]
    subprocess.run(collect, env=env, cwd=ROOT, check=True)
    with socket.socket() as trial:
        trial.bind(("127.0.0.1", 0))
        port = trial.getsockname()[1]
    log = (folder / "log").open("w")
    server = subprocess.Popen(
        [sys.executable, "-m", "gunicorn", "playbook.wsgi", "--bind", f"127.0.0.1:{port}", "--workers", "2"],
        env=env, cwd=ROOT, stdout=log, stderr=log,
    )  # fmt: skip
    try:
        until = time.monotonic() + 60
        while time.monotonic() < until:
            with contextlib.suppress(OSError), urllib.request.urlopen(f"http://127.0.0.1:{port}/alive", timeout=30):
                break
            time.sleep(0.1)
        workers = [int(pid) for pid in Path(f"/proc/{server.pid}/task/{server.pid}/children").read_text().split()]
        yield Site(port, dict(line.split(" ", 1) for line in said.stdout.splitlines()), workers)
    finally:
        server.terminate()
        server.wait(timeout=20)
        log.close()
        print((folder / "log").read_text()[-2000:])
        with django_db_blocker.unblock(), connection._nodb_cursor() as cursor:
            cursor.execute(f'drop database if exists "{name}" with (force)')


def _rate(site: Site, path: str, cookies: dict[str, str]) -> tuple[float, float]:
    """Returns requests a second, and server milliseconds of CPU a request."""
    done = [0] * CLIENTS
    cookie = "; ".join(f"{k}={v}" for k, v in cookies.items())
    asked = f"GET {path} HTTP/1.1\r\nHost: 127.0.0.1\r\nCookie: {cookie}\r\nX-Forwarded-Proto: https\r\n\r\n".encode()
    until = time.monotonic() + SECONDS

    def work(number: int) -> None:
        while time.monotonic() < until:
            with socket.create_connection(("127.0.0.1", site.port)) as link:
                link.sendall(asked)
                first = part = link.recv(65536)
                while part:
                    part = link.recv(65536)
            assert first.startswith(b"HTTP/1.1 200"), first[:200]
            done[number] += 1

    before = _cpu_s(site.workers)
    started = time.monotonic()
    threads = [threading.Thread(target=work, args=(number,)) for number in range(CLIENTS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    spent = time.monotonic() - started
    return sum(done) / spent, (_cpu_s(site.workers) - before) / sum(done) * 1000


def _cpu_s(pids: list[int]) -> float:
    ticks = 0
    for pid in pids:
        parts = Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()
        ticks += int(parts[11]) + int(parts[12])
    return ticks / os.sysconf("SC_CLK_TCK")


def test_a_players_sheet_is_at_least_half_as_fast_as_a_bare_view(site):
    cookies = site.sign_in("player")
    for path in ("/bare", "/my/week"):
        for _ in range(20):
            assert site.ask("GET", path, cookies)[0] == 200
    rounds = [(_rate(site, "/bare", cookies), _rate(site, "/my/week", cookies)) for _ in range(3)]
    ratio = statistics.median(sheet[0] / bare[0] for bare, sheet in rounds)
    for bare, sheet in rounds:
        print(
            f"\nbare view {bare[0]:.0f} requests/s ({bare[1]:.2f} ms CPU each), "
            f"player's sheet {sheet[0]:.0f} requests/s ({sheet[1]:.2f} ms CPU each)"
        )
    print(f"sheet against bare view: {ratio:.2f}")
    assert ratio >= 0.5


def test_the_first_view_is_light(site):
    """Everything a phone loads for the first screen, as it travels: the page compressed by the front, files by us."""
    sync_api = pytest.importorskip("playwright.sync_api")
    if not CHROMIUM.exists():
        pytest.skip("no Chromium installed")
    cookies = site.sign_in("player")
    sizes: dict[str, int] = {}

    def carry(route) -> None:
        path = route.request.url.split(str(site.port), 1)[1]
        status, headers, content = site.ask("GET", path, cookies, **{"Accept-Encoding": "gzip"})
        packed = content if headers.get("Content-Encoding") else gzip.compress(content, 6)
        plain = gzip.decompress(content) if headers.get("Content-Encoding") == "gzip" else content
        sizes[path] = len(packed) + len(str(headers))
        kind = {"Content-Type": headers["Content-Type"]}
        route.fulfill(status=status, headers=kind, body=plain)

    with sync_api.sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path=str(CHROMIUM), args=["--no-sandbox", "--disable-background-networking"]
        )
        page = browser.new_page(viewport={"width": 360, "height": 740})
        page.route("**/*", carry)
        page.goto(f"http://127.0.0.1:{site.port}/my/week", wait_until="networkidle")
        browser.close()
    for path, size in sizes.items():
        print(f"\n{size:>7} bytes {path}", end="")
    print(f"\nfirst view: {sum(sizes.values()) / 1000:.1f} kB compressed, {len(sizes)} requests")
    assert sum(sizes.values()) < 60_000


@pytest.mark.django_db
def test_a_sheet_takes_at_most_six_queries(client, django_assert_max_num_queries):
    from django.core.cache import cache
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    from playbook import demo
    from playbook.models import User

    demo.load()
    client.force_login(User.objects.get(username="player"))
    cache.clear()
    with CaptureQueriesContext(
        connection,
    ) as asked:
        assert client.get("/my/week").status_code == 200
    print(f"\nafter a start, when the rules are read too: {len(asked)} queries")
    cache.clear()
    for state in ("a sheet not shown before", "a sheet shown before"):
        with django_assert_max_num_queries(6) as asked:
            assert client.get("/my/week").status_code == 200
        print(f"{state}: {len(asked)} queries")


def test_a_changed_rule_is_redrawn_in_under_200_ms(site):
    cookies = site.sign_in("coach")
    _, _, start = site.ask("GET", "/", cookies)
    front = re.search(rb'href="(/systems/front/\d+)', start)[1].decode()
    _, _, page = site.ask("GET", front, cookies)
    edit = re.search(rb'href="([^"]*edit=fits[^"]*)"', page)[1].decode().replace("&amp;", "&")
    _, headers, form = site.ask("GET", edit, cookies)
    cookies |= _cookies(headers)
    text = form.decode()
    inner = text[text.index('id="rule-form"') :]
    inner = inner[: inner.index("</form>")]
    address = re.search(r'hx-post="([^"]*try[^"]*)"', inner)[1]
    fields = dict(re.findall(r'<input[^>]*?name="(\w+)"[^>]*?value="([^"]*)"', inner))
    token = re.search(r"x-csrftoken&quot;: &quot;(\w+)|x-csrftoken\": \"(\w+)", text)
    sent = site.form(next(filter(None, token.groups()))) | {"HX-Request": "true"}
    times = []
    for turn in range(40):
        fields["fit"] = ("box", "open lane")[turn % 2]
        began = time.perf_counter()
        status, _, answer = site.ask("POST", address, cookies, urlencode(fields), **sent)
        times.append((time.perf_counter() - began) * 1000)
        assert status == 200 and b"<svg" in answer and b"Tried, not saved" in answer, answer[:500]
    median = statistics.median(times)
    print(f"\nrule to redrawn look: median {median:.0f} ms, slowest {max(times):.0f} ms")
    assert median < 200


@pytest.mark.django_db
def test_sixty_cards_take_under_three_seconds():
    import typst

    from playbook import demo
    from playbook.exports import documents, typesetting
    from playbook.models import Concept, ExpectedLook, Formation, Week

    demo.load()
    week = Week.objects.exclude(opponent=None).first()
    have = set(week.expected_looks.values_list("formation", "concept"))
    order = week.expected_looks.count()
    for formation in Formation.objects.filter(opponent=None, personnel__in=["11", "10", "12"]):
        for concept in Concept.objects.filter(opponent=None, name__in=["inside-zone", "outside-zone", "power", "duo"]):
            if order < 70 and (formation.pk, concept.pk) not in have:
                ExpectedLook.objects.create(week=week, formation=formation, concept=concept, order=order)
                order += 1
    call = week.menu_calls.first().call.name
    began = time.perf_counter()
    data = documents.collect("cards", week, {"call": call}, lambda: None)
    derived = time.perf_counter()
    pdf = typesetting.make_pdf("cards", data)
    ended = time.perf_counter()
    drawn = len(data["cards"])
    print(
        f"\n{drawn} cards, {len(pdf) / 1000:.0f} kB: {ended - began:.2f} s "
        f"(looks and drawings {derived - began:.2f} s, typesetting {ended - derived:.2f} s; typst {typst.__version__})"
    )
    assert drawn >= 50
    assert (ended - began) / drawn * 60 < 3
