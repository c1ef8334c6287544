"""My week: the player's own cards and nothing else, in few queries and few bytes."""

import gzip
import html
import re
from datetime import timedelta
from pathlib import Path

import pytest
from django.core.cache import cache
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from fits.words import words_of
from playbook import convert
from playbook.looks import queries as looks
from playbook.looks import specs
from playbook.models import FitGrade, FitRule, Option
from playbook.player import queries
from playbook.week import sheets
from tests.playbook.week.made import LOOKS, make_week, put_at

pytestmark = pytest.mark.django_db
WEEK = "player:week"


def card(week, role):
    call = sheets.calls_of(week)["odd-three-safety"]
    return sheets.make_sheet(week, specs.expected_looks(week), call, role).cards[0]


def drawing_of(week, role, digest):
    return reverse("player:drawing", args=[week.pk, card(week, role).look_id, digest]) + (
        f"?as={role}&call=odd-three-safety"
    )


def drawings(page):
    return [html.unescape(found) for found in re.findall(r'<img class="play"[^>]* src="([^"]+)"', page)]


def body(client, **query):
    answer = client.get(reverse(WEEK), query)
    assert answer.status_code == 200
    return answer.content.decode()


def test_one_card_for_every_look_says_where_he_lines_up_reads_and_fits(as_player, backer):
    week = make_week(released=True)
    page = body(as_player)
    assert page.count('class="look-card"') == len(LOOKS)
    call = convert.calls_of(week.system)["odd-three-safety"]
    for play in sheets.derive_plays(week, specs.expected_looks(week), call):
        man = play.look.defender("M")
        assert play.title in page
        assert words_of(play.look).fit(man)[1:] in page and words_of(play.look).saw(man) in page
    assert "Never lead with the crown of the helmet" in page


def test_his_rules_stand_on_top_and_nobody_elses(as_player, backer):
    make_week(released=True)
    page = body(as_player)
    rules = page[page.index("My rules") : page.index('id="cards"')]
    said = {rule.say: rule.who for rule in FitRule.objects.exclude(say="")}
    his = [say for say, who in said.items() if who == "M"]
    others = [say for say, who in said.items() if who in ("CB", "N", "E") and not any(say in mine for mine in his)]
    assert any(say in rules for say in his) and len(others) > 10
    assert not any(say in rules for say in others)


def test_the_rules_that_decide_this_weeks_looks_come_first_with_how_many():
    week = make_week()
    call = convert.calls_of(week.system)["odd-three-safety"]
    sheet = sheets.make_sheet(week, specs.expected_looks(week), call, "M")
    assert sum(rule.looks for rule in sheet.this_week) == len(sheet.cards) == len(LOOKS)
    assert [rule.looks for rule in sheet.this_week] == sorted((rule.looks for rule in sheet.this_week), reverse=True)
    assert {rule.does for rule in sheet.this_week} <= {rule.does for rule in sheet.rules.fit}


def test_a_player_sees_only_his_positions(as_player, backer):
    week = make_week(released=True)
    assert as_player.get(reverse(WEEK), {"as": "left CB"}).status_code == 404
    mine = as_player.get(drawings(body(as_player))[0])
    assert mine.status_code == 200 and mine["Content-Type"] == "image/svg+xml"
    for digest in ("abc", card(week, "left CB").digest):
        assert as_player.get(drawing_of(week, "left CB", digest)).status_code == 404


def test_a_week_that_is_not_released_is_not_there(as_player, backer):
    week = make_week()
    assert "No week is released yet" in body(as_player)
    assert as_player.get(reverse("player:week-of", args=[week.pk])).status_code == 404
    assert as_player.get(drawing_of(week, "M", card(week, "M").digest)).status_code == 404


def test_a_player_without_a_position_is_told_so(as_player):
    make_week(released=True)
    assert "no position" in body(as_player)


def test_staff_see_every_drawing_and_released_or_not(as_staff):
    week = make_week()
    assert as_staff.get(drawing_of(week, "left CB", card(week, "left CB").digest)).status_code == 200
    corner = week.system.positions.get(name="CB").pk
    page = as_staff.get(reverse("week:sheet", args=[week.pk, corner])).content.decode()
    assert len(drawings(page)) == len(LOOKS)
    assert all(as_staff.get(address).status_code == 200 for address in drawings(page))


def test_this_weeks_game_comes_first_then_the_last_one(as_player, backer):
    today = timezone.localdate()
    make_week(1, released=True, game_on=today - timedelta(days=2), pairs=[])
    make_week(2, released=True, game_on=today + timedelta(days=5), pairs=[])
    make_week(3, released=True, game_on=today + timedelta(days=12), pairs=[])
    page = body(as_player)
    assert "Week 2: Opponent 2" in page[: page.index('id="cards"')]
    assert "Other weeks" in page


def test_a_player_of_two_positions_chooses(as_player, player):
    put_at(player.player, "E", "N")
    make_week(released=True)
    page = body(as_player)
    for role in ("left E", "right E", "N"):
        assert f">{role}</a>" in page
    assert "Nose" in body(as_player, **{"as": "N"})


def test_few_queries_however_many_cards(as_player, backer):
    def count(number, pairs):
        make_week(number, released=True, pairs=pairs)
        body(as_player)
        with CaptureQueriesContext(
            connection,
        ) as found:
            body(as_player)
        return len(found)

    few = count(1, LOOKS[:1])
    many = count(2, [(formation, concept) for formation in ("10-doubles", "11-doubles", "11-trips") for concept in
                     ("inside-zone", "power", "counter", "outside-zone")])  # fmt: skip
    assert few == many <= 6


