"""A page that was open when the coaches changed or withdrew what it shows, in a real browser."""

import re

import pytest

from tests.browser.checks import too_wide

pytestmark = pytest.mark.parametrize("size", ["phone", "desktop"])
SHOWN = "image => image.complete && image.naturalWidth > 0"
STATUS = "async address => (await fetch(address, {cache: 'no-store'})).status"


def open_sheet(page):
    """Opens the player's sheet; returns the addresses of its drawings."""
    page.goto("/my/week")
    page.wait_for_selector(".look-card")
    return page.locator(".look-card img.play").evaluate_all("all => all.map(image => image.src)")


def week_address(page):
    """Returns the number of the week that the player's sheet shows."""
    return re.search(r"/week/(\d+)/drawing/", page.locator("img.play").first.get_attribute("src"))[1]


def set_note(coach, week, words):
    """Writes a note on the week's first look."""
    coach.goto(f"/weeks/{week}")
    coach.goto(coach.locator("#looks a[href$='/edit']").first.get_attribute("href"))
    coach.get_by_label("Note").fill(words)
    coach.get_by_role("button", name="Save").click()
    coach.wait_for_url(re.compile(r"/weeks/\d+$"))


def set_released(coach, week, button):
    """Presses a button in the week's head."""
    coach.goto(f"/weeks/{week}")
    coach.get_by_role("button", name=button).click()
    coach.wait_for_selector(".message")


def test_a_drawing_of_a_changed_look_is_refused_in_the_picture(visit, size):
    phone, coach = visit("player", size), visit("coach", "desktop")
    phone.route("**/drawing/**", lambda route: route.fulfill(status=404))  # no signal yet for the pictures
    drawings = open_sheet(phone)
    phone.unroute("**/drawing/**")
    assert len(set(drawings)) == len(drawings) > 3
    set_note(coach, week_address(phone), f"Watch the guard ({size}).")
    answers = {address: phone.evaluate(STATUS, address) for address in drawings}
    stale = [address for address, status in answers.items() if status == 410]
    assert stale and len(stale) < len(drawings)
    with phone.expect_response(stale[0]) as answer:  # the page that is still open asks for it now
        image = phone.evaluate_handle("address => [...document.images].find(image => image.src === address)", stale[0])
        image.evaluate("image => { image.loading = 'eager'; image.src = image.src; }")
    assert answer.value.status == 410
    phone.wait_for_function(SHOWN, arg=image)  # browsers show it though it comes with a refusal
    fresh = open_sheet(phone)
    assert f"Watch the guard ({size})." in phone.locator(".cards").inner_text()
    assert not set(stale) & set(fresh)
    assert {phone.evaluate(STATUS, address) for address in fresh} == {200}
    set_note(coach, week_address(phone), "")


def test_a_withdrawn_week_says_so_also_after_going_back(visit, size):
    phone, coach = visit("player", size), visit("coach", "desktop")
    drawings = open_sheet(phone)
    week = week_address(phone)
    title = phone.locator(".my-head .over").inner_text().split(" · ")[0]
    phone.goto("/my/quiz")
    phone.wait_for_selector("#quiz fieldset")
    set_released(coach, week, "Withdraw from players")
    try:
        phone.locator(".choice").first.click()
        phone.wait_for_selector("#quiz.withdrawn")
        assert f"{title} was withdrawn." in phone.locator("#quiz").inner_text()
        phone.go_back()
        phone.wait_for_selector("text=was withdrawn")
        assert phone.locator(".look-card").count() == 0
        assert {phone.evaluate(STATUS, address) for address in drawings} == {410}
        phone.goto("/")
        assert f"{title} was withdrawn." in phone.locator("main").inner_text()
        assert too_wide(phone) == []
    finally:
        set_released(coach, week, "Release to players")
    assert open_sheet(phone) == drawings
