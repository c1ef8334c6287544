"""A week's desk: where it stands, what to do next, tabs, and rows that are changed where they stand."""

import re
from datetime import timedelta
from unittest.mock import patch

import pytest
from django.core.cache import cache
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from playbook.models import ExpectedLook, LookResult, Player, QuizAnswer, SheetOpening, User, Week
from playbook.proof.results import NONE, ON_TIME, SOUND, UNSOUND, WARNING
from playbook.publishing import services
from playbook.week import queries, sheets, state
from tests.playbook.week.made import make_bare_week, make_week, put_at

HTMX = {"HTTP_HX_REQUEST": "true"}
TABS = ["week:detail", "week:menu", "week:plan", "week:sheets", "quiz:known", "week:grades"]
ONE = [("10-doubles", "inside-zone")]
pytestmark = pytest.mark.django_db


def body(client, name, week, **query):
    return client.get(reverse(name, args=[week.pk]), query).content.decode()


def stands(week):
    names = queries.menu_call_names(week)
    return state.week_state(week, queries.look_rows(week, names), len(names))


def tasks_of(week, today=None):
    plan, trouble = queries.plan(week), sheets.system_trouble(week)
    now = today or timezone.localdate()
    return state.tasks(week, stands(week), plan, week.menu_calls.count(), trouble, now)


class Row:
    """A look with a share and how each call stands against it."""

    def __init__(self, share, *states):
        self.expected = ExpectedLook(share=share)
        self.states = [type("S", (), {"result": type("R", (), {"state": s})(), "call": "x"})() for s in states]


@pytest.mark.parametrize("name", TABS)
def test_each_tab_has_its_address_the_state_and_says_which_it_is(name, as_staff):
    week = make_week(pairs=ONE)
    body(as_staff, "week:detail", week)  # its looks are worked out
    page = body(as_staff, name, week)
    nav = page[page.index('class="tabs week-tabs"') :]
    nav = nav[: nav.index("</nav>")]
    current = re.findall(r'href="([^"]+)" aria-current="page"', nav)
    assert current == [reverse(name, args=[week.pk])]
    assert {reverse(tab, args=[week.pk]) for tab in TABS} <= set(re.findall(r'href="([^"]+)"', nav))
    assert 'class="strip"' in page and 'class="to-do-first' in page
    assert page.count("<h1") == 1


def test_only_the_tab_that_was_asked_for_is_on_the_page(as_staff):
    week = make_week(pairs=ONE)
    parts = {"week:detail": "looks", "week:menu": "menu", "week:plan": "plan", "week:sheets": "sheets"}
    for name, mine in parts.items():
        page = body(as_staff, name, week)
        assert [part for part in parts.values() if f'<section id="{part}"' in page] == [mine]


def test_the_share_counts_what_the_menu_holds_by_weight():
    week = make_bare_week()
    rows = [
        Row(0.4, SOUND, SOUND), Row(0.3, UNSOUND, WARNING), Row(0.2, ON_TIME, UNSOUND), Row(0.1, WARNING, SOUND),
        Row(0.5, NONE, NONE),
    ]  # fmt: skip
    now = state.week_state(week, rows, 2)
    assert now.held == pytest.approx(0.8) and now.held_by_all == pytest.approx(0.5)
    assert now.lost == (rows[2],) and now.partly == (rows[1],)
    assert (now.held_percent, now.held_by_all_percent) == (80, 50)


def test_a_look_nobody_counted_weighs_as_the_average_one():
    now = state.week_state(make_bare_week(), [Row(0.3, SOUND), Row(None, UNSOUND), Row(0.1, SOUND)], 1)
    assert now.held == pytest.approx(0.4 / 0.6)


def test_nothing_that_can_be_run_has_no_share():
    now = state.week_state(make_bare_week(), [Row(0.3, NONE)], 1)
    assert now.held is None and now.held_percent is None


def test_the_first_thing_to_do_is_one_sentence_with_a_link(as_staff):
    week = make_week(pairs=ONE)
    with patch("playbook.week.state.HOLDS", ()):
        page = body(as_staff, "week:detail", week)
        look = stands(week).lost[0].states[0].address
    first = re.search(r'<p class="to-do-first bad">(.*?)</p>', page, re.S)[1]
    assert "Inside zone from" in first and "not held by any call of the menu" in first
    assert first.count("<a ") == 1 and f'href="{look.replace("&", "&amp;")}"' in first


def test_a_look_that_holds_if_all_are_on_time_is_not_called_lost(as_staff):
    week = make_week(pairs=ONE)
    with patch("playbook.week.state.HOLDS", ()):
        standing = stands(week).lost[0].states[0].result.state
        with patch("playbook.week.state.ON_TIME", standing):
            page = body(as_staff, "week:detail", week)
    first = re.search(r'<p class="to-do-first warn">(.*?)</p>', page, re.S)[1]
    assert "is not held by any call of the menu unless everybody is on time" in first


