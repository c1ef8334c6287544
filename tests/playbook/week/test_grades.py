"""Grades after the game, and quiz results."""

import pytest
from django.urls import reverse

from playbook.models import FitGrade, Player, QuizAnswer
from playbook.week import queries
from tests.playbook.week.made import make_grade, make_week, put_at

pytestmark = pytest.mark.django_db


@pytest.fixture
def man(db):
    player = Player.objects.create(first_name="Jory", last_name="Wenlack", number=55)
    put_at(player, "M")
    return player


def test_a_grade_is_saved_and_summed_up(as_staff, man):
    week = make_week(pairs=[("11-doubles", "power")])
    address = reverse("week:grades", args=[week.pk])
    sent = {"player": man.pk, "snap": 12, "look": week.expected_looks.get().pk, "effort": 3, "leverage_right": "on"}
    assert as_staff.post(address, sent | {"correction": "Scrape over the top."}).status_code == 303
    assert (
        as_staff.post(address, {"player": man.pk, "effort": 2, "fit_right": "on", "leverage_right": "on"}).status_code
        == 303
    )
    (summed,) = queries.grade_sums(queries.grades(week))
    assert (summed.snaps, summed.fits, summed.leverage, summed.effort) == (2, 1, 2, 2.5)
    page = as_staff.get(address).content.decode()
    assert "Scrape over the top." in page and "Fit wrong" in page


def test_a_player_of_no_position_and_an_unknown_effort_are_invalid(as_staff, man):
    week = make_week(pairs=[])
    stranger = Player.objects.create(first_name="Not", last_name="Rostered")
    address = reverse("week:grades", args=[week.pk])
    assert as_staff.post(address, {"player": stranger.pk, "effort": 2}).status_code == 422
    assert as_staff.post(address, {"player": man.pk, "effort": 9}).status_code == 422
    assert not FitGrade.objects.exists()


def test_a_grade_is_taken_back(as_staff):
    grade = make_grade()
    assert as_staff.post(reverse("week:grade-delete", args=[grade.pk]), {"version": 1}).status_code == 303
    assert not FitGrade.objects.exists()
    assert as_staff.get(reverse("week:grade-delete", args=[1])).status_code == 405


def test_quiz_results_name_what_was_missed_most(as_staff, man):
    week = make_week(pairs=[("11-doubles", "power"), ("10-doubles", "inside-zone")])
    power, zone = week.expected_looks.order_by("order")
    call = week.system.calls.get(name="odd-three-safety")
    for look, right in [(power, False), (power, False), (zone, False), (zone, True)]:
        QuizAnswer.objects.create(
            player=man, week=week, look=look, call=call, role="M", ask="fit", given="x", expected="y", right=right
        )
    (result,) = queries.quiz_results(week)
    assert (result.right, result.asked, result.per_cent) == (1, 4, 25)
    assert result.missed[0].startswith("Power")
    page = as_staff.get(reverse("quiz:known", args=[week.pk])).content.decode()
    assert "Jory Wenlack" in page and "25 %" in page


def test_who_has_not_answered_is_listed_too(as_staff, man):
    week = make_week(pairs=[])
    assert "has not answered yet" in as_staff.get(reverse("quiz:known", args=[week.pk])).content.decode()


def test_nobody_on_the_roster_says_what_to_do(as_staff):
    week = make_week(pairs=[])
    assert "Nobody has a position" in as_staff.get(reverse("quiz:known", args=[week.pk])).content.decode()