def test_cold_cards_take_a_fixed_number_of_queries_too(as_player, backer):
    def count(number, pairs):
        week = make_week(number, released=True, pairs=pairs)
        looks._companies.clear()
        convert.forget()
        cache.clear()
        with CaptureQueriesContext(connection) as found:
            as_player.get(reverse("player:week-of", args=[week.pk]))
        return len(found)

    assert count(1, LOOKS[:2]) == count(2, [(f, c) for f in ("10-doubles", "11-doubles") for c in ("power", "counter")])


def test_the_first_view_is_light(as_player, backer):
    make_week(released=True, pairs=[(f, c) for f in ("10-doubles", "11-doubles", "11-trips") for c in
                                    ("inside-zone", "power", "counter", "outside-zone")])  # fmt: skip
    page = as_player.get(reverse(WEEK)).content
    assert page.count(b'class="look-card"') == 12
    drawing = as_player.get(drawings(page.decode())[0]).content
    files = [f"static/{name}" for name in ("site.css", "site.js", "icon.svg")]
    parts = [page, drawing, drawing, *(Path(path).read_bytes() for path in files)]
    htmx = 17_000  # the vendored script, compressed; measured
    assert sum(len(gzip.compress(part)) for part in parts) + htmx < 60_000


def test_a_changed_rule_shows_at_once_and_its_drawings_get_a_new_address(as_player, backer):
    week = make_week(released=True)
    before = body(as_player)
    decided = card(week, "M").rule.id
    FitRule.objects.filter(rule_id=decided).update(say="A sentence the coach has just written")
    after = body(as_player)
    assert "A sentence the coach has just written" in after
    changed = after.count("<span>A sentence the coach has just written</span>")
    assert 0 < changed < len(LOOKS)
    assert len(set(drawings(after)) - set(drawings(before))) == changed, "only what changed is loaded anew"


def test_what_was_wrong_in_the_last_graded_game_is_listed_and_only_his(as_player, backer):
    first, second = make_week(1, released=False), make_week(2, released=True)
    look = first.expected_looks.first()
    mine = {"week": first, "player": backer.player, "look": look}
    FitGrade.objects.create(**mine, fit_right=False, correction="Scrape at once.")
    FitGrade.objects.create(**mine)
    other = type(backer.player).objects.create(first_name="Some", last_name="Body")
    FitGrade.objects.create(week=first, player=other, look=look, fit_right=False, correction="Not for you.")
    FitGrade.objects.create(week=second, player=backer.player, correction="After this game.")
    page = body(as_player)
    assert "Fix from week 1" in page and "Scrape at once." in page and "wrong fit" in page
    assert page[page.index('class="fix"') : page.index('class="caution"')].count("<li>") == 1
    assert "Not for you." not in page and "After this game." not in page


def test_every_drawing_has_words_in_its_place(as_player, backer):
    make_week(released=True)
    page = body(as_player)
    words = re.findall(r'<img class="play"[^>]*alt="([^"]*)"', page)
    assert len(words) == len(LOOKS) and all("lines up" in text and "fits" in text for text in words)


def test_the_wrong_method_is_refused(as_player):
    assert as_player.post(reverse(WEEK)).status_code == 405


def test_coaches_have_the_staffs_page_instead(as_staff):
    assert as_staff.get(reverse(WEEK)).status_code == 404
    week = make_week()
    backer = week.system.positions.get(name="M").pk
    page = as_staff.get(reverse("week:sheet", args=[week.pk, backer])).content.decode()
    assert page.count('class="look-card"') == len(LOOKS)
    assert as_staff.get(reverse("week:sheet", args=[week.pk, 0])).status_code == 404
    assert as_staff.get(reverse("week:sheet", args=[week.pk, backer]), {"as": "N"}).status_code == 404


def test_whatever_his_sheet_is_made_of_its_fingerprint_follows(as_player, backer):
    week = make_week(released=True)
    look, man = week.expected_looks.first(), backer.player
    quick = type(man).objects.create(first_name="Some", last_name="Runner")
    put_at(quick, "W")
    changes = [
        lambda: type(week).objects.filter(pk=week.pk).update(game_on=None),
        lambda: look.formation.players.filter(kind="receiver").update(y=-1.7),
        lambda: look.concept.blockrules.filter(order=0).update(step="in"),
        lambda: FitRule.objects.filter(front__system=week.system).update(leverage="box"),
        lambda: week.expected_looks.filter(pk=look.pk).update(note="new"),
        lambda: week.menu_calls.filter(order=1).delete(),
        lambda: week.opponent.__class__.objects.filter(pk=week.opponent_id).update(name="Renamed"),
        lambda: week.season.__class__.objects.filter(pk=week.season_id).update(book="professional"),
        lambda: man.spots.update(order=3),
        lambda: type(man).objects.filter(pk=quick.pk).update(ten_yd_s="2.10", forty_yd_s="6.20"),
        lambda: type(man).objects.filter(pk=quick.pk).update(forty_yd_s="6.40"),
        lambda: FitGrade.objects.create(week=week, player=man, correction="Lower."),
        lambda: Option.objects.filter(opponent=None).first().blockrules.all().delete(),
        lambda: type(week).objects.filter(pk=week.pk).update(released=False),
    ]
    seen = [queries.fingerprint(backer.pk)]
    for change in changes:
        with transaction.atomic():  # in a transaction of its own, as every change is
            assert change() != 0
        seen.append(queries.fingerprint(backer.pk))
    assert len(set(seen)) == len(seen)
    other = type(man).objects.create(first_name="Some", last_name="Body")
    FitGrade.objects.create(week=week, player=other)
    assert queries.fingerprint(backer.pk) == seen[-1]
