"""Every page that links lead to, for each role: at every width, in the light and in the dark; and without scripts."""

import re
from collections import deque
from urllib.parse import urlsplit

import pytest

from tests.browser.checks import too_wide, violations
from tests.browser.conftest import PHONE

LEFT_OUT = re.compile(r"/(export|log-out|api/|documents/(\d+/file|my-week/))|\.(svg|pdf|csv|xlsx|toml)$")
WIDER = (768, 1440)  # the phone's own width comes first
SAME = re.compile(r"\d+|[0-9a-f]{8}-[0-9a-f-]+")

KNOWN: set[str] = set()  # what another role's walk has covered; the admin's walk is for what only he has


def kind(address):
    """Pages whose addresses differ only in numbers or parameters are one kind."""
    return SAME.sub("N", urlsplit(address).path)


# a link in a drawing has its address in another place, as it was written
LINKS = "links => links.map(link => new URL(link.href.baseVal ?? link.href, document.baseURI).href)"


def crawl(page, start="/", most=120, known=()):
    """Yields each kind of page once, loaded; the known kinds are left out."""
    waiting, seen = deque([start]), {kind(start), *known}
    while waiting and len(seen) <= most:
        address = waiting.popleft()
        response = page.goto(address)
        if "text/html" not in response.headers.get("content-type", ""):
            continue
        assert response.status == 200, (address, response.status)
        links = page.eval_on_selector_all("a[href]", LINKS)
        yield address
        for link in links:
            parts = urlsplit(link)
            inner = parts._replace(scheme="", netloc="", fragment="").geturl()
            if parts.netloc == urlsplit(page.url).netloc and not LEFT_OUT.search(inner) and kind(inner) not in seen:
                seen.add(kind(inner))
                waiting.append(inner)


@pytest.mark.parametrize("role", ["", "player", "coach", "admin"])
def test_at_every_width(role, visit):
    page = visit(role, "phone")
    troubles, pages = [], 0
    for address in crawl(page, known=KNOWN if role == "admin" else ()):
        pages += 1
        KNOWN.add(kind(address))
        troubles += [f"{address} is too wide: {wide}" for wide in [too_wide(page)] if wide]
        troubles += violations(page)
        for width in WIDER:
            page.set_viewport_size({"width": width, "height": 900})
            troubles += [f"{address} is too wide at {width}: {wide}" for wide in [too_wide(page)] if wide]
        page.set_viewport_size(PHONE)
    assert troubles == [], f"{len(troubles)} on {pages} pages\n" + "\n".join(troubles)
    assert pages >= {"": 1, "player": 3, "coach": 40, "admin": 5}[role]


def test_without_scripts(visit):
    page = visit("coach", "phone", java_script_enabled=False)
    for address in crawl(page, most=40):
        assert page.locator("h1").count() == 1, address
        assert page.locator("main").inner_text().strip(), address
