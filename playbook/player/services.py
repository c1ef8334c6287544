"""What a player's pages write: his answers."""

from __future__ import annotations

from playbook.models import Call, QuizAnswer, Week
from playbook.player.quiz import Question


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
