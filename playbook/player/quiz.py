"""The quiz: one question at a time about the player's own cards, the one he knows least first. Reads only."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import fits
from fits.words import words_of
from playbook.models import Ask
from playbook.week import sheets, words

CHOICES = 4


@dataclass(frozen=True, slots=True)
class Question:
    """A look, what is asked about it, and the answers to choose from."""

    look_id: int
    ask: str
    title: str
    setting: str
    hint: str
    text: str
    choices: tuple[str, ...]
    expected: str
    card: sheets.Card


def all_questions(sheet: sheets.Sheet, plays: Sequence[sheets.DerivedLook]) -> list[Question]:
    """Returns every question that has at least one wrong answer to offer, in the sheet's order."""
    by_look = {play.expected.pk: play for play in plays}
    found = [_question(card, ask, sheet, by_look[card.look_id]) for ask in Ask for card in sheet.cards]
    return [question for question in found if len(question.choices) > 1]


def _question(card: sheets.Card, ask: Ask, sheet: sheets.Sheet, play: sheets.DerivedLook) -> Question:
    expected = answer(card, ask)
    mine = [answer(other, ask) for other in sheet.cards]
    theirs = [_of_man(man, ask, play, play.look) for man in play.look.defenders] if play.look else []
    wrong = [text for text in dict.fromkeys([*mine, *theirs]) if text and text != expected][: CHOICES - 1]
    hint = f"{card.saw[:1].upper()}{card.saw[1:]}." if ask is Ask.FIT else ""
    choices = tuple(sorted([expected, *wrong], key=lambda text: sheets.digest(card.look_id, ask, text)))
    return Question(card.look_id, ask.value, card.title, card.setting, hint, ask.label, choices, expected, card)


def answer(card: sheets.Card, ask: str) -> str:
    """Returns what is right."""
    if ask == Ask.KEY:
        return card.key or "the ball"
    return card.place if ask == Ask.PLACE else card.fit


def _of_man(man: fits.Defender, ask: str, play: sheets.DerivedLook, look: fits.Look) -> str:
    if ask == Ask.KEY:
        return man.key
    said = words_of(look)
    if ask == Ask.PLACE:
        return words.sentence(words.place_words(man, play.call, said))
    return words.sentence(said.fit(man))


def next_question(
    questions: Iterable[Question],
    answers: dict[tuple[int, str], tuple[int, int]],
    after: Sequence[tuple[int, str]] = (),
) -> Question | None:
    """Returns the question answered right least often; of those, the one missed most.

    Those of `after`, asked last and the newest first, come again only when there is no other.
    """

    def turn(question: Question) -> tuple[int, int, int]:
        which = (question.look_id, question.ask)
        asked, good = answers.get(which, (0, 0))
        return len(after) - after.index(which) if which in after else 0, good, good - asked

    return min(questions, key=turn, default=None)


def find_question(questions: Iterable[Question], look_id: int, ask: str) -> Question | None:
    """Returns the question about that look, or none when it is not asked any more."""
    return next((q for q in questions if (q.look_id, q.ask) == (look_id, ask)), None)
