"""A withdrawn week says so: on its own page, as my week, in the quiz; it never becomes another week's sheet."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from playbook.models import Opponent, Week
from playbook.publishing import services
from tests.playbook.week.made import make_week

pytestmark = pytest.mark.django_db


@pytest.fixture
def weeks(backer):
    """Last week's game is over, this week's is in three days; both were released."""
    today = timezone.localdate()
    return (
        make_week(1, released=True, game_on=today - timedelta(days=4)),
        make_week(2, released=True, game_on=today + timedelta(days=3)),
    )


def withdraw(week):
    services.withdraw(Week.objects.get(pk=week.pk), Week.objects.get(pk=week.pk).version)


def page(client, name, *args):
    answer = client.get(reverse(name, args=args))
    assert answer.status_code == 200
    return answer.content.decode()


@pytest.mark.parametrize("name", ["player:week", "quiz:mine"])
def test_my_week_says_that_it_was_withdrawn_and_shows_no_other_weeks_looks(name, as_player, weeks):
    assert "Opponent 2" in page(as_player, name)
    withdraw(weeks[1])
    shown = page(as_player, name)
    assert "Week 2: Opponent 2 was withdrawn." in shown
    assert "view-card" not in shown and "<fieldset" not in shown
    assert reverse("player:week-of", args=[weeks[0].pk]) in shown, "the other one is opened by its own name only"


@pytest.mark.parametrize("name", ["player:week-of", "quiz:of"])
def test_its_own_address_says_so_too(name, as_player, weeks):
    withdraw(weeks[1])
    assert "Week 2: Opponent 2 was withdrawn." in page(as_player, name, weeks[1].pk)


@pytest.mark.parametrize("change", [
    lambda week: Week.objects.filter(pk=week.pk).update(released=False),
    lambda week: Week(pk=week.pk, **{f: getattr(week, f) for f in ("season", "number", "opponent", "system")}).save(),
])  # fmt: skip
def test_whoever_withdraws_it_and_how(change, as_player, weeks):
    change(weeks[1])
    assert "was withdrawn." in page(as_player, "player:week")


def test_by_the_coachs_button_who_is_told_what_players_see(client, staff, player, weeks):
    client.force_login(staff)
    sent = {"version": Week.objects.get(pk=weeks[1].pk).version, "released": "no"}
    client.post(reverse("week:release", args=[weeks[1].pk]), sent)
    shown = page(client, "week:detail", weeks[1].pk)
    assert "Withdrawn. Players are told so." in shown and ">withdrawn " in shown
    assert ">Withdrawn<" in page(client, "week:list")
    client.force_login(player)
    assert "was withdrawn." in page(client, "player:week")


def test_released_again_it_is_there_again(as_player, weeks):
    withdraw(weeks[1])
    page(as_player, "player:week")
    services.publish(Week.objects.get(pk=weeks[1].pk))
    shown = page(as_player, "player:week")
    assert "withdrawn" not in shown and "view-card" in shown


def test_what_coaches_make_of_it_afterwards_is_not_told(as_player, weeks):
    withdraw(weeks[1])
    Week.objects.filter(pk=weeks[1].pk).update(opponent=Opponent.objects.create(name="Kept Secret"), number=9)
    for shown in (page(as_player, "player:week"), page(as_player, "player:week-of", weeks[1].pk)):
        assert "Week 2: Opponent 2 was withdrawn." in shown
        assert "Kept Secret" not in shown and "Week 9" not in shown


def test_a_week_that_was_never_released_is_still_not_there(as_player, weeks):
    never = make_week(3, game_on=timezone.localdate() + timedelta(days=1))
    assert as_player.get(reverse("player:week-of", args=[never.pk])).status_code == 404
    assert "Opponent 2" in page(as_player, "player:week")
    never.save_version(never.version, note="still being worked on")
    assert as_player.get(reverse("player:week-of", args=[never.pk])).status_code == 404


def test_another_withdrawn_week_is_named_beside_this_weeks_sheet(as_player, weeks):
    page(as_player, "player:week")
    withdraw(weeks[0])
    shown = page(as_player, "player:week")
    assert "view-card" in shown and "Week 1: Opponent 1, withdrawn" in shown
    Opponent.objects.filter(pk=weeks[0].opponent_id).update(name="Renamed")
    assert "Week 1: Renamed, withdrawn" in page(as_player, "player:week"), "the kept page is not older than that"


def test_a_sheet_whose_game_is_over_says_so(as_player, weeks):
    assert "This game is over" not in page(as_player, "player:week")
    shown = page(as_player, "player:week-of", weeks[0].pk)
    assert "This game is over." in shown and "have not published the next week" not in shown
    Week.objects.filter(pk=weeks[1].pk).delete()
    shown = page(as_player, "player:week")
    assert "This game is over. Your coaches have not published the next week yet." in shown


@pytest.mark.parametrize("name", ["player:week", "quiz:mine"])
def test_browsers_do_not_keep_these_pages(name, as_player, weeks):
    assert "no-store" in as_player.get(reverse(name))["Cache-Control"]
    withdraw(weeks[1])
    assert "no-store" in as_player.get(reverse(name))["Cache-Control"]


def test_the_interface_does_not_give_it_out_either(as_player, weeks):
    withdraw(weeks[1])
    assert as_player.get(f"/api/weeks/{weeks[1].pk}/").status_code == 404
