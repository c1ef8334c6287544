"""The board without a mouse, and on a phone."""

from tests.browser.checks import too_wide, violations


def test_the_grid_is_one_stop_and_keys_do_the_rest(visit):
    page = visit("coach")
    page.goto("/board/")
    cell = "document.activeElement.closest('td')"
    assert page.locator(".heat .cell[tabindex='0']").count() == 1
    page.locator(".heat .cell[tabindex='0']").focus()
    for key in ("ArrowDown", "ArrowRight", "ArrowDown", "ArrowUp"):
        page.keyboard.press(key)
    assert page.evaluate(f"[{cell}.parentElement.sectionRowIndex, {cell}.cellIndex]") == [1, 3]
    page.keyboard.press("Enter")
    page.wait_for_selector("#panel h2")
    assert "open=" in page.url
    assert violations(page) == []
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Enter")
    page.wait_for_function("() => document.querySelector('.heat .cell[aria-current]').parentElement.cellIndex === 2")
    page.keyboard.press("Escape")
    assert page.locator("#panel h2").count() == 0 and "open=" not in page.url
    assert page.evaluate(f"{cell}.cellIndex") == 2, "the focus stays where it was"
    rows = page.locator(".heat tbody tr").count()
    page.keyboard.press("x")
    page.wait_for_function(f"() => document.querySelectorAll('.heat tbody tr').length === {rows - 1}")
    columns = page.locator(".heat thead th").count()
    page.wait_for_function("() => document.activeElement.matches('.heat .cell')")
    page.keyboard.press("X")
    page.wait_for_function(f"() => document.querySelectorAll('.heat thead th').length === {columns - 1}")
    page.reload()
    assert page.locator(".heat tbody tr").count() == rows - 1, "the address keeps it"
    page.locator("summary", has_text="Put away").click()
    page.get_by_role("link", name="Show all").click()
    page.wait_for_function(f"() => document.querySelectorAll('.heat tbody tr').length === {rows}")


def test_on_a_phone_the_panel_comes_into_view(visit):
    page = visit("coach", "phone")
    page.goto("/board/")
    assert too_wide(page) == []
    page.locator(".heat .cell").first.tap()
    page.wait_for_selector("#panel h2")
    page.wait_for_function("() => document.getElementById('panel').getBoundingClientRect().top < innerHeight / 2")
    assert too_wide(page) == []
    page.get_by_role("link", name="Open on the desk").click()
    page.wait_for_selector("#look .verdict")
