"""Makes the README's pictures of a running demo: `manage.py demo` in one window, then in another

python3 -m uv run python tests/browser/pictures.py http://127.0.0.1:8000
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

PASSWORD = "gap-sound-demo"
HERE = Path(__file__).parent / "pictures"
DESKTOP, PHONE = {"width": 1440, "height": 900}, {"width": 360, "height": 740}


def main(address: str) -> None:
    """Writes desk.png, board.png and phone.png beside this file."""
    HERE.mkdir(exist_ok=True)
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox", "--disable-gpu"])
        _take(browser, address, "coach", DESKTOP, {"board": "/board/", "desk": "/looks/"})
        _take(browser, address, "player", PHONE, {"phone": "/my/week"})
        browser.close()


def _take(browser: Browser, address: str, who: str, size: dict[str, int], pages: dict[str, str]) -> None:
    page = browser.new_page(viewport=size, base_url=address)
    page.goto("/people/log-in")
    page.locator("input[name=username]").fill(who)
    page.locator("input[name=password]").fill(PASSWORD)
    page.locator("input[name=password]").press("Enter")
    page.wait_for_url(re.compile(r"^https?://[^/]+/(my/week)?$"))
    for name, path in pages.items():
        page.goto(path)
        page.wait_for_load_state("networkidle")
        page.screenshot(path=HERE / f"{name}.png")
    page.close()


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else "http://127.0.0.1:8000")
