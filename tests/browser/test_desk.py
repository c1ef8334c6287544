"""The desk: looks switched in place, men touched, a look run, on a phone and on a desktop."""

import pytest

from tests.browser.checks import too_wide, violations

SIZES = ["phone", "desktop"]
SHOWN = "#look figure svg:visible"


def open_desk(visit, size, **options):
    page = visit("coach", size, **options)
    page.goto("/looks/")
    page.wait_for_selector("form[data-play]:not([hidden])")
    return page


@pytest.mark.parametrize("size", SIZES)
def test_a_switched_word_redraws_in_place_and_is_in_the_address(visit, size):
    page = open_desk(visit, size)
    assert too_wide(page) == []
    page.evaluate("window.same = true")
    before, title = page.url, page.title()
    run = page.locator("#say-concept")
    name = "power" if "power" not in title.lower() else "counter"
    run.select_option(run.evaluate("(s, w) => [...s.options].find(o => o.text.toLowerCase() === w).value", name))
    page.wait_for_function("url => location.href !== url", arg=before)
    page.wait_for_function("old => document.title !== old", arg=title)
    assert name in page.title().lower() and page.evaluate("window.same"), "not loaded anew"
    page.reload()
    assert page.locator("#say-concept").evaluate("s => s.selectedOptions[0].text").lower() == name
    page.go_back()
    page.wait_for_function("url => location.href === url", arg=before)


def test_the_drawing_is_the_largest_thing(visit):
    page = open_desk(visit, "desktop")
    assert page.locator(SHOWN).first.bounding_box()["width"] >= 760


def test_the_arrow_keys_go_through_the_looks_of_the_week(visit):
    page = open_desk(visit, "desktop")
    links = page.locator("[data-ribbon] a[id]")
    wide = [links.nth(n).bounding_box()["width"] for n in range(2)]
    assert wide[0] > wide[1], "the heavier look is wider"
    first, second = links.nth(0).get_attribute("id"), links.nth(1).get_attribute("id")
    page.keyboard.press("ArrowRight")
    page.wait_for_selector(f"#{second}[aria-current]")
    page.keyboard.press("ArrowLeft")
    page.wait_for_selector(f"#{first}[aria-current]")


@pytest.mark.parametrize("size", SIZES)
def test_a_man_touched_on_the_drawing_is_seen_with_his_eyes(visit, size):
    page = open_desk(visit, size)
    page.locator(f"{SHOWN} >> [data-man='d:M'].moves").first.click()
    page.wait_for_selector(".one-man")
    assert "role=M" in page.url
    page.get_by_role("link", name="All men").click()
    page.wait_for_selector(".one-man", state="detached")


@pytest.mark.parametrize("size", SIZES)
def test_a_look_runs_by_slider_and_by_itself(visit, size):
    page = open_desk(visit, size)
    back = page.locator(f"{SHOWN} >> [data-man='o:T'].moves").first
    slider = page.get_by_label("Seconds after the snap")
    assert back.get_attribute("transform") is None and page.locator(f"{SHOWN} >> .blocks").first.is_visible()
    slider.fill("1.5")
    assert page.locator(".timeline output").inner_text() == "1.5 s"
    there = back.get_attribute("transform")
    assert there and not page.locator(f"{SHOWN} >> .blocks").first.is_visible(), "lines are for the still picture"
    slider.fill("0")
    assert page.locator(f"{SHOWN} >> .blocks").first.is_visible()
    page.get_by_role("button", name="Play").click()
    page.wait_for_function("() => Number(document.querySelector('form[data-play] input').value) > 0.3")
    page.get_by_role("button", name="Stop").click()
    held = slider.input_value()
    page.wait_for_timeout(300)
    assert slider.input_value() == held and page.get_by_role("button", name="Play").is_visible()


def test_where_motion_is_unwanted_only_the_slider_stays(visit):
    page = open_desk(visit, "desktop", reduced_motion="reduce")
    assert page.get_by_role("button", name="Play").count() == 0
    page.get_by_label("Seconds after the snap").fill("1")
    assert page.locator(".timeline output").inner_text() == "1.0 s"