def test_what_is_to_do_follows_the_week():
    bare = make_bare_week()
    assert "cannot be read" in tasks_of(bare)[0].text
    week = make_week(2, pairs=ONE)
    assert [t.text for t in tasks_of(week) if "Nobody has a position" in t.text]
    put_at(Player.objects.create(first_name="Jory", last_name="Wenlack"), "M")
    assert [t.link for t in tasks_of(week) if "do not see this week" in t.text] == ["See their sheets, then publish it"]
    Week.objects.filter(pk=week.pk).update(released=True)
    week = queries.weeks().get(pk=week.pk)
    assert "1 of 1 men has not opened" in " ".join(t.text for t in tasks_of(week))
    week.season.contact_day_min = 24
    assert "Full contact is over your limit: Tuesday, Wednesday." in tasks_of(week)[0].text
    week.season.contact_day_min = 30
    over = tasks_of(week, week.game_on + timedelta(days=1))
    assert over[0].address == reverse("week:grades", args=[week.pk])
    assert "opened" not in " ".join(t.text for t in over)
    week.menu_calls.all().delete()
    assert "No call is on the menu." in [t.text for t in tasks_of(week)]
    week.expected_looks.all().delete()
    assert tasks_of(week)[0].address == reverse("proof:looks", args=[week.pk])


def test_who_opened_his_sheet_is_counted_since_the_last_release(as_staff, player):
    put_at(player.player, "M")
    other = Player.objects.create(first_name="Not", last_name="Yet")
    put_at(other, "W")
    week = make_week(pairs=ONE, released=True)
    his = Client()
    his.force_login(player)
    assert stands(queries.weeks().get(pk=week.pk)).opened == frozenset()
    his.get(reverse("player:week"))
    now = stands(queries.weeks().get(pk=week.pk))
    assert now.opened == {player.player.pk} and now.unopened == [other]
    page = body(as_staff, "week:sheets", week)
    assert "1 of 2" in page
    rows = {who: re.search(rf"<th[^>]*><a[^>]*>{who} · .*?</tr>", page, re.DOTALL)[0] for who in ("M", "W")}
    assert "Pell Ardmoor" in rows["M"][: rows["M"].index("Not opened yet")]
    assert "Not Yet" in rows["W"][rows["W"].index("Not opened yet") :]
    SheetOpening.objects.update(at=timezone.now() - timedelta(hours=1))  # the test is one moment to the database
    week.refresh_from_db()
    for released in ("no", "yes"):
        as_staff.post(reverse("week:release", args=[week.pk]), {"version": week.version, "released": released})
        services.make(week.publications.first().pk)  # as a worker does
        week.refresh_from_db()
    assert stands(queries.weeks().get(pk=week.pk)).opened == frozenset()
    cache.clear()  # each change has a transaction of its own outside of a test, and so another fingerprint
    his.get(reverse("player:week"))
    assert SheetOpening.objects.count() == 1
    assert stands(queries.weeks().get(pk=week.pk)).opened == {player.player.pk}


def test_a_coach_who_looks_at_a_sheet_has_not_opened_it_for_anybody(as_staff, player):
    put_at(player.player, "M")
    week = make_week(pairs=ONE, released=True)
    position = week.system.positions.get(name="M")
    assert as_staff.get(reverse("week:sheet", args=[week.pk, position.pk])).status_code == 200
    assert not SheetOpening.objects.exists()


def test_a_withdrawn_sheet_is_not_opened(player, client):
    put_at(player.player, "M")
    week = make_week(pairs=ONE, released=True)
    Week.objects.filter(pk=week.pk).update(released=False)
    cache.clear()
    client.force_login(player)
    client.get(reverse("player:week"))
    assert not SheetOpening.objects.exists()


def test_what_players_know_is_what_they_answered_right(as_staff, player):
    put_at(player.player, "M")
    week = make_week(pairs=ONE)
    look, call = week.expected_looks.get(), week.system.calls.get(name="odd-three-safety")
    for right in (True, True, False):
        QuizAnswer.objects.create(
            player=player.player, week=week, look=look, call=call, role="M", ask="fit", given="x", expected="y",
            right=right,
        )  # fmt: skip
    now = stands(week)
    assert (now.known, now.answers, now.answered) == (67, 3, 1)
    assert "of 3 answers by 1 man" in body(as_staff, "week:menu", week)


