"""The quiz on a phone: one screen, tapped on the picture, by keys, without script, without motion."""

import pytest

from tests.browser.checks import too_wide, violations

PHONE = {"width": 360, "height": 640}


def phone(visit, **options):
    page = visit("player", "phone", **options)
    page.set_viewport_size(PHONE)
    page.goto("/my/quiz?new")
    return page


def until(page, kind):
    """Goes on until a question of that kind is asked."""
    for _ in range(60):
        page.wait_for_selector("#quiz h1")
        if page.locator("a.send").count():
            page.locator("a.send").click()
            page.wait_for_selector("a.send", state="detached")
        elif page.locator("form.ask").count() == 0:
            page.goto(page.url.split("?")[0] + "?new")
        elif page.locator("input[name=ask]").get_attribute("value") == kind:
            return
        else:
            before = page.locator("input[name=key]").get_attribute("value")
            page.locator(".choice").first.click()
            page.wait_for_function("key => document.querySelector('[name=key]')?.value !== key", arg=before)
    raise AssertionError(f"no question about {kind}")


@pytest.mark.parametrize("kind", ["place", "key", "fit"])
def test_a_question_fits_on_one_screen_and_is_tapped_on_its_picture(visit, kind):
    page = phone(visit)
    until(page, kind)
    top = page.locator("#quiz").bounding_box()["y"]
    end = page.locator(".choices").bounding_box()
    assert end["y"] + end["height"] - top <= PHONE["height"]
    assert too_wide(page) == [] and violations(page) == []
    key = page.locator("input[name=key]").get_attribute("value")
    page.locator(".question-picture [data-man^='c:']").first.click()
    page.wait_for_function("key => document.querySelector('[name=key]')?.value !== key", arg=key)
    assert page.locator(".verdict").count() == 1
    assert page.evaluate("document.activeElement.matches('[data-focus]')")
    assert too_wide(page) == [] and violations(page) == []


def test_the_first_step_moves_by_itself_and_stands_still_for_who_wants_no_motion(visit):
    moved = (
        "() => [...document.querySelectorAll('#quiz .moves[data-man^=\"o:\"]')].some(g => g.getAttribute('transform'))"
    )
    page = phone(visit)
    until(page, "fit")
    page.wait_for_function(moved)
    still = phone(visit, reduced_motion="reduce")
    until(still, "fit")
    still.wait_for_selector(".timeline input", state="visible")
    still.wait_for_timeout(600)
    assert not still.evaluate(moved)
    assert still.locator("#quiz .steps").first.is_visible()
    assert not still.locator("[data-run]").is_visible()


def test_by_keys(visit):
    page = phone(visit)
    until(page, "key")
    page.locator("#quiz h1").focus()
    page.keyboard.press("2")
    assert page.locator(".choice input:checked").get_attribute("data-number") == "2"
    assert page.locator(".question-picture .picked").get_attribute("data-man") == "c:2"
    key = page.locator("input[name=key]").get_attribute("value")
    page.keyboard.press("Enter")
    page.wait_for_function("key => document.querySelector('[name=key]')?.value !== key", arg=key)


def test_without_script(visit):
    page = phone(visit, java_script_enabled=False)
    page.locator(".choice input").first.check()
    page.locator("button.send").click()
    assert page.locator(".verdict").count() == 1
    if page.locator("a.send").count():
        page.locator("a.send").click()
    assert page.locator("form.ask").count() == 1
