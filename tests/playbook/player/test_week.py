"""My week: the player's own sheet as it was published and nothing else, in few queries and few bytes."""

import gzip
import re
from datetime import timedelta
from pathlib import Path

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from playbook.models import FitGrade, FitRule, PublishedPicture, SheetOpening
from playbook.publishing import services
from tests.playbook.week.made import LOOKS, make_week, put_at

pytestmark = pytest.mark.django_db
WEEK = "player:week"
MANY = [
    (formation, concept)
    for formation in ("10-doubles", "11-doubles", "11-trips")
    for concept in ("inside-zone", "power", "counter", "outside-zone")
]


def body(client, **query):
    answer = client.get(reverse(WEEK), query)
    assert answer.status_code == 200
    return answer.content.decode()


def pictures(page):
    return re.findall(r'<a class="drawing" href="([^"]+)"', page)


def test_the_first_screen_says_where_he_lines_up_whom_he_reads_and_his_ladder(as_player, backer):
    make_week(released=True)
    page = body(as_player)
    first = page[page.index('class="first"') : page.index('class="see"')]
    assert "Line up" in first and "deep" in first
    assert "Read the guard" in first or "guard" in first
    rows = re.findall(r'<tr><th scope="row">(.*?)</th><td><b>(.*?)</b>', first[first.index("If…") :])
    assert 2 <= len(rows) <= 5
    assert not re.search(r"\b(RG|LG|RT|LT)\b", first), "men are said as a player says them"
    shares = [int(share) for share in re.findall(r'class="sh">(\d+) %', first)]
    assert len(shares) == len(rows) and shares == sorted(shares, reverse=True) and 97 <= sum(shares) <= 103


def test_one_card_for_each_picture_and_every_look_is_on_one(as_player, backer):
    week = make_week(released=True, pairs=MANY)
    page = body(as_player)
    cards = page.count('id="card-')
    assert 1 < cards < len(MANY), "what is the same to him is one card"
    content = week.publications.get().sheets.get(role="M").content
    listed = {(look["title"], look["setting"]) for card in content["plans"][0]["pictures"] for look in card["looks"]}
    assert len(listed) == len(MANY)
    assert "Never lead with the crown of the helmet" in page


def test_a_corner_is_told_what_he_has_to_do_once(as_player, player):
    put_at(player.player, "CB")
    make_week(released=True, pairs=MANY)
    page = body(as_player)
    assert page.count('id="card-') <= 3
    assert "Pass: " in page and "Run: " in page and "pass first, no gap" not in page.lower()


def test_a_published_sheet_does_not_change_when_a_rule_is_edited(as_player, backer):
    week = make_week(released=True)
    before = body(as_player)
    FitRule.objects.filter(front__system=week.system, who="M").update(say="A sentence that nobody published")
    assert "A sentence that nobody published" not in body(as_player)
    assert without_time(body(as_player)) == without_time(before)


def without_time(page):
    return re.sub(r'<p class="whose">.*?</p>|csrf\w+|value="\w{64}"|"x-csrftoken": "\w+"', "", page)


def test_a_newer_one_marks_what_changed_with_before_and_after(as_player, backer):
    week = make_week(released=True)
    assert "Changed." not in body(as_player)
    rule = FitRule.objects.filter(front__system=week.system, who="M").exclude(say="")
    old = list(rule.values_list("say", flat=True))
    rule.update(say="go through the door")
    services.publish(week)
    page = body(as_player)
    changed = page[page.index('class="was"') :]
    assert "Go through the door" in page and "Changed." in changed and "Before: " in changed
    assert any(say.partition(": ")[2][1:].split(",")[0] in changed for say in old if ": " in say)


def test_an_open_phone_is_told_of_a_newer_one_and_of_a_withdrawal(as_player, backer):
    week = make_week(released=True)
    page = body(as_player)
    (address,) = re.findall(r'id="news"[^>]*hx-get="([^"]+)"', page)
    address = address.replace("&amp;", "&")
    ask = {"HTTP_HX_REQUEST": "true"}
    assert as_player.get(address, **ask).status_code == 204
    assert "HX-Refresh" not in as_player.get(address, **ask)
    services.publish(week)
    assert "published this week again" in as_player.get(address, **ask).content.decode()
    week.refresh_from_db()
    services.withdraw(week, week.version)
    assert as_player.get(address, **ask)["HX-Refresh"] == "true"


