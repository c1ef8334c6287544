"""What each man must know in a week: his card for every look, and the rules behind it. Reads only.

Looks are kept by what they are made of (`company_looks`), so a card is never older than its rules.
"""

from __future__ import annotations

import hashlib
import json
from collections import Counter, OrderedDict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import fits
from fits.defense.roles import concerns
from fits.defense.system import FiredRule
from fits.draw.scene import look_scene
from fits.draw.svg import draw_look
from fits.draw.themes import Theme
from fits.told import told
from fits.words import words_of
from playbook import convert
from playbook.looks.queries import company_looks
from playbook.looks.specs import asks_of, expected_looks, specs_of, surroundings
from playbook.models import ExpectedLook, Week
from playbook.proof.results import NONE, STATE_WORDS, engine_digest, state_of
from playbook.week import words

KEPT = 1024
_drawn: OrderedDict[int, tuple[fits.Look, dict[str, str]]] = OrderedDict()  # by look, of what is drawn for each man


@dataclass(frozen=True, slots=True)
class DerivedLook:
    """An expected look, derived against a call: the look, or the sentence that says why there is none."""

    expected: ExpectedLook
    call: fits.Call
    look: fits.Look | None
    trouble: str
    book: fits.RuleBook

    @property
    def title(self) -> str:
        """The concept and its direction."""
        way = f" {words_of(self.look).direction}" if self.look else ""
        return str(self.expected.concept) + way + _with(self.expected)

    @property
    def setting(self) -> str:
        """Formation, motion, hash and options, in words."""
        return setting_words(self.expected, words_of(self.look).ball if self.look else "")

    @property
    def state(self) -> str:
        """One of STATE_WORDS."""
        return NONE if self.look is None else state_of(self.look.band, self.look.findings)

    @property
    def words(self) -> str:
        """The state in words."""
        return STATE_WORDS[self.state]


@dataclass(frozen=True, slots=True)
class Card:
    """One man's job in one look. `digest` names these words and the drawing that goes with them, and nothing else."""

    look_id: int
    title: str
    setting: str
    role: str
    called: str
    technique: str
    place: str
    key: str
    saw: str
    fit: str
    leverage: str
    leverage_says: str
    say: str
    duty: str
    note: str
    rule: FiredRule
    guess: bool
    share: float | None
    digest: str = ""

    @property
    def alt(self) -> str:
        """What the drawing shows, in one sentence."""
        return (
            f"{self.title} from {self.setting}: {self.called} lines up {self.technique}, "
            f"reads {self.key or 'the ball'} and fits {self.fit}."
        )


@dataclass(frozen=True, slots=True)
class MyRule:
    """One rule of a man: when it holds, what he does, with which leverage, and in how many of the week's looks."""

    when: str
    does: str
    leverage: str = ""
    looks: int = 0


