"""What comes back: earlier weeks that are due, and the last game's mistakes."""

from datetime import timedelta

import pytest
from django.utils import timezone

from playbook.models import FitGrade, QuizAnswer
from tests.playbook.quiz.test_mine import CALL, quiz_of
from tests.playbook.week.made import make_week

pytestmark = pytest.mark.django_db
OLD = [("11-doubles", "power"), ("11-doubles", "counter")]
NEW = [("10-doubles", "inside-zone"), ("10-doubles", "outside-zone")]


@pytest.fixture
def weeks(backer):
    today = timezone.localdate()
    old = make_week(1, released=True, game_on=today - timedelta(days=4), pairs=OLD)
    return old, make_week(2, released=True, game_on=today + timedelta(days=3), pairs=NEW)


def answer(user, week, look, right, rule, days):
    return QuizAnswer.objects.create(
        player=user.player, week=week, look=look, call=week.system.calls.get(name=CALL), role="M", position="M",
        ask="fit", rule=rule, given="x", expected="y", right=right, at=timezone.now() - timedelta(days=days),
    )  # fmt: skip


def test_what_is_due_of_an_earlier_week_comes_back_from_that_weeks_looks(backer, weeks):
    old, new = weeks
    assert {item.week for item in quiz_of(backer).pool} == {new.pk}
    item = next(item for item in quiz_of(backer, old).pool if item.ask == "fit")
    answer(backer, old, old.expected_looks.get(pk=item.look), False, item.rule, days=6)
    back = [i for i in quiz_of(backer).pool if i.week == old.pk]
    assert back and {i.rule for i in back} == {item.rule} and {i.ask for i in back} == {"fit"}
    question = quiz_of(backer).question(back[0], "r")
    assert question is not None and question.item.week == old.pk


def test_nothing_comes_back_of_a_week_that_was_withdrawn(backer, weeks):
    old, new = weeks
    item = next(item for item in quiz_of(backer, old).pool if item.ask == "fit")
    answer(backer, old, old.expected_looks.get(pk=item.look), False, item.rule, days=6)
    old.released = False
    old.save()
    assert {i.week for i in quiz_of(backer, new).pool} == {new.pk}


def test_the_last_games_mistakes_come_first(backer, weeks):
    old, _ = weeks
    item = next(item for item in quiz_of(backer, old).pool if item.ask == "fit")
    call = old.system.calls.get(name=CALL)
    FitGrade.objects.create(week=old, player=backer.player, look_id=item.look, call=call, fit_right=False)
    quiz = quiz_of(backer)
    assert set(quiz.mistakes) == {("fit", item.rule)}
    assert quiz.next("r").item.rule == item.rule


def test_a_right_answer_before_the_game_does_not_undo_its_mistake(backer, weeks):
    old, _ = weeks
    item = next(item for item in quiz_of(backer, old).pool if item.ask == "fit")
    look, call = old.expected_looks.get(pk=item.look), old.system.calls.get(name=CALL)
    FitGrade.objects.create(week=old, player=backer.player, look=look, call=call, fit_right=False)
    answer(backer, old, look, True, item.rule, days=5)
    assert quiz_of(backer).next("r").item.rule == item.rule
    answer(backer, old, look, True, item.rule, days=1)
    assert quiz_of(backer).next("r").item.rule != item.rule


def test_a_right_grade_is_no_mistake(backer, weeks):
    old, _ = weeks
    call = old.system.calls.get(name=CALL)
    FitGrade.objects.create(week=old, player=backer.player, look=old.expected_looks.first(), call=call)
    assert quiz_of(backer).mistakes == {}
