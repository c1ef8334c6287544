"""The demo: complete, derivable, loaded once."""

import time

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from playbook import demo
from playbook.demo import content
from playbook.models import Chart, ExpectedLook, FitGrade, MenuCall, Player, Position, RosterSpot, System, User, Week
from playbook.week import queries

pytestmark = pytest.mark.django_db


@pytest.fixture
def loaded(db):
    started = time.process_time()
    with CaptureQueriesContext(connection) as queries_made:
        demo.load()
    return time.process_time() - started, len(queries_made)


def test_it_has_what_it_promises_and_loading_it_again_changes_nothing(loaded):
    seconds, statements = loaded
    assert seconds < 5 and statements < 2000  # about three seconds on two idle cores
    assert System.objects.count() == 4
    assert Week.objects.count() == 3
    assert Player.objects.count() == len(content.ROSTER) == 22
    counts = [m.objects.count() for m in (User, RosterSpot, ExpectedLook, MenuCall, FitGrade)]
    week = Week.objects.get(number=2)
    week.save_version(week.version, note="changed by the staff")
    demo.load()
    assert [m.objects.count() for m in (User, RosterSpot, ExpectedLook, MenuCall, FitGrade)] == counts
    week.refresh_from_db()
    assert week.note == "changed by the staff"


def test_every_look_of_every_week_derives_against_every_call_of_its_menu(loaded):
    troubles = [
        (week.number, row.title, standing.result.reason)
        for week in queries.weeks()
        for row in queries.look_rows(week, queries.menu_call_names(week))
        for standing in row.states
        if standing.result.reason
    ]
    assert troubles == []


def test_every_position_has_a_man_and_the_player_who_signs_in_is_on_the_roster(loaded):
    empty = Position.objects.filter(spots=None).values_list("system__name", "name")
    assert list(empty) == []
    assert User.objects.get(username="player").player.spots.exists()


def test_contact_stays_within_the_limits_and_the_last_week_is_not_released(loaded):
    for week in queries.weeks():
        plan = queries.plan(week)
        assert plan.most > 0 and not plan.over and not any(day.over for day in plan.days)
    assert [week.released for week in Week.objects.order_by("number")] == [True, True, False]


def test_every_week_has_its_opponent_charted(loaded):
    for week in Week.objects.all():
        chart = Chart.objects.get(opponent=week.opponent)
        assert chart.state == "done" and chart.taken > 80


def test_the_demo_plays_another_system_than_the_first_of_the_list(loaded):
    assert {week.system.name for week in Week.objects.all()} == {content.SYSTEM} != {System.objects.first().name}