@dataclass(frozen=True, slots=True)
class MyRules:
    """The rules of a call that concern one man, first match wins in each list."""

    place: tuple[MyRule, ...]
    key: tuple[MyRule, ...]
    fit: tuple[MyRule, ...]
    takes: tuple[MyRule, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """One man's week against one call."""

    call: str
    call_note: str
    role: str
    position: str
    label: str
    rules: MyRules
    this_week: tuple[MyRule, ...]
    cards: tuple[Card, ...]
    left_out: tuple[str, ...]

    @property
    def stands(self) -> list[tuple[str, str, int]]:
        """Technique, place, and in how many of the looks, the most first."""
        return [(*spot, n) for spot, n in Counter((card.technique, card.place) for card in self.cards).most_common()]


def concept_title(expected: ExpectedLook) -> str:
    """Returns the concept with its options."""
    return str(expected.concept) + _with(expected)


def _with(expected: ExpectedLook) -> str:
    return "".join(f" + {option}" for option in expected.option_labels)


def setting_words(expected: ExpectedLook, ball: str = "") -> str:
    """Returns formation, motion and hash in words; `ball` says the hash in a reader's own frame."""
    parts = [str(expected.formation) + (" flipped" if expected.flip else "")]
    if expected.motion:
        parts.append(f"{expected.motion} motion")
    if expected.back:
        parts.append(expected.back_words)
    sides = {"left": "on the left hash", "right": "on the right hash"}
    parts.append(f"ball {ball or sides.get(expected.hash, 'in the middle')}")
    return ", ".join(parts)


def calls_of(week: Week) -> Mapping[str, fits.Call]:
    """Returns the calls of the week's system by name; none when its rules cannot be read, `system_trouble` says why."""
    try:
        return convert.calls_of(week.system)
    except fits.FitsError:
        return {}


def system_trouble(week: Week) -> str:
    """Returns why the rules of the week's system cannot be read, or nothing."""
    try:
        convert.calls_of(week.system)
    except fits.FitsError as error:
        return str(error)
    return ""


def derive_plays(week: Week, looks: Sequence[ExpectedLook], call: fits.Call) -> list[DerivedLook]:
    """Returns the week's looks derived against a call, in a fixed number of queries; `looks` are all that may come."""
    around = surroundings(week.system_id, week)
    made = company_looks(asks_of(week, looks), around, week.system, call.name).made
    return [_derived(expected, call, look, around.book) for expected, look in zip(looks, made, strict=True)]


def _derived(
    expected: ExpectedLook, call: fits.Call, made: fits.Look | fits.FitsError, book: fits.RuleBook
) -> DerivedLook:
    if isinstance(made, fits.FitsError):
        return DerivedLook(expected, call, None, str(made), book)
    return DerivedLook(expected, call, made, "", book)


def find_play(week: Week, look_pk: int, call: fits.Call) -> DerivedLook | None:
    """Returns one look of the week, derived among all of them, or none when the week does not have it any more."""
    plays = derive_plays(week, expected_looks(week), call)
    return next((play for play in plays if play.expected.pk == look_pk), None)


def trouble_with(week: Week, look: ExpectedLook, call: fits.Call) -> str:
    """Returns why a look could not be lined up and run in the week, or nothing."""
    (asked,) = specs_of(asks_of(week, [look]), surroundings(week.system_id, week), call)
    try:
        if isinstance(asked, fits.LookSpec):
            fits.Deriver().look(asked)
            return ""
    except fits.FitsError as error:
        asked = error
    return str(asked)


def roles_of(call: fits.Call, positions: Iterable[str]) -> list[str]:
    """Returns the roles that these positions play in the call, in the system's order."""
    wanted = set(positions)
    return [role.name for role in call.roles if role.position in wanted]


def make_sheet(week: Week, looks: Sequence[ExpectedLook], call: fits.Call, role: str) -> Sheet:
    """Returns the sheet of one role against one call."""
    return sheet_of(derive_plays(week, looks, call), call, role)


def sheet_of(plays: Sequence[DerivedLook], call: fits.Call, role: str) -> Sheet:
    """Returns the sheet of one role against one call whose looks are derived already."""
    position = next(r.position for r in call.roles if r.name == role)
    cards = tuple(card for play in plays if (card := card_of(play, role)))
    return Sheet(
        call.name,
        call.note,
        role,
        position,
        call.positions[position].label or position,
        my_rules(call, role, position),
        _this_week(call, cards),
        cards,
        tuple(f"{play.title} from {play.setting}: {play.trouble}" for play in plays if not play.look),
    )


def card_of(play: DerivedLook, role: str) -> Card | None:
    """Returns the card of one role, or none when there is no such look or no such man in it."""
    man = play.look.defender(role) if play.look else None
    return _card(play, play.look, man) if play.look and man else None


def _card(play: DerivedLook, look: fits.Look, man: fits.Defender) -> Card:
    expected, said = play.expected, words_of(look)
    card = Card(
        look_id=expected.pk,
        title=play.title,
        setting=play.setting,
        role=man.role,
        called=said.man(man.role),
        technique=man.technique,
        place=words.sentence(words.place_words(man, play.call, said)),
        key=man.key,
        saw=said.saw(man),
        fit=words.sentence(said.fit(man)),
        leverage=man.leverage,
        leverage_says=words.leverage_words(man),
        say=words.sentence(said.says(man)),
        duty=man.duty,
        note=expected.note,
        rule=man.rule,
        guess=expected.guess,
        share=expected.share,
    )
    drawn = _drawn_of(look)
    if man.role not in drawn:  # what is drawn; how, is the engine's code
        drawn[man.role] = digest(repr(look_scene(look, man.role, play.book)))
    return replace(card, digest=digest(engine_digest(), repr(card), drawn[man.role]))


def _drawn_of(look: fits.Look) -> dict[str, str]:
    """Returns the digests of a look's drawings by role, kept while the look is."""
    found = _drawn.setdefault(id(look), (look, {}))
    while len(_drawn) > KEPT:
        _drawn.popitem(last=False)
    return found[1]


def _this_week(call: fits.Call, cards: Sequence[Card]) -> tuple[MyRule, ...]:
    """Returns the fit rules that decide one of the week's looks, those that decide most first."""
    used = Counter((card.rule.part, card.rule.rule) for card in cards)
    rules = [
        MyRule(_told(r.when), r.say or r.fit, r.leverage, used[part, r])
        for part, r in call.parted_fits()
        if (part, r) in used
    ]
    return tuple(sorted(rules, key=lambda rule: -rule.looks))


def my_rules(call: fits.Call, role: str, position: str) -> MyRules:
    """Returns the rules of the call that concern this man, in order."""

    def mine(rules: Iterable[object], does: str) -> tuple[MyRule, ...]:
        return tuple(
            MyRule(_told(rule.when), getattr(rule, does), getattr(rule, "leverage", ""))  # type: ignore[attr-defined]
            for rule in rules
            if concerns(rule.who, role, position)  # type: ignore[attr-defined]
        )

    fit = tuple(
        MyRule(_told(rule.when), rule.say or rule.fit, rule.leverage)
        for rule in call.fits
        if concerns(rule.who, role, position)
    )
    place = tuple(replace(rule, does=words.at_words(rule.does)) for rule in mine(call.align, "at"))
    return MyRules(place, mine(call.keys, "reads"), fit, mine(call.coverage.takes, "takes"))


def _told(when: str) -> str:
    """Returns a rule's condition as it is told to its man."""
    return told(when, {name: option.label for name, option in fits.load_library().options.items()})


def draw_play(play: DerivedLook, role: str | None, dark: bool = False) -> str:
    """Returns the drawing seen from behind the defense, with one man and his key in front. Raises fits.FitsError."""
    if play.look is None:
        raise fits.BadRequest(play.trouble)
    return draw_look(play.look, role=role, up="defense", book=play.book, theme=Theme.DARK if dark else Theme.LIGHT)


def digest(*parts: object) -> str:
    """Returns a short name for what something is made of."""
    return hashlib.sha256(json.dumps(parts, default=str).encode()).hexdigest()[:16]
