"""The main journeys, on a phone and on a desktop."""

import re

import pytest

from tests.browser.checks import too_wide
from tests.browser.conftest import sign_in

SIZES = ["phone", "desktop"]
pytestmark = pytest.mark.parametrize("size", SIZES)


def open_front(page):
    """Opens the demo's front on the page where its rules are changed."""
    page.goto("/")
    page.get_by_text("What is where").click()
    page.locator("main a[href^='/systems/front/']").first.click()
    page.wait_for_selector("#bench")


def edit_last_fit(page):
    """Opens the form of the last fit rule that has a condition; returns its words."""
    section = page.locator("section", has=page.get_by_role("heading", name="He fits")).last
    section.get_by_role("link", name=re.compile("^Edit the rule of")).first.click()
    page.wait_for_selector("#rule-form")


def test_somebody_signs_in_and_out(visit, site, size):
    page = visit("", size)
    page.goto("/")
    page.wait_for_url("**/people/log-in**")
    page.get_by_label("Password").fill("wrong")
    page.locator("input[name=username]").fill("coach")
    page.get_by_role("button", name="Sign in").click()
    assert page.locator(".errors").first.is_visible()
    sign_in(page, site, "coach")
    me = page.locator("details.me summary")
    assert "Corwin Haldmere" in me.inner_text()
    me.click()
    page.get_by_role("button", name="Sign out").click()
    page.goto("/systems/")
    page.wait_for_url("**/people/log-in**")


def test_a_rule_is_changed_and_the_look_redrawn(visit, size):
    page = visit("coach", size)
    open_front(page)
    edit_last_fit(page)
    before = page.locator("#preview svg").first.inner_html()
    fit = page.locator("#rule-form input[name=fit], #rule-form select[name=fit]").first
    when = page.locator("#rule-form input[name=when], #rule-form textarea[name=when]").first
    fit.fill("nowhere at all")
    page.locator("#rule-form .errors p").first.wait_for()
    assert "expected" in page.locator("#rule-form .errors p").first.inner_text().lower()
    when.fill("")
    fit.fill("open lane")
    page.wait_for_selector("#preview >> text=Tried, not saved")
    page.wait_for_selector("#impact h2")
    assert page.locator("#impact p").first.inner_text().strip()
    assert page.locator("#preview svg").first.inner_html() != before
    assert too_wide(page) == []
    page.get_by_role("link", name="Cancel").click()
    page.wait_for_selector("#rule-form", state="detached")


def test_the_second_of_two_coaches_gets_a_conflict(visit, size):
    first, second = visit("coach", size), visit("admin", size)
    for page in (first, second):
        open_front(page)
        edit_last_fit(page)
    for page, words in ((first, f"first on {size}"), (second, f"second on {size}")):
        page.locator("#rule-form [name=say]").fill(words)
    first.locator("#save-rule").click()
    first.wait_for_selector("#rule-form", state="detached")
    second.locator("#save-rule").click()
    second.wait_for_selector("#conflict")
    text = second.locator("#conflict").inner_text()
    assert f"first on {size}" in text and f"second on {size}" in text
    second.get_by_role("link", name="Open the current one").click()
    second.wait_for_selector(f"text=first on {size}")


def test_a_week_is_built(visit, size):
    page = visit("coach", size)
    page.goto("/weeks/")
    page.get_by_role("link", name="Add a week").first.click()
    number = {"phone": "21", "desktop": "22"}[size]
    page.get_by_label("Number").fill(number)
    page.get_by_label(re.compile("^Opponent")).select_option(index=1)
    page.get_by_role("button", name="Save").click()
    page.wait_for_url(re.compile(r"/weeks/\d+$"))
    page.get_by_role("link", name="Add a look").click()
    page.get_by_label(re.compile("^Formation")).select_option(label="Doubles, no tight end")
    page.get_by_label(re.compile("^Concept")).select_option(label="Inside zone")
    page.get_by_role("button", name="Save").click()
    page.wait_for_selector(".week-looks tbody tr")
    page.locator(".week-tabs").get_by_role("link", name=re.compile("^Call menu")).click()
    page.get_by_role("link", name="Add a call").first.click()
    page.get_by_label(re.compile("^Call")).select_option(index=1)
    page.get_by_label(re.compile("^Down")).select_option("3")
    page.get_by_role("button", name="Save").click()
    page.wait_for_selector(".editing", state="detached")
    page.locator(".week-tabs").get_by_role("link", name=re.compile("^Install plan")).click()
    page.get_by_role("link", name="Add a day").first.click()
    page.get_by_label(re.compile("^Label")).fill("Tuesday")
    page.get_by_role("button", name="Save").click()
    page.locator(".day").get_by_role("link", name="Add an entry").first.click()
    page.get_by_label("What", exact=True).fill("Fit the zone at walking pace")
    page.get_by_role("button", name="Save").click()
    page.wait_for_selector("text=Fit the zone at walking pace")
    page.locator(".week-tabs").get_by_role("link", name="Sheets").click()
    page.locator(".sheet-lines a").first.click()
    page.wait_for_selector(".view-card svg")
    assert too_wide(page) == []


