"""A front's rules by position: a man is touched on the drawing, his rules are moved by keys and by dragging."""

import re

import pytest

from tests.browser.checks import too_wide, violations


def open_front(page):
    page.goto("/")
    page.locator("summary", has_text="What is where").click()
    page.locator("main a[href^='/systems/front/']").first.click()
    page.wait_for_selector("#knows .ladder")


def sentences(page):
    return page.locator("section[aria-labelledby=title-fits] .then").all_inner_texts()


def test_a_man_is_touched_and_his_rules_and_ladder_come(visit):
    page = visit("coach")
    open_front(page)
    name = page.locator("h1").inner_text()
    page.locator(".pick-man a[aria-label=W]").click()
    page.wait_for_function("was => document.querySelector('h1').innerText !== was", arg=name)
    assert re.search(r"man=W\b", page.url) and ": W" in page.locator("h1").inner_text()
    page.wait_for_selector("#knows .ladder")
    assert violations(page) == []
    page.locator(".men-pick a", has_text="N").first.focus()
    page.keyboard.press("Enter")
    page.wait_for_function("() => /: N/.test(document.querySelector('h1').innerText)")
    assert page.evaluate("document.activeElement.innerText") == "N", "the focus stays in the row"


def test_rules_move_by_keys_and_by_dragging_and_come_back(visit):
    page = visit("coach")
    open_front(page)
    before = sentences(page)
    handles = page.locator("section[aria-labelledby=title-fits] .handle")
    handles.nth(1).focus()
    page.keyboard.press("ArrowUp")
    page.wait_for_function(
        "first => document.querySelector('section[aria-labelledby=title-fits] .then').innerText === first",
        arg=before[1],
    )
    assert sentences(page)[:2] == [before[1], before[0]]
    assert page.evaluate("document.activeElement.className") == "handle", "and it can be moved on"
    page.keyboard.press("ArrowDown")
    page.wait_for_function(
        "first => document.querySelector('section[aria-labelledby=title-fits] .then').innerText === first",
        arg=before[0],
    )
    with page.expect_response(lambda answer: answer.request.method == "POST"):
        handles.nth(0).drag_to(
            page.locator("section[aria-labelledby=title-fits] li").nth(2), target_position={"x": 60, "y": 44}
        )
    page.wait_for_function(
        "first => document.querySelector('section[aria-labelledby=title-fits] .then').innerText === first",
        arg=before[1],
    )
    page.reload()
    after = sentences(page)
    assert after[0] == before[1] and sorted(after) == sorted(before)
    place = after.index(before[0])
    for _ in range(place):
        handles.nth(place).focus()
        page.keyboard.press("ArrowUp")
        place -= 1
        page.wait_for_function(
            "([at, words]) => document.querySelectorAll('[aria-labelledby=title-fits] .then')[at].innerText === words",
            arg=[place, before[0]],
        )
    assert sentences(page) == before


@pytest.mark.parametrize("size", ["phone", "desktop"])
def test_buttons_are_where_the_pointer_or_the_focus_is(visit, size):
    page = visit("coach", size)
    open_front(page)
    assert too_wide(page) == []
    tools = page.locator(".sentences .tools").first
    seen = "tools => getComputedStyle(tools).opacity"
    assert tools.evaluate(seen) == ("1" if size == "phone" else "0")
    page.locator(".sentences .handle").first.focus()
    assert tools.evaluate(seen) == "1"