@pytest.mark.parametrize("kind", ["look", "call", "day", "entry"])
def test_a_row_is_changed_where_it_stands(kind, as_staff):
    week = make_week(pairs=ONE)
    row = {
        "look": week.expected_looks.first(), "call": week.menu_calls.first(), "day": week.days.first(),
        "entry": week.days.first().entries.first(),
    }[kind]  # fmt: skip
    address = reverse("week:row-edit", args=[kind, row.pk])
    form = as_staff.get(address, **HTMX)
    page = form.content.decode()
    assert page.lstrip().startswith(f"<{ {'look': 'tr', 'call': 'dd', 'day': 'div', 'entry': 'li'}[kind] }")
    assert f'id="editing-{kind}-{row.pk}"' in page and "<html" not in page
    sent = {name: value for name, value in form.context["form"].initial.items() if value not in (None, [])}
    bad = as_staff.post(address, sent | {"version": ""}, **HTMX)
    assert bad.status_code == 422 and bad["HX-Retarget"] == f"#editing-{kind}-{row.pk}"
    done = as_staff.post(address, {k: v for k, v in sent.items() if v is not False}, **HTMX)
    page = done.content.decode()
    part = {"look": "looks", "call": "menu", "day": "plan", "entry": "plan"}[kind]
    assert done.status_code == 200 and page.lstrip().startswith(f'<section id="{part}">')
    assert 'id="week-state"' in page and "hx-swap-oob" in page, "the state follows"
    assert "autofocus" in page, "the keyboard stays where it was"
    row.refresh_from_db()
    assert row.version == 2


def test_a_row_that_somebody_else_changed_keeps_the_form(as_staff):
    look = make_week(pairs=ONE).expected_looks.get()
    address = reverse("week:row-edit", args=["look", look.pk])
    sent = {"formation": look.formation_id, "concept": look.concept_id, "hash": "middle", "version": 1}
    assert as_staff.post(address, sent | {"note": "first"}, **HTMX).status_code == 200
    late = as_staff.post(address, sent | {"note": "second"}, **HTMX)
    assert late.status_code == 409 and late["HX-Retarget"] == "#messages"
    assert "first" in late.content.decode() and "second" in late.content.decode()


def test_looks_come_by_pages_and_an_edit_stays_on_its_page(as_staff):
    week = make_week(pairs=[])
    formation, concept = (ExpectedLook._meta.get_field(n).related_model for n in ("formation", "concept"))
    found = [(f, c) for f in formation.objects.filter(opponent=None) for c in concept.objects.filter(opponent=None)]
    ExpectedLook.objects.bulk_create(
        ExpectedLook(week=week, order=n, formation=f, concept=c, note=f"look {n}")
        for n, (f, c) in enumerate(found[:60])
    )
    with patch("playbook.week.pages.LOOKS_A_PAGE", 50):
        first, second = body(as_staff, "week:detail", week), body(as_staff, "week:detail", week, page=2)
        assert first.count('<span class="under">look ') == 50 and second.count('<span class="under">look ') == 10
        row = week.expected_looks.get(note="look 59")
        moved = as_staff.post(reverse("week:row-move", args=["look", row.pk]), {"to": "up", "page": 2}, **HTMX)
        assert "Page 2 of 2" in moved.content.decode()
        assert "Page 2 of 2" in body(as_staff, "week:detail", week, page=99)
        assert "Page 1 of 2" in body(as_staff, "week:detail", week, page="x")


def test_the_tabs_take_few_queries_however_many_looks(as_staff, django_assert_max_num_queries):
    week = make_week()
    for name in TABS:
        body(as_staff, name, week)
        with django_assert_max_num_queries(45):
            body(as_staff, name, week)


def test_players_and_strangers_see_no_tab(client, player):
    week = make_bare_week(released=True)
    for name in TABS:
        assert client.get(reverse(name, args=[week.pk])).status_code == 302
    client.force_login(player)
    for name in TABS:
        assert client.get(reverse(name, args=[week.pk])).status_code == 404
    client.force_login(User.objects.create_user("coach-2", role="coordinator", password="x"))
    assert client.get(reverse("week:sheets", args=[week.pk])).status_code == 200


def test_a_plan_does_not_wait_for_looks_that_nobody_has_worked_out(as_staff):
    week = make_week(pairs=ONE)
    LookResult.objects.all().delete()
    for name in ("week:plan", "week:menu", "week:notes", "week:sheets", "quiz:known", "week:grades"):
        page = body(as_staff, name, week)
        assert "being worked out" in page and f'hx-get="{reverse("week:state", args=[week.pk])}"' in page
        assert not LookResult.objects.exists(), name
    part = as_staff.get(reverse("week:state", args=[week.pk]), **HTMX).content.decode()
    assert part.lstrip().startswith('<section id="week-state"') and "being worked out" not in part
    assert "hx-get" not in part and LookResult.objects.exists()
    assert "being worked out" not in body(as_staff, "week:plan", week), "now they are known"
    assert as_staff.get(reverse("week:state", args=[week.pk]))["Location"] == reverse("week:detail", args=[week.pk])
