"""The quiz: asks what he knows least, says what is right, keeps every answer."""

import json
import re

import pytest
from django.urls import reverse

from fits.words import words_of
from playbook.looks import specs
from playbook.models import FitRule, QuizAnswer
from playbook.player import quiz
from playbook.week import services, sheets
from tests.playbook.week.made import make_week

pytestmark = pytest.mark.django_db
CALL = "odd-three-safety"
HTMX = {"HTTP_HX_REQUEST": "true"}


def questions(week, role="M"):
    call = sheets.calls_of(week)[CALL]
    looks = specs.expected_looks(week)
    return quiz.all_questions(sheets.make_sheet(week, looks, call, role), sheets.derive_plays(week, looks, call))


def asked(question):
    return {"look": question.look_id, "ask": question.ask, "state": question.card.digest}


def address(week):
    return reverse("player:answer", args=[week.pk]) + f"?as=M&call={CALL}"


def test_every_question_offers_the_right_answer_once_and_wrong_ones():
    found = questions(make_week())
    assert {question.ask for question in found} == {"fit", "key", "place"}
    for question in found:
        assert question.choices.count(question.expected) == 1
        assert 2 <= len(question.choices) == len(set(question.choices)) <= quiz.CHOICES


def test_the_right_answer_is_the_derived_fit():
    week = make_week()
    call = sheets.calls_of(week)[CALL]
    for play in sheets.derive_plays(week, specs.expected_looks(week), call):
        question = quiz.find_question(questions(week), play.expected.pk, "fit")
        assert question.expected.lower() == words_of(play.look).fit(play.look.defender("M")).lower()


def test_the_right_answer_does_not_always_stand_in_the_same_place():
    found = questions(make_week())
    assert len({question.choices.index(question.expected) for question in found}) > 1


def test_a_right_answer_is_kept_and_the_next_question_is_another(as_player, backer):
    week = make_week(released=True)
    question = questions(week)[0]
    page = as_player.post(address(week), {**asked(question), "given": question.expected})
    assert "Right." in page.content.decode()
    answer = QuizAnswer.objects.get()
    assert (answer.player, answer.right, answer.role, answer.call.name) == (backer.player, True, "M", CALL)
    following = page.context["question"]
    assert (following.look_id, following.ask) != (question.look_id, question.ask)


def test_a_wrong_answer_shows_what_is_right_with_the_drawing(as_player, backer):
    week = make_week(released=True)
    question = questions(week)[0]
    wrong = next(choice for choice in question.choices if choice != question.expected)
    page = as_player.post(address(week), {**asked(question), "given": wrong}).content.decode()
    assert "No." in page and question.expected in page and "player" not in wrong
    assert f"/drawing/{question.look_id}/" in page
    assert not QuizAnswer.objects.get().right


def test_what_was_missed_comes_again_before_what_was_known(backer):
    found = questions(make_week())
    known = {(q.look_id, q.ask): (1, 1) for q in found}
    missed = known | {(found[2].look_id, found[2].ask): (2, 0)}
    assert quiz.next_question(found, missed) == found[2]
    last = [(q.look_id, q.ask) for q in found[2:5]]
    assert quiz.next_question(found, missed, after=last) not in found[2:5]
    assert quiz.next_question(found[2:5], missed, after=last) == found[4]


def test_no_answer_chosen_is_invalid_and_asks_the_same_again(as_player, backer):
    week = make_week(released=True)
    question = questions(week)[1]
    answer = as_player.post(address(week), {"look": question.look_id, "ask": question.ask})
    assert answer.status_code == 422
    assert "Choose one answer." in answer.content.decode()
    assert answer.context["question"] == question
    assert not QuizAnswer.objects.exists()


def test_a_question_of_another_week_is_not_counted(as_player, backer):
    week, other = make_week(1, released=True), make_week(2, released=True)
    question = questions(other)[0]
    sent = {"look": question.look_id, "ask": "fit", "state": question.card.digest, "given": "x"}
    assert as_player.post(address(week), sent).status_code == 409
    assert not QuizAnswer.objects.exists()


def test_htmx_gets_only_the_quiz(as_player, backer):
    week = make_week(released=True)
    question = questions(week)[0]
    sent = {**asked(question), "given": question.expected}
    page = as_player.post(address(week), sent, **HTMX).content.decode()
    assert page.lstrip().startswith('<section id="quiz"') and "<html" not in page


def test_a_week_with_nothing_to_ask_says_so(as_player, backer):
    make_week(released=True, pairs=[])
    assert "nothing to ask" in as_player.get(reverse("player:quiz")).content.decode()


def test_without_a_week_it_says_so(as_player, backer):
    assert "No week is released yet" in as_player.get(reverse("player:quiz")).content.decode()


def test_wrong_methods_strangers_and_coaches(client, staff, player):
    week = make_week(released=True, pairs=[])
    assert client.get(reverse("player:quiz"))["Location"].startswith(reverse("people:log-in"))
    client.force_login(staff)
    assert client.get(reverse("player:quiz")).status_code == 404
    client.force_login(player)
    assert client.post(reverse("player:quiz")).status_code == 405
    assert client.get(address(week)).status_code == 405


def test_an_answer_to_a_look_that_was_changed_meanwhile_does_not_count_and_is_asked_anew(as_player, backer):
    week = make_week(released=True)
    question = next(q for q in questions(week) if q.ask == "fit")
    FitRule.objects.filter(rule_id=question.card.rule.id).update(leverage="box")
    for headers in ({}, HTMX):
        answered = as_player.post(address(week), {**asked(question), "given": question.expected}, **headers)
        page = answered.content.decode()
        assert answered.status_code == 409 and "Your answer does not count" in page
        following = answered.context["question"]
        assert (following.look_id, following.ask) == (question.look_id, question.ask)
        assert following.card.digest != question.card.digest and following.card.digest in page
    assert not QuizAnswer.objects.exists()
    again = as_player.post(address(week), {**asked(following), "given": following.expected})
    assert again.status_code == 200 and QuizAnswer.objects.get().right


def test_an_answer_to_a_look_that_was_taken_off_meanwhile_does_not_count(as_player, backer):
    week = make_week(released=True)
    question = questions(week)[0]
    week.expected_looks.filter(pk=question.look_id).delete()
    answered = as_player.post(address(week), {**asked(question), "given": question.expected})
    assert answered.status_code == 409 and "Your answer does not count" in answered.content.decode()
    assert answered.context["question"].look_id != question.look_id
    assert not QuizAnswer.objects.exists()


def test_an_answer_in_a_withdrawn_week_does_not_count_and_says_so(as_player, backer):
    week = make_week(released=True)
    question = questions(week)[0]
    services.release_week(week, week.version, False)
    for headers in ({}, HTMX):
        answered = as_player.post(address(week), {**asked(question), "given": question.expected}, **headers)
        page = answered.content.decode()
        assert answered.status_code == 410 and "Week 1: Opponent 1 was withdrawn" in page
        assert ("<html" in page) == (not headers) and '<section id="quiz"' in page
    assert not QuizAnswer.objects.exists()


def test_htmx_puts_refused_answers_on_the_page(as_player, backer):
    make_week(released=True)
    page = as_player.get(reverse("player:quiz")).content.decode()
    handled = json.loads(re.search(r'name="htmx-config" content=\'([^\']+)', page)[1])["responseHandling"]
    for code in ("409", "410"):
        assert next(rule for rule in handled if re.fullmatch(rule["code"], code))["swap"]
