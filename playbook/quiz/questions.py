"""A question as it is shown: its picture, its words, and the answers to choose from. Reads only.

The words of a right answer are those of the man's card. The play's name is not told.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass

import fits
from fits.draw.asking import Showing, draw_question, question_shifts
from fits.draw.scene import ChoiceMark
from fits.draw.svg import Form, draw_parts
from fits.offense.formation import OffensiveMan
from fits.timeline.make import derive_timeline
from fits.words import Words, words_of
from playbook.looks.specs import asks_of, specs_of, surroundings
from playbook.models import Ask, Week
from playbook.quiz.items import noun_of
from playbook.quiz.picking import Item
from playbook.week import sheets, words

CHOICES = 4
APART = 1.2  # yards between two spots to choose from
BEHIND_LINE = -2.8  # yards; where the mark of a lane stands, clear of the line
LEAD = {
    Ask.FIT: "Tap your lane.",
    Ask.KEY: "Tap the man you read first.",
    Ask.PLACE: "Tap your spot.",
}


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer: its words, and where it is on the picture, if it is a place."""

    text: str
    mark: ChoiceMark | None = None


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked about one look of one week against one call."""

    item: Item
    role: str
    position: str
    called: str
    setting: str
    hint: str
    text: str
    lead: str
    choices: tuple[Choice, ...]
    expected: str
    picture: str
    moves: bool
    card: sheets.Card

    @property
    def state(self) -> str:
        """Names the card the question was made from."""
        return self.card.digest


def ask(item: Item, play: sheets.DerivedLook, role: str, seed: str) -> Question | None:
    """Returns the question about an item; none when its look cannot be asked about any more."""
    card = sheets.card_of(play, role)
    look = play.look
    man = look.defender(role) if look else None
    if card is None or look is None or man is None:
        return None
    chance = random.Random(f"{seed}{item.key}")
    said = words_of(look)
    right, wrong = {Ask.FIT: _lanes, Ask.KEY: _men, Ask.PLACE: _spots}[Ask(item.ask)](look, man, play.call, said)
    if right is None:
        return None
    near = _unlike(right, wrong)
    chosen = [right, *chance.sample(near[: CHOICES + 1], min(CHOICES - 1, len(near)))]
    if len(chosen) < 2:
        return None
    chance.shuffle(chosen)
    choices = tuple(_numbered(chosen))
    showing = {Ask.FIT: Showing.STEPS, Ask.KEY: Showing.HIM, Ask.PLACE: Showing.OFFENSE}[Ask(item.ask)]
    marks = [choice.mark for choice in choices if choice.mark]
    return Question(
        item=item,
        role=role,
        position=man.position,
        called=str(play.call.called),
        setting=card.setting,
        hint=f"You see: {card.saw}." if item.ask == Ask.FIT else "",
        text=Ask(item.ask).label,
        lead=LEAD[Ask(item.ask)] if marks else "Choose one.",
        choices=choices,
        expected=right.text,
        picture=draw_question(look, role, showing, marks, Form.PHONE, "defense", play.book),
        moves=item.ask == Ask.FIT,
        card=card,
    )


def answer_picture(play: sheets.DerivedLook, role: str) -> str:
    """Returns the drawing that goes with the right answer, to stand in a page."""
    assert play.look is not None
    return draw_parts(play.look, Form.PHONE, role, "defense", play.book)


def first_steps(week: Week, play: sheets.DerivedLook, question: Question) -> dict[str, object]:
    """Returns how the offense moves up to the moment he must have read it, for the script that plays a drawing.

    The defenders stand still after the snap: their first steps would say the answer. Raises fits.FitsError.
    """
    (spec,) = specs_of(asks_of(week, [play.expected]), surroundings(week.system_id, week), play.call)
    if not isinstance(spec, fits.LookSpec):
        raise spec
    run = derive_timeline(spec)
    end = run.stills["read"] + 1
    men = [_Track(t.role, t.side, _until(t.places, end, run.snap if t.side == "defense" else end)) for t in run.men]
    marks = [choice.mark for choice in question.choices if choice.mark]
    shifts = question_shifts(
        run.look, question.role, men, run.ball[:end], run.snap, marks, Form.PHONE, "defense", play.book
    )
    moments = [{"frame": 0, "text": "motion"}] if run.snap else []
    return {
        "step": run.step_s,
        "start": run.start_s,
        "snap": run.snap,
        "stills": {"snap": run.snap, "read": end - 1, "fit": end - 1},
        "marks": [*moments, {"frame": run.snap, "text": "snap"}, {"frame": end - 1, "text": "read"}],
        "arrivals": {},
        "forms": {"question": shifts},
    }


@dataclass(frozen=True, slots=True)
class _Track:
    role: str
    side: str
    places: tuple[tuple[float, float], ...]


def _until(places: Sequence[tuple[float, float]], end: int, still: int) -> tuple[tuple[float, float], ...]:
    moved = [tuple(place) for place in places[:end]]
    return tuple(moved[: still + 1] + [moved[still]] * (end - still - 1)) if still < end else tuple(moved)  # type: ignore[arg-type]


def _unlike(right: Choice, wrong: Sequence[Choice]) -> list[Choice]:
    """Returns the wrong answers, no two with the same words."""
    return list({choice.text: choice for choice in reversed(wrong) if choice.text != right.text}.values())[::-1]


def _numbered(chosen: Sequence[Choice]) -> list[Choice]:
    found, number = [], 0
    for choice in chosen:
        if choice.mark is None:
            found.append(choice)
            continue
        number += 1
        mark = choice.mark
        found.append(Choice(choice.text, ChoiceMark(str(number), mark.x, mark.y, mark.beside, mark.lane)))
    return found


def _lanes(look: fits.Look, man: fits.Defender, call: fits.Call, said: Words) -> tuple[Choice | None, list[Choice]]:
    """The lane he fits, and the others with the nearest first; who has no lane is offered those beside him."""

    def lane(one: fits.Lane) -> Choice:
        return Choice(words.sentence(said.lane(one))[:120], ChoiceMark("", one.x, BEHIND_LINE, lane=True))

    his = next((one for one in look.lanes if one.index == man.lane), None)
    right = lane(his) if his else Choice(words.sentence(said.fit(man))[:120])
    middle = his.x if his else man.x
    others = sorted((one for one in look.lanes if one is not his), key=lambda one: abs(one.x - middle))
    return right, [lane(one) for one in others]


def _men(look: fits.Look, man: fits.Defender, call: fits.Call, said: Words) -> tuple[Choice | None, list[Choice]]:
    """The man he reads first, and others near him; nobody else whom he reads is offered."""
    reads = man.key.split(", ") if man.key else []
    key = next((p for p in look.offense if reads and p.role == reads[0]), None)
    if key is None:
        return None, []
    others = [p for p in look.offense if p.role not in reads]
    others.sort(key=lambda p: abs(p.x - key.x) + abs(p.y - key.y))
    return _man(key, said), [_man(p, said) for p in others]


def _man(p: OffensiveMan, said: Words) -> Choice:
    noun = noun_of(p)
    alone = noun in ("centre", "quarterback", "back") or abs(p.x) < 0.5
    text = f"{p.role}: {noun if alone else said.beside(noun, p.x)}"
    return Choice(text[:120], ChoiceMark("", p.x, p.y, beside=p.role))


def _spots(look: fits.Look, man: fits.Defender, call: fits.Call, said: Words) -> tuple[Choice | None, list[Choice]]:
    """Where he stands, and where others of the eleven stand in the same look, the nearest first."""

    def spot(d: fits.Defender) -> Choice:
        text = words.sentence(words.place_words(d, call, said))
        return Choice(text[:120], ChoiceMark("", d.x, d.y))

    taken = [(man.x, man.y)]
    others = []
    for d in sorted(look.defenders, key=lambda d: abs(d.x - man.x) + abs(d.y - man.y)):
        if d.role != man.role and all(max(abs(d.x - x), abs(d.y - y)) >= APART for x, y in taken):
            taken.append((d.x, d.y))
            others.append(spot(d))
    return spot(man), others
