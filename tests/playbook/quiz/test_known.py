"""What coaches see of the quiz: rules that are not known yet, by position and man, and one click into the plan."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from playbook.models import Day, Installation, PlanEntry, Player, QuizAnswer
from playbook.quiz import services
from playbook.quiz.known import State, known, trend
from tests.playbook.week.made import make_week, put_at

pytestmark = pytest.mark.django_db
CALL = "odd-three-safety"
ABOUT = "Guard pulls: over the top with him"


@pytest.fixture
def week(db):
    return make_week(released=True)


def man(last_name, *positions):
    player = Player.objects.create(first_name="Jory", last_name=last_name)
    put_at(player, *positions)
    return player


def answered(week, player, right, *, rule="M4", days=0, position="M", ask="fit"):
    return QuizAnswer.objects.create(
        player=player, week=week, look=week.expected_looks.first(), call=week.system.calls.get(name=CALL),
        role=position, position=position, ask=ask, rule=rule, about=f"{ABOUT} {rule}", given="x", expected="y",
        right=right, at=timezone.now() - timedelta(days=days),
    )  # fmt: skip


def told(client, week, sent):
    done = client.post(reverse("quiz:plan", args=[week.pk]), sent)
    assert done.status_code == 303
    return client.get(done["Location"]).content.decode()


def lines(week, position="M"):
    return next(p for held in known(week).values() for p in held if p.position.name == position)


def test_the_rule_that_most_men_miss_comes_first_with_its_men(week):
    a, b = man("Wenlack", "M"), man("Orrowell", "M")
    answered(week, a, True, rule="M1")
    answered(week, b, False, rule="M1")
    for player in (a, b):
        answered(week, player, False, rule="M4")
    answered(week, a, True, rule="M2")
    found = lines(week)
    assert [line.rule for line in found.lines] == ["M4", "M1"] and found.known == 1
    assert [m.player for m in found.lines[1].unsure] == [b] and found.lines[1].unsure[0].state is State.MISSED


def test_a_miss_that_was_right_twice_afterwards_is_known_until_it_may_be_forgotten(week):
    player = man("Wenlack", "M")
    answered(week, player, False, days=1)
    answered(week, player, True)
    assert lines(week).lines[0].unsure[0].state is State.SHAKY, "it may have been a guess"
    answered(week, player, True)
    assert lines(week).lines == () and lines(week).known == 1
    QuizAnswer.objects.update(at=timezone.now() - timedelta(days=60))
    (line,) = lines(week).lines
    assert line.unsure[0].state is State.FADING


@pytest.mark.parametrize(("before", "now", "words"), [
    ([False, False], [True, True], "better: 0 % right before, 100 % now"),
    ([True, True], [False, True], "worse: 100 % right before, 50 % now"),
    ([True, False], [True, False], "no change: 50 % right before, 50 % now"),
    ([], [False], "first asked that day"),
])  # fmt: skip
def test_the_trend_is_the_last_day_against_all_before(week, before, now, words):
    player, other = man("Wenlack", "M"), man("Orrowell", "M")
    for right in before:
        answered(week, player, right, days=2)
    for right in now:
        answered(week, player, right)
    answered(week, other, False, rule="M9")
    assert trend(list(QuizAnswer.objects.filter(rule="M4").order_by("at", "pk"))) == words


def test_two_positions_of_a_man_are_kept_apart_and_who_was_not_asked_is_named(week):
    player = man("Wenlack", "M", "W")
    answered(week, player, False, position="M")
    assert lines(week, "M").lines and not lines(week, "M").silent
    assert lines(week, "W").lines == () and lines(week, "W").silent == (player,)


def test_a_rule_goes_into_the_next_days_plan_with_one_click_and_only_once(as_staff, week):
    today = timezone.localdate()
    for day, days in zip(week.days.order_by("order"), (0, 2), strict=True):
        Day.objects.filter(pk=day.pk).update(date=today + timedelta(days=days))
    row = answered(week, man("Wenlack", "M"), False)
    page = as_staff.get(reverse("quiz:known", args=[week.pk])).content.decode()
    assert "Into the plan: Wednesday" in page and "Wenlack had it wrong last time (0 of 1 right" in page
    sent = {"position": "M", "ask": "fit", "rule": "M4"}
    for words in ("is in the plan now", "was in the plan already"):
        said = told(as_staff, week, sent)
        assert words in said
    entry = PlanEntry.objects.get(text__contains=ABOUT)
    assert (entry.day.label, entry.group, entry.look, entry.call) == ("Wednesday", "linebacker", row.look, row.call)


def test_the_next_day_is_the_first_after_today_else_the_first_without_a_date_else_the_last(week):
    today = timezone.localdate()
    first, second = week.days.order_by("order")
    assert services.next_day(week, today) == first
    Day.objects.filter(pk=first.pk).update(date=today)
    assert services.next_day(week, today) == second
    Day.objects.filter(pk=second.pk).update(date=today - timedelta(days=1))
    assert services.next_day(week, today) == second
    week.days.all().delete()
    with pytest.raises(services.NoDay):
        services.next_day(week, today)


def test_what_cannot_be_put_into_the_plan_says_so(as_staff, week):
    sent = {"position": "M", "ask": "fit", "rule": "gone"}
    said = told(as_staff, week, sent)
    assert "nothing was put into the plan" in said
    answered(week, man("Wenlack", "M"), False)
    week.days.all().delete()
    said = told(as_staff, week, sent | {"rule": "M4"})
    assert "has no day yet" in said and not PlanEntry.objects.filter(text__contains=ABOUT).exists()


def test_the_staff_sets_the_clock_and_takes_it_away(as_staff, week):
    for seconds, kept in (("15", 15), ("", None)):
        as_staff.post(reverse("quiz:clock", args=[week.pk]), {"seconds": seconds})
        assert Installation.objects.get().quiz_clock_s == kept
    assert as_staff.post(reverse("quiz:clock", args=[week.pk]), {"seconds": "7"}).status_code == 422


def test_it_takes_a_fixed_number_of_queries(as_staff, week, django_assert_max_num_queries):
    for n in range(12):
        answered(week, man(f"Wenlack{n}", "M"), n % 2 == 0, rule=f"M{n % 3}")
    with django_assert_max_num_queries(60):
        as_staff.get(reverse("quiz:known", args=[week.pk]))
    with django_assert_max_num_queries(6):
        known(week)
