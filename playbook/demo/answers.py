"""Invented answers in the quiz: some of the demo's men asked themselves on two days, and do not know everything."""

from __future__ import annotations

import random
from datetime import timedelta
from uuid import UUID

from django.utils import timezone

from playbook.models import Player, Week
from playbook.player.queries import Mine, NoSheet, my_week
from playbook.publishing.services import ensure
from playbook.quiz.picking import Given
from playbook.quiz.queries import MyQuiz
from playbook.quiz.services import save_answer

ASKED = ("M", "W", "CB")  # positions whose first two men have answered; who can log in begins with an empty quiz
DAYS_AGO = (2, 1)
MISSES = 0.3  # of the answers on the first day; half of that on the second


def load_answers(week: Week) -> None:
    """Makes the answers of a week that has none."""
    if week.answers.exists():
        return
    ensure(week)
    for name in ASKED:
        spots = (
            week.system.positions.get(name=name)
            .spots.filter(player__user=None)
            .select_related("player")
            .order_by("order")[:2]
        )
        for spot in spots:
            _answer(week, spot.player, name)


def _answer(week: Week, player: Player, position: str) -> None:
    chance = random.Random(f"{player.number}{position}")
    try:
        quiz = MyQuiz(my_week(Mine(player.pk, {week.system_id: (position,)}), week.pk))
    except NoSheet:
        return
    for turn, days in enumerate(DAYS_AGO):
        round_ = UUID(int=chance.getrandbits(128), version=4)
        at = timezone.now() - timedelta(days=days)
        while question := quiz.next(str(round_), at):
            wrong = [choice.text for choice in question.choices if choice.text != question.expected]
            given = chance.choice(wrong) if chance.random() < MISSES / (1 + turn) else question.expected
            key = UUID(int=chance.getrandbits(128), version=4)
            kept = save_answer(player.pk, question, given, key=key, round_=round_, at=at)
            quiz.past.append(Given(question.item.key, question.item.topic, kept.right, at, str(round_)))
            at += timedelta(seconds=20)