def test_a_player_taps_through_his_sheet(visit, size):
    page = visit("player", size)
    page.goto("/")
    page.wait_for_selector(".my-sheet")
    assert too_wide(page) == []
    page.get_by_role("link", name=re.compile("^See it: .* looks")).click()
    for number in (1, 2):
        card = page.locator(f"#card-{number}")
        card.scroll_into_view_if_needed()
        card.locator(".drawing svg").wait_for()
        assert card.locator("h3").inner_text()
    card.locator(".drawing").click()
    page.wait_for_selector("#full[open] svg")
    large = page.locator("#full .drawing")
    before = large.bounding_box()["width"]
    page.get_by_role("button", name="Larger").click()
    assert large.bounding_box()["width"] > before
    page.get_by_role("button", name="▶ Play").wait_for()
    man = page.locator("#full svg .moves[data-man='ball']").first
    page.locator("#full input[type=range]").fill("1.5")
    assert "translate" in man.get_attribute("transform")
    page.keyboard.press("Escape")
    page.wait_for_selector("#full", state="hidden")
    assert page.locator("text=Fit board").count() == 0
    page.locator(".see").get_by_role("link", name="Quiz").click()
    page.locator(".choice").first.click()
    page.wait_for_selector(".verdict")


def test_the_first_screen_of_a_phone_holds_his_job(visit, size):
    page = visit("player", size)
    page.set_viewport_size({"width": 360, "height": 640})
    page.goto("/my/week")
    page.wait_for_selector(".my-sheet")
    for part in (".my-head", ".fix p", ".first h2 >> nth=0", ".first table >> nth=0", ".first h2 >> nth=1",
                 ".first table >> nth=1", ".see"):  # fmt: skip
        box = page.locator(part).first.bounding_box()
        assert box and box["y"] >= 0 and box["y"] + box["height"] <= 640, part
    assert too_wide(page) == []


def test_another_players_pages_are_not_there(visit, size):
    page = visit("player", size)
    for address in ("/weeks/", "/systems/", "/board/", "/looks/", "/people/", "/documents/", "/scouting/", "/roster/"):
        assert page.goto(address).status == 404


def test_from_the_board_to_a_look_and_what_if(visit, size):
    page = visit("coach", size)
    page.goto("/board/")
    page.locator(".heat .cell").first.click()
    page.get_by_role("link", name="Open on the desk").click()
    page.wait_for_selector("#look figure svg:visible")
    assert too_wide(page) == []
    before = page.locator("#look figure svg").first.inner_html()
    page.get_by_label("Ball on").select_option("left")
    page.wait_for_function("old => document.querySelector('#look figure svg').innerHTML !== old", arg=before)
    page.locator("summary", has_text="First steps").click()
    moved = page.locator("#look figure svg").first.inner_html()
    step = page.locator("select[name^=step-]").first
    options = step.locator("option").all_inner_texts()
    step.select_option(next(o for o in options[1:] if o != options[0]))
    page.wait_for_function("old => document.querySelector('#look figure svg').innerHTML !== old", arg=moved)
    assert page.locator("#look .men-list").is_visible()


def test_an_admin_makes_a_pdf_and_downloads_it(visit, size, tmp_path):
    page = visit("admin", size)
    page.goto("/documents/")
    page.get_by_role("button", name="Make the PDF").first.click()
    page.wait_for_selector("text=Download the PDF")
    with page.expect_download() as waiting:
        page.get_by_role("link", name="Download the PDF").click()
    path = tmp_path / "made.pdf"
    waiting.value.save_as(path)
    content = path.read_bytes()
    assert content.startswith(b"%PDF-") and len(content) > 10_000
