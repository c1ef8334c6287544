"""What the quiz writes: answers, once each; a rule into the plan; the clock."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from playbook.models import Call, Day, ExpectedLook, Installation, PlanEntry, QuizAnswer, Week
from playbook.quiz.questions import Question
from playbook.week.services import add_row

LATEST = timedelta(days=14)  # an answer that a phone kept for longer is counted as given then


def save_answer(
    player_id: int, question: Question, given: str, *, key: UUID, round_: UUID, at: datetime | None = None
) -> QuizAnswer:
    """Returns the answer, kept with what was right at this time; sent twice, it is kept once.

    `at` is when he gave it, where that was before it was sent.
    """
    now, item = timezone.now(), question.item
    answered = now if at is None else min(max(at, now - LATEST), now)
    kept, _ = QuizAnswer.objects.get_or_create(
        key=key,
        defaults={
            "round": round_,
            "player_id": player_id,
            "week_id": item.week,
            "look_id": item.look,
            "call": Call.objects.get(system__weeks=item.week, name=item.call),
            "role": question.role,
            "position": question.position,
            "ask": item.ask,
            "rule": item.rule,
            "about": item.about,
            "given": given[:120],
            "expected": question.expected[:120],
            "right": given == question.expected,
            "at": answered,
        },
    )
    return kept


class NoDay(Exception):
    """The week has no day of practice to put anything into."""


def next_day(week: Week, today: date) -> Day:
    """Returns the day that comes after today; without dates the first one, after all of them the last. Raises NoDay."""
    days = list(week.days.order_by("order"))
    if not days:
        raise NoDay("This week's plan has no day yet. Add one first.")
    later = [day for day in days if day.date and day.date > today]
    if later:
        return min(later, key=lambda day: (day.date, day.order))
    undated = [day for day in days if day.date is None]
    return undated[0] if undated else days[-1]


@transaction.atomic
def put_into_plan(
    week: Week, text: str, group: str, look: ExpectedLook | None, call: Call | None, today: date
) -> tuple[PlanEntry, bool]:
    """Returns the entry of the next day with that text, and whether it is new. Raises NoDay."""
    day = next_day(week, today)
    there = day.entries.filter(group=group, text=text).first()
    if there:
        return there, False
    entry = PlanEntry(day=day, group=group, text=text, look=look, call=call)
    add_row(entry)
    return entry, True


@transaction.atomic
def set_clock(seconds: int | None) -> None:
    """Writes how many seconds there are for a question; none: no clock."""
    Installation.objects.get_or_create(pk=1)
    row = Installation.objects.select_for_update().get(pk=1)
    row.save_version(row.version, quiz_clock_s=seconds)
