"""Every page on paper: no controls, nothing wider than A4, and the main pages on few sheets."""

import re

import pytest

from tests.browser.checks import too_wide
from tests.browser.test_every_page import crawl

A4 = {"width": 710, "height": 1000}  # what is left of 210 mm between the margins, at 96 to an inch
CONTROLS = """() => [...document.querySelectorAll(
    'header a, footer p, main :is(button, textarea, select, input:not([type=checkbox]):not([type=radio]))')]
    .filter(e => e.checkVisibility() && e.getBoundingClientRect().width && !e.closest('.say'))
    .map(e => e.outerHTML.slice(0, 120))"""


@pytest.mark.parametrize("role", ["player", "coach"])
def test_no_controls_and_nothing_cut_off(role, visit):
    page = visit(role)
    troubles, pages = [], 0
    for address in crawl(page):
        pages += 1
        page.emulate_media(media="print")
        page.set_viewport_size(A4)
        troubles += [f"{address} is too wide: {wide}" for wide in [too_wide(page)] if wide]
        troubles += [f"{address} shows {control}" for control in page.evaluate(CONTROLS)[:3]]
        page.emulate_media(media="screen")
    assert troubles == [], f"{len(troubles)} on {pages} pages\n" + "\n".join(troubles)
    assert pages >= {"player": 3, "coach": 40}[role]


@pytest.mark.parametrize(("link", "most"), [("/board/", 1), ("/looks/", 1), ("/roster/", 2)])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_main_pages_take_few_sheets(link, most, paper, visit):
    page = visit("coach")
    page.goto(link)
    page.wait_for_load_state("networkidle")
    pdf = page.pdf(format=paper)
    assert len(re.findall(rb"/Type\s*/Page\b", pdf)) <= most
