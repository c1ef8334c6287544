"""A run is written on the drawing: a man is touched, what he does is chosen from pictures, and it is redrawn."""

import re

import pytest

from tests.browser.checks import too_wide, violations


@pytest.mark.parametrize("size", ["phone", "desktop"])
def test_a_man_gets_another_job_and_the_run_is_saved(visit, size):
    page = visit("coach", size)
    page.goto("/opponents/")
    page.locator("main a[href^='/opponents/']", has_text="Ostrand").first.click()
    page.get_by_role("link", name="Write a run").click()
    page.get_by_role("link", name=re.compile("^Power$", re.IGNORECASE)).first.click()
    page.wait_for_selector("#run .picks")
    assert too_wide(page) == []
    page.locator("#pick-RG").click()
    page.wait_for_selector("#run[data-man=RG]")
    if size == "desktop":
        page.locator("#run .wide-form [data-man='o:LT'] text").first.click()
    else:
        page.locator("#pick-LT").click()
    page.wait_for_selector("#run[data-man=LT] .picked", state="attached")
    before = page.locator("#concept-preview svg").first.inner_html()
    page.locator(".his-job label", has_text=re.compile("^base$")).click()
    page.wait_for_function("old => document.querySelector('#concept-preview svg').innerHTML !== old", arg=before)
    assert page.locator(".his-job input:checked").get_attribute("value") == "base"
    assert violations(page) == []
    page.locator("summary", has_text="as a table").click()
    for field in page.locator("#concept-form input[name=label], #concept-form input[name=name]").all():
        field.evaluate("(field, words) => { field.value = words; }", f"power-{size}")
    page.get_by_role("button", name="Save the run").first.click()
    page.wait_for_selector("text=is saved")
    page.wait_for_selector("#run[data-man=LT]")
    assert page.locator(".his-job input:checked").get_attribute("value") == "base"


def test_with_keys_alone_and_a_man_without_a_job(visit):
    page = visit("coach")
    page.goto("/opponents/run/add?copy=0")
    page.wait_for_selector("#run .picks")
    assert page.locator(".note.warning", has_text="Has no job yet").count() == 1
    idle = page.locator("#run .men-pick .no-job").count()
    name = page.locator(".his-job h2").inner_text()
    page.locator(".his-job input[type=radio]").first.focus()
    page.keyboard.press("Space")
    page.wait_for_function("was => document.querySelectorAll('#run .men-pick .no-job').length < was", arg=idle)
    assert page.locator(".his-job h2").inner_text() == name, "he stays, to be looked at"
    assert page.evaluate("document.activeElement.type") == "radio", "and the keys stay where they were"
