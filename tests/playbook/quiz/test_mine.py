"""The quiz as a player meets it: a picture, four answers, what is right, and every answer kept once."""

import json
import re
from uuid import uuid4

import pytest
from django.urls import reverse

from fits.words import words_of
from playbook.models import FitRule, QuizAnswer
from playbook.player import queries as players
from playbook.publishing import services as publishing
from playbook.quiz import picking
from playbook.quiz.queries import MyQuiz
from tests.playbook.week.made import make_week, put_at

pytestmark = pytest.mark.django_db
CALL = "odd-three-safety"
HTMX = {"HTTP_HX_REQUEST": "true"}


def quiz_of(user, week=None, role=""):
    mine = players.my_week(players.mine(user), week and week.pk, role=role)
    for one in (mine.week, *mine.others):
        if one.expected_looks.exists():
            publishing.ensure(one)
    return MyQuiz(mine)


def sent(question, given=None, **more):
    item = question.item
    return {
        "key": uuid4(), "round": uuid4(), "look": item.look, "call": item.call, "ask": item.ask,
        "state": question.state, "given": question.expected if given is None else given,
    } | more  # fmt: skip


def wrong(question):
    return next(choice.text for choice in question.choices if choice.text != question.expected)


def address(week, role="M"):
    return reverse("quiz:answer", args=[week.pk]) + f"?as={role}"


def questions(user):
    quiz = quiz_of(user)
    return [q for item in quiz.pool if (q := quiz.question(item, "r"))]


def test_every_question_offers_the_right_answer_once_and_wrong_ones(backer):
    make_week(released=True)
    found = questions(backer)
    assert {question.item.ask for question in found} == {"fit", "key", "place"}
    for question in found:
        texts = [choice.text for choice in question.choices]
        assert texts.count(question.expected) == 1
        assert 2 <= len(texts) == len(set(texts)) <= 4


def test_every_answer_that_is_a_place_is_marked_on_the_picture(backer):
    make_week(released=True)
    for question in questions(backer):
        numbers = [choice.mark.number for choice in question.choices if choice.mark]
        drawn = re.findall(r'data-man="c:(\d)"', question.picture)
        assert sorted(drawn) == sorted(numbers) and numbers == sorted(numbers)
        marks = {choice.text: choice.mark for choice in question.choices}
        man = quiz_of(backer).play(question.item).look.defender("M")
        right = marks[question.expected]
        if question.item.ask == "place":
            assert (right.x, right.y) == (man.x, man.y)
        elif question.item.ask == "key":
            assert right.beside == man.key.split(", ")[0]
            assert [c for c in question.choices if c.mark.beside in man.key.split(", ")] == [
                c for c in question.choices if c.text == question.expected
            ]


def test_the_right_answer_is_the_derived_fit(backer):
    make_week(released=True)
    quiz = quiz_of(backer)
    fits = [item for item in quiz.pool if item.ask == "fit"]
    assert fits
    for item in fits:
        look = quiz.play(item).look
        man, said = look.defender("M"), words_of(look)
        lane = next((lane for lane in look.lanes if lane.index == man.lane), None)
        assert quiz.question(item, "r").expected.lower() == (said.lane(lane) if lane else said.fit(man)).lower()


def test_the_plays_name_the_job_and_the_lane_are_not_on_the_page_of_a_question(as_player, backer):
    make_week(released=True, pairs=[("11-doubles", "power"), ("11-doubles", "counter")])
    for question in questions(backer):
        assert not re.search("power|counter", question.picture.lower() + question.setting.lower())
        assert 'data-man="d:M"' not in question.picture or question.item.ask != "place"
    page = as_player.get(reverse("quiz:mine")).content.decode()
    assert not re.search("power|counter", page.lower())


def test_choices_are_shuffled_from_round_to_round(backer):
    make_week(released=True)
    quiz = quiz_of(backer)
    item = next(item for item in quiz.pool if item.ask == "place")
    places = {tuple(c.text for c in quiz.question(item, f"round {n}").choices).index(
        quiz.question(item, f"round {n}").expected) for n in range(12)}  # fmt: skip
    assert len(places) > 1


def test_what_he_cannot_know_is_not_asked(backer):
    """Inside and outside zone look the same to a backer who reads a guard only until they do not: pictures decide."""
    make_week(released=True)
    quiz = quiz_of(backer)
    from fits.know import study_looks

    plays = quiz.plays(quiz.mine.week, CALL)
    looks = [play.look for play in plays if play.look]
    (known,) = study_looks(quiz.mine.call, looks, roles=["M"]).men
    settled = {id(one.look) for seen in known.seen if seen.known for one in seen.fits[0]}
    asked = {item.look for item in quiz.pool if item.ask == "fit"}
    assert asked == {play.expected.pk for play in plays if play.look and id(play.look) in settled}


