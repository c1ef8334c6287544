"""What a player still knows: his answers, replayed through a published scheduler (FSRS, the package `fsrs`).

Nothing is kept but the answers: one that comes late, from a phone without signal, takes its place by its time. No fuzz:
the same answers always give the same days.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Protocol

from fsrs import Card, Rating, Scheduler

Topic = tuple[int, str, str]  # week, what is asked, rule
# In a round the quiz itself says when something comes again, so the scheduler has no steps of minutes.
SCHEDULER = Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False, maximum_interval=120)


class Answered(Protocol):
    """An answer, as far as memory goes by it."""

    @property
    def topic(self) -> Topic: ...
    @property
    def right(self) -> bool: ...
    @property
    def at(self) -> datetime: ...


@dataclass(frozen=True, slots=True)
class Memory:
    """One rule in one week: whether he had it right last, and the scheduler's card."""

    card: Card
    right: bool

    @property
    def due(self) -> datetime:
        """When it should be asked again."""
        return self.card.due

    @property
    def last(self) -> datetime:
        """When he answered last."""
        assert self.card.last_review is not None
        return self.card.last_review

    def recall(self, now: datetime) -> float:
        """How likely he still knows it, from 0 to 1."""
        return float(SCHEDULER.get_card_retrievability(self.card, now.astimezone(UTC)))


def remember(past: Iterable[Answered]) -> dict[Topic, Memory]:
    """Returns what there is to remember, by week, kind and rule; the oldest answer comes first."""
    found: dict[Topic, Memory] = {}
    for given in past:
        card = found[given.topic].card if given.topic in found else Card(card_id=0)
        rating = Rating.Good if given.right else Rating.Again
        card, _ = SCHEDULER.review_card(card, rating, given.at.astimezone(UTC))
        found[given.topic] = Memory(card, given.right)
    return found
