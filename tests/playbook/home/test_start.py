"""The first screen: the week that matters, for staff and players."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from playbook.models import Concept, Formation, Opponent, Season, System, Week

pytestmark = pytest.mark.django_db


@pytest.fixture
def weeks():
    system = System.objects.get(name="odd-three-safety")
    season = Season.objects.create(year=2026)
    today = timezone.localdate()
    return [
        Week.objects.create(
            season=season,
            number=number,
            system=system,
            opponent=Opponent.objects.create(name=name),
            game_on=today + timedelta(days=days),
            released=released,
        )
        for number, name, days, released in [
            (1, "Wexmoor", -8, True),
            (2, "Harnley Vale", 0, True),
            (3, "Ostrey", 7, False),
        ]
    ]


def test_staff_see_the_week_whose_game_is_next(as_staff, weeks):
    page = as_staff.get(reverse("home:start")).content.decode()
    assert "Week 2: Harnley Vale" in page and "Ostrey" not in page
    assert reverse("week:detail", args=[weeks[1].pk]) in page


def test_staff_see_where_it_stands_and_what_to_do_next(as_staff, weeks):
    page = as_staff.get(reverse("home:start")).content.decode()
    assert "Looks expected" in page and "No look is expected yet." in page
    weeks[1].expected_looks.create(formation=Formation.objects.first(), concept=Concept.objects.first())
    page = as_staff.get(reverse("home:start")).content.decode()
    assert "being worked out" in page and f'hx-get="{reverse("week:state", args=[weeks[1].pk])}"' in page


def test_after_the_last_game_staff_see_the_last_week(as_staff, weeks):
    Week.objects.update(game_on=timezone.localdate() - timedelta(days=30))
    assert "Week 3: Ostrey" in as_staff.get(reverse("home:start")).content.decode()


def test_players_go_on_to_their_released_week(as_player, weeks):
    assert as_player.get(reverse("home:start")).headers["Location"] == reverse("player:week")


def test_a_withdrawn_week_says_so_and_opens_no_other(as_player, weeks):
    Week.objects.filter(number=2).update(released=False)
    page = as_player.get(reverse("home:start")).content.decode()
    assert "Week 2: Harnley Vale was withdrawn" in page


def test_before_any_week_is_released_players_are_told_so(as_player, weeks):
    Week.objects.all().delete()
    assert "not shown you a week" in as_player.get(reverse("home:start")).content.decode()


def test_staff_see_that_it_is_withdrawn(as_staff, weeks):
    Week.objects.filter(number=2).update(released=False)
    assert "withdrawn from players" in as_staff.get(reverse("home:start")).content.decode()


def test_with_nothing_there_staff_are_told_what_to_do(as_staff):
    assert "There is no week yet" in as_staff.get(reverse("home:start")).content.decode()


def test_coaches_are_led_to_documents_and_only_admins_to_people(as_admin, client, staff):
    page = as_admin.get(reverse("home:start")).content.decode()
    assert reverse("exports:list") in page and f'href="{reverse("people:list")}"' in page
    client.force_login(staff)
    page = client.get(reverse("home:start")).content.decode()
    assert reverse("exports:list") in page and f'href="{reverse("people:list")}"' not in page


def test_the_health_check_needs_no_log_in(client, db):
    assert client.get(reverse("home:alive")).content == b"ok"