def test_a_right_answer_is_kept_with_its_rule_and_the_next_question_is_another(as_player, backer):
    week = make_week(released=True)
    question = next(q for q in questions(backer) if q.item.ask == "fit")
    page = as_player.post(address(week), sent(question))
    assert "Right." in page.content.decode()
    answer = QuizAnswer.objects.get()
    assert (answer.player, answer.right, answer.role, answer.position) == (backer.player, True, "M", "M")
    assert answer.rule == question.card.rule.id and answer.about
    assert page.context["question"].item.key != question.item.key


def test_an_answer_that_is_sent_twice_is_kept_once(as_player, backer):
    week = make_week(released=True)
    question = questions(backer)[0]
    same = sent(question)
    for _ in range(2):
        assert as_player.post(address(week), same).status_code == 200
    assert as_player.post(address(week), same | {"given": wrong(question)}).status_code == 200
    assert QuizAnswer.objects.get().right


def test_a_key_of_another_mans_answer_is_not_taken(client, as_player, backer, django_user_model):
    from playbook.models import Player

    week = make_week(released=True)
    question = questions(backer)[0]
    other = Player.objects.create(first_name="Ulric", last_name="Tannermoor", number=7)
    kept = QuizAnswer.objects.create(
        player=other, week=week, look_id=question.item.look, call=week.system.calls.get(name=CALL), role="M",
        ask="fit", given="x", expected="y", right=False,
    )  # fmt: skip
    assert as_player.post(address(week), sent(question, key=kept.key)).status_code == 404
    assert QuizAnswer.objects.count() == 1


def test_an_answer_from_a_phone_without_signal_keeps_its_time_within_reason(as_player, backer):
    from datetime import timedelta

    from django.utils import timezone

    week = make_week(released=True)
    question, now = questions(backer)[0], timezone.now()
    for hours, about in [(5, 5), (24 * 60, 24 * 14), (-3, 0)]:
        at = (now - timedelta(hours=hours)).isoformat()
        assert as_player.post(address(week), sent(question, at=at)).status_code == 200
        kept = QuizAnswer.objects.order_by("-pk").first()
        assert abs((now - kept.at).total_seconds() / 3600 - about) < 0.1


def test_a_miss_shows_the_rule_and_the_picture_and_comes_again(as_player, backer):
    week = make_week(released=True)
    question = next(q for q in questions(backer) if q.item.ask == "fit")
    first = sent(question, wrong(question))
    shown = as_player.post(address(week), first)
    page = shown.content.decode()
    assert "No." in page and question.expected in page and question.item.about.split(":")[0] in page
    assert 'data-man="d:M"' in page and "comes again in this round" in page
    assert not QuizAnswer.objects.get().right
    asked = [question.item.key]
    for _ in range(8):
        following = quiz_of(backer).next(str(first["round"]))
        asked.append(following.item.key)
        if following.item.key == question.item.key:
            break
        as_player.post(address(week), sent(following, round=first["round"]))
    assert asked.index(question.item.key, 1) > picking.GAP


def test_a_round_ends_with_what_was_missed_and_when_it_comes_again(as_player, backer):
    week = make_week(released=True)
    round_ = uuid4()
    number = 0
    while (question := quiz_of(backer).next(str(round_))) and number < 20:
        given = wrong(question) if number == 0 else question.expected
        page = as_player.post(address(week), sent(question, given, round=round_))
        number += 1
    assert picking.LENGTH <= number <= picking.MOST or number == len(quiz_of(backer).pool) + 1
    text = page.content.decode()
    assert "right at once" in text and "comes again on" in text and "Another round" in text
    again = as_player.get(reverse("quiz:of", args=[week.pk]) + "?as=M&new")
    assert "<fieldset" in again.content.decode()


def test_a_round_is_taken_up_again_where_it_was_left(as_player, backer):
    week = make_week(released=True)
    question = questions(backer)[0]
    first = sent(question)
    as_player.post(address(week), first)
    assert str(first["round"]) in as_player.get(reverse("quiz:mine")).content.decode()


def test_two_positions_are_kept_apart(client, as_player, player):
    week = make_week(released=True)
    put_at(player.player, "M", "W")
    question = questions(player)[0]
    as_player.post(address(week), sent(question))
    assert len(quiz_of(player, role="M").past) == 1 and quiz_of(player, role="W").past == []
    as_player.post(address(week, "W"), sent(quiz_of(player, role="W").next("r")))
    assert set(QuizAnswer.objects.values_list("position", flat=True)) == {"M", "W"}
    assert len(quiz_of(player, role="M").past) == 1


def test_the_first_steps_stop_before_the_answer_and_the_defense_stands_still(as_player, backer):
    week = make_week(released=True)
    question = next(q for q in questions(backer) if q.item.ask == "fit")
    told = as_player.get(
        reverse("quiz:steps", args=[week.pk, question.item.look]), {"as": "M", "call": CALL, "round": "r"}
    ).json()
    moves = told["forms"]["question"]
    assert len(moves["o:LG"]) == told["stills"]["read"] + 1 <= 12
    assert any(place != [0, 0] for place in moves["o:RG"])
    assert all(place == [0, 0] for man, way in moves.items() if man.startswith("d:") for place in way)
    assert as_player.get(reverse("quiz:steps", args=[week.pk, 999999]), {"call": CALL}).status_code == 404