def test_on_paper_there_are_three_frames_and_no_controls(visit):
    page = open_desk(visit, "desktop")
    page.emulate_media(media="print")
    page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    assert page.locator(".frames figure svg").count() == 3 and page.locator(".frames svg").first.is_visible()
    assert not page.locator(".timeline").is_visible() and not page.locator("[data-ribbon]").is_visible()
    ids = page.evaluate("[...document.querySelectorAll('[id]')].map(e => e.id)")
    assert len(ids) == len(set(ids))
    page.evaluate("window.dispatchEvent(new Event('afterprint'))")
    assert page.locator(".frames figure").count() == 0


@pytest.mark.parametrize("size", SIZES)
def test_it_can_be_used_with_any_help(visit, size):
    page = open_desk(visit, size)
    assert violations(page) == []


def test_the_meeting_view_reveals_a_look_in_steps_and_goes_on_to_the_next(visit):
    page = open_desk(visit, "desktop")
    page.keyboard.press("m")
    page.wait_for_selector(".meeting[data-step='1']")

    def shown(layer):
        return page.locator(f".large-form .{layer}").first.evaluate("e => getComputedStyle(e).display !== 'none'")

    heading, first = page.locator(".meeting h1"), page.url
    assert not shown("alignment") and " from " not in heading.inner_text()
    page.keyboard.press("ArrowRight")
    assert shown("alignment") and not shown("steps") and page.locator(".call b").is_visible()
    page.keyboard.press(" ")
    assert shown("steps") and not shown("fits") and " from " in heading.inner_text()
    page.keyboard.press("ArrowRight")
    assert shown("fits")
    page.keyboard.press("ArrowRight")
    page.wait_for_function("old => location.href !== old", arg=first)
    assert page.locator(".meeting").get_attribute("data-step") == "1"
    page.keyboard.press("ArrowLeft")
    page.wait_for_function("old => location.href === old", arg=first)
    assert page.locator(".meeting").get_attribute("data-step") == "4"
    ground = "getComputedStyle(document.querySelector('.meeting')).backgroundColor"
    assert page.evaluate(ground) == "rgb(255, 255, 255)"
    page.keyboard.press("b")
    assert page.evaluate(ground) == "rgb(0, 0, 0)"
    assert page.evaluate("document.documentElement.scrollHeight <= innerHeight"), "nothing to scroll"
    page.keyboard.press("Escape")
    page.wait_for_selector("#look")


@pytest.mark.parametrize("size", SIZES)
def test_the_meeting_view_and_two_looks_can_be_used_with_any_help(visit, size):
    page = open_desk(visit, size)
    for link in ("Meeting view", "Compare"):
        page.goto("/looks/")
        page.get_by_role("link", name=link).click()
        page.wait_for_selector(".meeting, .compare")
        assert violations(page) == [] and too_wide(page) == []


def test_a_rule_is_changed_where_the_man_is_touched(visit):
    page = open_desk(visit, "desktop")
    page.locator(f"{SHOWN} >> [data-man='d:M'].moves").first.click()
    page.wait_for_selector(".one-man .ladder")
    page.locator(".one-man .fires").hover()
    page.locator(".one-man .fires .tool").click()
    page.locator("#rule-form #id_fit").fill("A gap")
    page.wait_for_selector("#preview .changed-looks, #preview #impact p:not(.quiet)")
    assert "Tried, not saved" in page.locator("#preview").inner_text()
    page.get_by_role("link", name="Cancel").click()
    page.wait_for_selector("#rule-form", state="detached")
    assert "role=M" in page.url


def test_a_man_dragged_gets_a_rule_proposed_and_tried(visit):
    page = open_desk(visit, "desktop")
    box = page.locator(f"{SHOWN} >> [data-man='d:M'].moves").first.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 10, y - 20, steps=4)
    page.mouse.move(x + 30, y - 50, steps=4)
    page.mouse.up()
    page.wait_for_selector("#rule-form #id_at")
    page.wait_for_selector("#pair svg")
    assert page.locator("#placed h2").inner_text() == "M lines up here"
    assert page.locator("#rule-form #id_at").input_value() in page.locator("#placed p[role=status]").first.inner_text()
    page.get_by_role("link", name="Put him back").click()
    page.wait_for_selector("#placed h2", state="detached")