def test_only_the_group_it_was_published_to_sees_it(as_player, backer):
    week = make_week()
    services.publish(week, group="line")
    assert "have not published" in body(as_player)
    services.publish(week, group="linebacker")
    assert 'id="card-1"' in body(as_player)


def test_a_player_sees_only_his_positions(client, as_player, backer):
    week = make_week(released=True)
    assert as_player.get(reverse(WEEK), {"as": "left CB"}).status_code == 404
    mine = as_player.get(pictures(body(as_player))[0])
    assert mine.status_code == 200 and b"<svg" in mine.content
    assert "private" in mine["Cache-Control"] and "max-age" in mine["Cache-Control"]
    other = PublishedPicture.objects.filter(publication__week=week, position="CB").first()
    for name in ("player:picture", "player:steps"):
        assert as_player.get(reverse(name, args=[other.publication_id, other.state])).status_code == 404
        assert as_player.get(reverse(name, args=[other.publication_id, "abc"])).status_code == 404


def test_of_a_withdrawn_week_no_picture_is_shown_to_players(as_player, backer):
    week = make_week(released=True)
    address = pictures(body(as_player))[0]
    week.refresh_from_db()
    services.withdraw(week, week.version)
    assert as_player.get(address).status_code == 404


def test_a_picture_plays_in_steps(as_player, backer):
    make_week(released=True)
    address = pictures(body(as_player))[0]
    as_player.get(address)
    told = as_player.get(address + "/steps").json()
    assert [mark["text"] for mark in told["marks"]][-3:] == ["first step", "read", "fit"]
    assert "d:M" in told["forms"]["view"] and "ball" in told["forms"]["view"]


def test_a_picture_of_what_was_edited_before_it_was_drawn_is_not_drawn(as_player, backer):
    week = services.publish(make_week()).week
    FitRule.objects.filter(front__system=week.system, who="M").update(fit="open lane", say="Elsewhere")
    page = body(as_player)
    assert "<svg" not in page and "Elsewhere" not in page
    assert "could not be kept" in as_player.get(pictures(page)[0]).content.decode()


def test_the_workers_pictures_are_those_of_the_page(backer, as_player):
    made = services.publish(make_week())
    week = made.week
    services.draw(made, made.pictures.filter(role="M"))
    FitRule.objects.filter(front__system=week.system, who="M").update(say="Elsewhere")
    for address in pictures(body(as_player)):
        assert b"<svg" in as_player.get(address).content


def test_no_text_of_a_picture_is_under_twelve_pixels(as_player, backer):
    make_week(released=True)
    page = as_player.get(pictures(body(as_player))[0]).content.decode()
    sizes = [float(size) for size in re.findall(r'font-size="([\d.]+)"', page)]
    assert sizes and min(sizes) >= 12 and 'viewBox="0 0 360 ' in page


def test_a_week_that_is_not_published_is_not_there(as_player, backer):
    week = make_week()
    assert "No week is published yet" in body(as_player)
    assert as_player.get(reverse("player:week-of", args=[week.pk])).status_code == 404
    assert as_player.get(reverse("player:news", args=[week.pk]))["HX-Refresh"] == "true"


def test_a_player_without_a_position_is_told_so(as_player):
    make_week(released=True)
    assert "no position" in body(as_player)


def test_this_weeks_game_comes_first_then_the_last_one(as_player, backer):
    today = timezone.localdate()
    make_week(1, released=True, game_on=today - timedelta(days=2), pairs=LOOKS[:1])
    make_week(2, released=True, game_on=today + timedelta(days=5), pairs=LOOKS[:1])
    make_week(3, released=True, game_on=today + timedelta(days=12), pairs=LOOKS[:1])
    page = body(as_player)
    assert "Opponent 2" in page[: page.index('id="cards"')]
    assert "Other weeks" in page


