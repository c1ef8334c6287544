"""The week's desk, notes and the search, with the keyboard and on a phone."""

import pytest

from tests.browser.checks import too_wide, violations

TABS = ["", "/menu", "/plan", "/sheets", "/notes", "/quiz", "/grades"]


def the_week(page):
    """Opens the current week from the top of the page, and returns its address."""
    page.goto("/")
    page.locator("a.now").click()
    page.wait_for_selector(".strip")
    return page.url


@pytest.mark.parametrize("size", ["phone", "desktop"])
def test_every_tab_fits_and_axe_finds_nothing(visit, size):
    page = visit("coach", size)
    week, troubles = the_week(page), []
    widths = (360, 768, 1024) if size == "phone" else (1440,)
    for tab in TABS:
        page.goto(week + tab)
        for width in widths:
            page.set_viewport_size({"width": width, "height": 900})
            troubles += [f"{tab} at {width}: {wide}" for wide in [too_wide(page)] if wide]
        troubles += violations(page)
        assert page.locator(".week-tabs [aria-current='page']").count() == 1
    assert troubles == []


def test_a_row_is_changed_in_place_by_keys(visit):
    page = visit("coach")
    page.goto(the_week(page))
    row = page.locator(".week-looks tbody tr").first
    row.locator("summary").focus()
    page.keyboard.press("Enter")
    row.get_by_role("link", name="Edit").focus()
    page.keyboard.press("Enter")
    form = page.locator("tr.editing form")
    form.wait_for()
    page.evaluate("window.same = true")
    form.get_by_label("Share of their runs, per cent").fill("120")
    form.evaluate("form => { form.noValidate = true }")  # so that it is the server that refuses
    form.get_by_role("button", name="Save").press("Enter")
    page.locator("tr.editing .errors").first.wait_for()
    assert page.locator("tr.editing").count() == 1 and violations(page) == []
    page.locator("tr.editing").get_by_label("Share of their runs, per cent").fill("21")
    page.locator("tr.editing").get_by_role("button", name="Save").press("Enter")
    page.wait_for_selector("tr.editing", state="detached")
    assert "21 %" in page.locator(".week-looks tbody tr").first.inner_text()
    assert page.evaluate("window.same"), "not loaded anew"
    assert page.evaluate("document.activeElement.matches('summary')"), "the focus is where it was"


def test_an_entry_is_added_to_a_day_in_place(visit):
    page = visit("coach", "phone")
    page.goto(the_week(page) + "/plan")
    day = page.locator(".day").nth(1)
    day.get_by_role("link", name="Add an entry").tap()
    page.locator(".editing form").wait_for()
    assert too_wide(page) == [] and violations(page) == []
    page.locator(".editing").get_by_label("What", exact=True).fill("Hands, twice")
    page.locator(".editing").get_by_role("button", name="Save").tap()
    page.wait_for_selector(".editing", state="detached")
    assert "Hands, twice" in page.locator(".day").nth(1).inner_text()


@pytest.mark.parametrize("size", ["phone", "desktop"])
def test_coaches_write_to_each_other_on_a_look(visit, size):
    page, other = visit("coach", size), visit("admin")
    text = f"Can he box it on a {size}?"
    page.goto("/looks/")
    notes = page.locator(".panel-notes")
    if notes.get_attribute("open") is None:
        notes.locator("> summary").click()
    page.locator(".notes .write > summary").click()
    page.locator("#note-text-new").fill(text)
    page.locator(".notes .write").get_by_role("button", name="Save").click()
    page.locator(".staff-note", has_text=text).wait_for()
    assert too_wide(page) == [] and violations(page) == []
    other.goto("/")
    other.get_by_role("link", name=text).click()
    note = other.locator(".staff-note", has_text=text)
    assert "new" in note.locator(".said").first.inner_text()
    note.locator("summary", has_text="Answer").click()
    note.get_by_label("Answer", exact=True).fill("He can.")
    note.get_by_role("button", name="Save").click()
    other.locator(".answer-note", has_text="He can.").first.wait_for()
    other.goto("/")
    assert other.get_by_role("link", name=text).count() == 0, "read"
    page.goto("/")
    page.get_by_role("link", name="He can.").first.click()
    mine = page.locator(".staff-note", has_text=text)
    mine.get_by_role("button", name="Delete").first.click()
    page.locator(".notes .note", has_text="You deleted").wait_for()
    assert page.locator(".staff-note", has_text=text).count() == 0
    page.locator(".notes .note").get_by_role("button", name="Undo").first.click()
    page.locator(".staff-note", has_text=text).wait_for()
    assert "He can." in page.locator(".staff-note", has_text=text).inner_text()
    page.locator(".staff-note", has_text=text).get_by_role("button", name="Settled").click()
    page.locator(".settled > summary").wait_for()


def test_the_slash_goes_to_the_search_from_everywhere(visit):
    page = visit("coach")
    for width in (1700, 1440, 768):  # where the bar has no room for the field it opens over it
        page.set_viewport_size({"width": width, "height": 900})
        page.goto("/roster/")
        page.keyboard.press("/")
        page.wait_for_function("() => document.activeElement.id === 'find'")
        assert page.locator("#find").input_value() == "", "the key itself is not typed"
    page.keyboard.type("inside / zone")
    assert page.locator("#find").input_value() == "inside / zone", "typing goes on"
    page.keyboard.press("Enter")
    page.wait_for_url("**/search*")
    page.keyboard.press("/")
    page.wait_for_function("() => document.activeElement.id === 'id_q'")
    page.locator("#id_q").fill("ÍNSIDE z")
    page.get_by_role("link", name="Inside zone", exact=True).first.wait_for()
    page.wait_for_function("() => location.search.includes('q=')")
    assert violations(page) == [] and too_wide(page) == []
    page.get_by_role("link", name="Inside zone", exact=True).first.click()
    page.wait_for_url("**/opponents/run/*")


def test_on_a_phone_there_is_a_link_to_it(visit):
    for role in ("coach", "player"):
        page = visit(role, "phone")
        page.goto("/")
        page.get_by_role("link", name="Search").tap()
        page.wait_for_url("**/search*")
        page.locator("#id_q").fill("week")
        page.locator("#found a").first.wait_for()
        assert too_wide(page) == [] and violations(page) == []


def test_without_scripts_rows_and_notes_work(visit):
    page = visit("coach", java_script_enabled=False)
    week = the_week(page)
    page.locator(".week-looks tbody tr").first.locator("summary").click()
    page.locator(".week-looks tbody tr").first.get_by_role("link", name="Edit").click()
    page.get_by_label("Note").fill("Without a script")
    page.get_by_role("button", name="Save").click()
    assert page.url == week and "Without a script" in page.locator(".week-looks").inner_text()
    page.goto(week + "/notes")
    page.locator(".write > summary").click()
    page.locator("#note-text-new").fill("Written without a script")
    page.locator(".write").get_by_role("button", name="Save").click()
    assert page.url.startswith(week + "/notes") and "Written without a script" in page.locator(".notes").inner_text()
