"""A page that was open when the coaches changed or withdrew what it shows, in a real browser."""

import re

import pytest

from tests.browser.checks import too_wide

pytestmark = pytest.mark.parametrize("size", ["phone", "desktop"])
STATUS = "async address => (await fetch(address, {cache: 'no-store'})).status"


def open_sheet(page):
    """Opens the player's sheet; returns the addresses of its pictures."""
    page.goto("/my/week")
    page.wait_for_selector(".view-card")
    return page.locator("a.drawing").evaluate_all("all => all.map(link => link.href)")


def week_address(page):
    """Returns the number of the week that the player's sheet shows."""
    return re.search(r"/week/(\d+)/news", page.locator("#news").get_attribute("hx-get"))[1]


def set_note(coach, week, words):
    """Writes a note on the week's first look."""
    coach.goto(f"/weeks/{week}")
    coach.goto(coach.locator("#looks a[href$='/edit']").first.get_attribute("href"))
    coach.get_by_label("Note").fill(words)
    coach.get_by_role("button", name="Save").click()
    coach.wait_for_url(re.compile(r"/weeks/\d+$"))


def press(coach, week, button):
    """Presses a button in the week's head."""
    coach.goto(f"/weeks/{week}")
    coach.get_by_role("button", name=button).click()
    coach.wait_for_selector(".message")


def published_anew(phone, before):
    """Waits until a worker has made what was published, and shows it."""
    for _ in range(60):
        try:
            now = open_sheet(phone)
        except Exception:
            now = before
        if now != before:
            return now
        phone.wait_for_timeout(500)
    raise AssertionError("nothing was published")


def test_what_is_edited_is_seen_when_it_is_published(visit, size):
    phone, coach = visit("player", size), visit("coach", "desktop")
    before = open_sheet(phone)
    week = week_address(phone)
    set_note(coach, week, f"Watch the guard ({size}).")
    assert open_sheet(phone) == before
    assert f"Watch the guard ({size})." not in phone.locator(".view-cards").inner_text()
    press(coach, week, re.compile("^Publish"))
    published_anew(phone, before)
    assert f"Watch the guard ({size})." in phone.locator(".view-cards").inner_text()
    assert phone.locator(".view-card.changed").count() >= 1
    assert {phone.evaluate(STATUS, address) for address in open_sheet(phone)} == {200}
    set_note(coach, week, "")


def test_a_withdrawn_week_says_so_also_after_going_back(visit, size):
    phone, coach = visit("player", size), visit("coach", "desktop")
    drawings = open_sheet(phone)
    week = week_address(phone)
    title = phone.locator(".my-head .over").inner_text().split(" · ")[0]  # the opponent
    phone.goto("/my/quiz")
    phone.wait_for_selector("#quiz fieldset")
    press(coach, week, "Withdraw")
    try:
        phone.locator(".choice").first.click()
        phone.wait_for_selector("#quiz.withdrawn")
        assert f"{title} was withdrawn." in phone.locator("#quiz").inner_text()
        phone.go_back()
        phone.wait_for_selector("text=was withdrawn")
        assert phone.locator(".view-card").count() == 0
        assert {phone.evaluate(STATUS, address) for address in drawings} == {404}
        phone.goto("/")
        assert f"{title} was withdrawn." in phone.locator("main").inner_text()
        assert too_wide(phone) == []
    finally:
        press(coach, week, re.compile("^Publish"))
    assert len(published_anew(phone, drawings)) == len(drawings)