def test_a_player_of_two_positions_chooses(as_player, player):
    put_at(player.player, "E", "N")
    make_week(released=True)
    page = body(as_player)
    for role in ("left E", "right E", "N"):
        assert f">{role}</a>" in page
    assert "Nose" in body(as_player, **{"as": "N"})
    opened = SheetOpening.objects.filter(player=player.player).values_list("role", flat=True)
    assert sorted(opened) == ["N", "left E"], "what he opened is kept by position"


def test_few_queries_however_many_cards(as_player, backer):
    def count(number, pairs):
        make_week(number, released=True, pairs=pairs)
        body(as_player)
        with CaptureQueriesContext(connection) as found:
            body(as_player)
        return len(found)

    few, many = count(1, LOOKS[:1]), count(2, MANY)
    assert few == many <= 11


def test_the_first_view_with_its_first_drawings_is_light(as_player, backer):
    make_week(released=True, pairs=MANY)
    page = as_player.get(reverse(WEEK)).content
    assert page.count(b"<svg") == 1
    second = as_player.get(pictures(page.decode())[1] + "?card", HTTP_HX_REQUEST="true").content
    assert b"<svg" in second and b"<html" not in second
    files = [f"static/{name}" for name in ("site.css", "site.js", "sheet.js", "play.js", "icon.svg")]
    parts = [page, second, *(Path(path).read_bytes() for path in files)]
    htmx = 17_000  # the vendored script, compressed; measured
    assert sum(len(gzip.compress(part)) for part in parts) + htmx < 60_000


def test_what_was_wrong_in_the_last_graded_game_stands_on_top_and_only_his(as_player, backer):
    first, second = make_week(1, released=False), make_week(2, released=True)
    look = first.expected_looks.first()
    mine = {"week": first, "player": backer.player, "look": look}
    FitGrade.objects.create(**mine, fit_right=False, correction="Scrape at once.")
    FitGrade.objects.create(**mine)
    other = type(backer.player).objects.create(first_name="Some", last_name="Body")
    FitGrade.objects.create(week=first, player=other, look=look, fit_right=False, correction="Not for you.")
    FitGrade.objects.create(week=second, player=backer.player, correction="After this game.")
    page = body(as_player)
    assert page.index("Scrape at once.") < page.index("Line up") and "wrong fit" in page
    assert "Not for you." not in page and "After this game." not in page


def test_every_picture_has_words_in_its_place(as_player, backer):
    make_week(released=True)
    page = body(as_player)
    assert "lines up" in page[page.index("<desc") : page.index("</desc>")]
    assert all("lines up" in later for later in re.findall(r'class="later"[^>]*>(.*?)</span>', page))


def test_the_wrong_method_is_refused(as_player):
    assert as_player.post(reverse(WEEK)).status_code == 405


def test_coaches_have_the_staffs_page_instead(as_staff):
    assert as_staff.get(reverse(WEEK)).status_code == 404
    week = make_week()
    backer = week.system.positions.get(name="M").pk
    page = as_staff.get(reverse("week:sheet", args=[week.pk, backer])).content.decode()
    assert page.count("<svg") == page.count('id="card-') > 0
    assert as_staff.get(reverse("week:sheet", args=[week.pk, 0])).status_code == 404
    assert as_staff.get(reverse("week:sheet", args=[week.pk, backer]), {"as": "N"}).status_code == 404


def test_nothing_of_it_is_for_search_engines_and_it_says_whose_it_is(as_player, backer):
    make_week(released=True)
    answer = as_player.get(reverse(WEEK))
    assert "noindex" in answer["X-Robots-Tag"] and "noarchive" in answer["X-Robots-Tag"]
    assert f'<p class="whose">{backer} · ' in answer.content.decode()


def test_what_cannot_be_made_is_said_and_nothing_is_shown(as_player, backer):
    week = make_week()
    waiting = services.start(week, group="line")
    week.system.positions.filter(group="line").update(group="secondary")
    assert services.make(waiting.pk) is None
    waiting.refresh_from_db()
    week.refresh_from_db()
    assert "nobody of this group" in waiting.trouble and not week.released
