"""What a player's pages write: his answers, and that he opened his sheet."""

from __future__ import annotations

from django.utils import timezone

from playbook.models import Call, QuizAnswer, SheetOpening, Week
from playbook.player.quiz import Question


def note_opening(player_id: int, week_id: int) -> None:
    """Keeps that the player opened his sheet of the week now."""
    SheetOpening.objects.bulk_create(
        [SheetOpening(player_id=player_id, week_id=week_id, at=timezone.now())],
        update_conflicts=True,
        unique_fields=["player", "week"],
        update_fields=["at"],
    )


def save_answer(player_id: int, week: Week, call: str, role: str, question: Question, given: str) -> QuizAnswer:
    """Returns the answer, kept with what was right at this time."""
    return QuizAnswer.objects.create(
        player_id=player_id,
        week=week,
        look_id=question.look_id,
        call=Call.objects.get(system=week.system_id, name=call),
        role=role,
        ask=question.ask,
        given=given[:120],
        expected=question.expected[:120],
        right=given == question.expected,
    )
