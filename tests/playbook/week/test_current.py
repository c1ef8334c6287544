"""One current week: every page that does not name a week opens on it, the usual one or the one switched to."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format

from playbook.models import Front, RosterSpot, User, Week
from playbook.week.current import Switched, current_week, usual_week
from tests.playbook.week.made import make_week, put_at

pytestmark = pytest.mark.django_db
PAIRS = [("10-doubles", "inside-zone"), ("11-doubles", "power")]


@pytest.fixture
def weeks(db):
    """Three weeks with looks: one is over, one is next, one comes after it."""
    today = timezone.localdate()
    return [
        make_week(number, game_on=today + timedelta(days=days), pairs=PAIRS, released=True)
        for number, days in ((1, -6), (2, 1), (3, 8))
    ]


def where_pages_open(client, week):
    """Returns for each page that names no week the numbers of the weeks that it opens on."""
    found = {}
    for name in ("home:start", "charts:start", "exports:list"):
        page = client.get(reverse(name)).content.decode()
        main = re.sub(r"<option(?![^>]*selected).*?</option>", "", page[page.index("<main") :])
        found[name] = set(re.findall(r"Week (\d+): Opponent", main))
    page = client.get(reverse("week:list")).content.decode()
    card = next(c for c in re.split(r'<li class="card', page) if "You work on it" in c)
    found["week:list"] = set(re.findall(r"Week (\d+): Opponent", card))
    board = client.get(reverse("board:show"))
    found["board:show"] = {str(board.context["form"].week.number)}
    look = client.get(reverse("looks:start"))
    found["looks:start"] = {str(Week.objects.get(pk=re.search(r"week=(\d+)", look["Location"])[1]).number)}
    front = Front.objects.filter(system=week.system).first()
    bench = client.get(reverse("system:front", args=[front.pk]))
    found["system:front"] = {str(bench.context["bench"].week.number)}
    page = client.get(reverse("roster:list")).content.decode()
    found["top of every page"] = set(re.findall(r'class="now"[^>]*>Week (\d+)', page))
    return found


def test_every_page_opens_on_the_week_of_the_next_game(as_admin, weeks):
    found = where_pages_open(as_admin, weeks[1])
    assert {name: numbers for name, numbers in found.items() if numbers != {"2"}} == {}


def test_every_page_opens_on_the_week_that_was_switched_to(as_admin, weeks):
    answer = as_admin.post(reverse("week:switch"), {"week": weeks[2].pk})
    assert answer["Location"] == reverse("week:detail", args=[weeks[2].pk])
    found = where_pages_open(as_admin, weeks[2])
    assert {name: numbers for name, numbers in found.items() if numbers != {"3"}} == {}


def test_after_the_last_game_it_is_the_last_week(as_admin, weeks):
    Week.objects.update(game_on=timezone.localdate() - timedelta(days=20))
    found = where_pages_open(as_admin, weeks[2])
    assert {name: numbers for name, numbers in found.items() if numbers != {"3"}} == {}


def test_a_player_opens_on_the_same_week(as_player, player, weeks):
    put_at(player.player, "M")
    assert RosterSpot.objects.exists()
    page = as_player.get(reverse("player:week")).content.decode()
    week = usual_week(timezone.localdate())
    assert week == weeks[1]
    assert f'<p class="over">{week.opponent} · {date_format(week.game_on, "D j M")}</p>' in page
    assert as_player.get(reverse("home:start")).headers["Location"] == reverse("player:week")
    assert 'class="now"' not in page, "what the staff works on is not his"


def test_another_coach_is_not_moved(client, as_admin, weeks):
    as_admin.post(reverse("week:switch"), {"week": weeks[0].pk})
    client.force_login(User.objects.create_user("second", role="coordinator", password="x"))
    assert "Week 2" in client.get(reverse("home:start")).content.decode()


def test_a_switch_ends_when_the_next_week_has_come(weeks):
    today = timezone.localdate()
    switched = Switched(weeks[0].pk, instead_of=weeks[1].pk)
    assert current_week(today, switched) == weeks[0]
    assert current_week(today + timedelta(days=4), switched) == weeks[2]


def test_a_week_that_is_gone_is_left(as_staff, weeks):
    as_staff.post(reverse("week:switch"), {"week": weeks[2].pk})
    weeks[2].delete()
    assert 'class="now" href="' + reverse("week:detail", args=[weeks[1].pk]) in as_staff.get("/").content.decode()


def test_back_to_the_usual_week_forgets_the_switch(as_staff, weeks):
    as_staff.post(reverse("week:switch"), {"week": weeks[0].pk})
    assert "Work on this week" in as_staff.get(reverse("week:detail", args=[weeks[1].pk])).content.decode()
    as_staff.post(reverse("week:switch"), {"week": weeks[1].pk})
    assert "week" not in as_staff.session
    assert "Work on this week" not in as_staff.get(reverse("week:detail", args=[weeks[1].pk])).content.decode()


@pytest.mark.parametrize("sent", ["", "none", "0", "99999999999999999999"])
def test_a_week_that_is_none_is_not_found(as_staff, weeks, sent):
    assert as_staff.post(reverse("week:switch"), {"week": sent}).status_code == 404


def test_before_there_is_a_week_nothing_stands_at_the_top(as_staff):
    page = as_staff.get("/").content.decode()
    assert 'class="now"' not in page and "There is no week yet" in page