def test_no_answer_chosen_is_invalid_and_asks_the_same_again(as_player, backer):
    week = make_week(released=True)
    question = questions(backer)[1]
    answer = as_player.post(address(week), sent(question, ""))
    assert answer.status_code == 422 and "Choose one answer." in answer.content.decode()
    assert answer.context["question"].item == question.item
    assert not QuizAnswer.objects.exists()


def test_there_is_a_clock_only_where_the_staff_wants_one(as_player, backer):
    from playbook.quiz.services import set_clock

    week = make_week(released=True)
    assert "data-seconds" not in as_player.get(reverse("quiz:mine")).content.decode()
    set_clock(15)
    assert 'data-seconds="15"' in as_player.get(reverse("quiz:mine")).content.decode()
    question = questions(backer)[0]
    page = as_player.post(address(week), sent(question, "", late="1"))
    assert "Time was up" in page.content.decode() and not QuizAnswer.objects.get().right


def test_a_question_of_another_week_is_not_counted(as_player, backer):
    week, other = make_week(1, released=True), make_week(2, released=True)
    quiz = quiz_of(backer, other)
    question = quiz.question(quiz.pool[0], "r")
    assert as_player.post(address(week), sent(question)).status_code == 409
    assert not QuizAnswer.objects.exists()


def test_htmx_gets_only_the_quiz(as_player, backer):
    week = make_week(released=True)
    question = questions(backer)[0]
    for given in (question.expected, wrong(question)):
        page = as_player.post(address(week), sent(question, given), **HTMX).content.decode()
        assert page.lstrip().startswith('<section id="quiz"') and "<html" not in page


def test_a_week_that_was_not_published_to_him_says_so(as_player, backer):
    make_week(released=True, pairs=[])
    assert "not published" in as_player.get(reverse("quiz:mine")).content.decode()


def test_without_a_week_it_says_so(as_player, backer):
    assert "No week is published yet" in as_player.get(reverse("quiz:mine")).content.decode()


def test_wrong_methods_strangers_and_coaches(client, staff, player):
    week = make_week(released=True, pairs=[])
    assert client.get(reverse("quiz:mine"))["Location"].startswith(reverse("people:log-in"))
    client.force_login(staff)
    assert client.get(reverse("quiz:mine")).status_code == 404
    client.force_login(player)
    assert client.post(reverse("quiz:mine")).status_code == 405
    assert client.get(address(week)).status_code == 405


def test_a_job_that_is_being_edited_is_not_asked_until_it_is_published(as_player, backer):
    week = make_week(released=True)
    question = next(q for q in questions(backer) if q.item.ask == "fit")
    FitRule.objects.filter(rule_id=question.card.rule.id).update(leverage="box")
    for headers in ({}, HTMX):
        answered = as_player.post(address(week), sent(question), **headers)
        assert answered.status_code == 409 and "Your answer does not count" in answered.content.decode()
        assert answered.context["question"].item.key != question.item.key
    assert not QuizAnswer.objects.exists()
    publishing.publish(week)
    following = next(q for q in questions(backer) if q.item.key == question.item.key)
    assert following.state != question.state
    assert as_player.post(address(week), sent(question)).status_code == 409
    assert as_player.post(address(week), sent(following)).status_code == 200 and QuizAnswer.objects.get().right


def test_an_answer_to_a_look_that_was_taken_off_meanwhile_does_not_count(as_player, backer):
    week = make_week(released=True)
    question = questions(backer)[0]
    week.expected_looks.filter(pk=question.item.look).delete()
    answered = as_player.post(address(week), sent(question))
    assert answered.status_code == 409 and "Your answer does not count" in answered.content.decode()
    assert answered.context["question"].item.look != question.item.look
    assert not QuizAnswer.objects.exists()


def test_an_answer_in_a_withdrawn_week_does_not_count_and_says_so(as_player, backer):
    week = make_week(released=True)
    question = questions(backer)[0]
    publishing.withdraw(week, week.version)
    for headers in ({}, HTMX):
        answered = as_player.post(address(week), sent(question), **headers)
        page = answered.content.decode()
        assert answered.status_code == 410 and "Week 1: Opponent 1 was withdrawn" in page
        assert ("<html" in page) == (not headers) and '<section id="quiz"' in page
    assert not QuizAnswer.objects.exists()


def test_htmx_puts_refused_answers_on_the_page(as_player, backer):
    make_week(released=True)
    page = as_player.get(reverse("quiz:mine")).content.decode()
    handled = json.loads(re.search(r'name="htmx-config" content=\'([^\']+)', page)[1])["responseHandling"]
    for code in ("409", "410"):
        assert next(rule for rule in handled if re.fullmatch(rule["code"], code))["swap"]
