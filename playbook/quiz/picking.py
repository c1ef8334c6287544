"""Which question comes next. Pure: what may be asked and what was answered go in, an item comes out.

- What was missed in a round comes again after at least `GAP` others, until it is right.
- What looks alike and asks for something else comes right after it.
- First come the rules that were wrong in the last game, then what is due or was missed, then what is new, then what is
  least likely still known; kinds of questions are mixed.
- An earlier week has at most `EARLIER` questions of a round, and never the first ones, its mistakes aside.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from itertools import pairwise
from types import MappingProxyType

from playbook.quiz.memory import Memory, Topic, remember

LENGTH = 10  # questions of a round
MOST = 15  # with the ones that come again
GAP = 3  # others between two times of the same question
EARLIER = 2
PAIRS = 3
WEIGHT = {"fit": 2.0, "key": 1.0, "place": 1.0}  # of each kind in a round
NONE: Mapping[tuple[str, str], datetime] = MappingProxyType({})
Key = tuple[int, str, int, str]  # week, call, look, what is asked


@dataclass(frozen=True, slots=True)
class Item:
    """Something to ask: of which look against which call, what about it, and the rule that must be known for it."""

    week: int
    call: str
    look: int
    ask: str
    rule: str
    about: str = ""
    share: float = 0.0
    twin: Key | None = None

    @property
    def key(self) -> Key:
        """What makes two questions the same."""
        return self.week, self.call, self.look, self.ask

    @property
    def topic(self) -> Topic:
        """What is remembered or forgotten."""
        return self.week, self.ask, self.rule


@dataclass(frozen=True, slots=True)
class Given:
    """One answer: to what, right or wrong, when, and in which round."""

    key: Key
    topic: Topic
    right: bool
    at: datetime
    round: str


def pick(
    pool: Sequence[Item],
    past: Sequence[Given],
    round_: str,
    now: datetime,
    *,
    week: int,
    mistakes: Mapping[tuple[str, str], datetime] = NONE,
) -> Item | None:
    """Returns what is asked next, or none when the round is over.

    `past` are his answers in this position, the oldest first; `mistakes` what he had wrong in the last game (as kind
    and rule), with its time: right answers before it do not count.
    """
    answered = [given for given in past if given.round == round_]
    by_key = {item.key: item for item in pool}
    waiting = missed(answered)
    if len(answered) >= (MOST if waiting else LENGTH) or not pool:
        return None
    due = (key for key in waiting if key in by_key and _others_since(answered, key) >= GAP)
    again = next((key for key in due if by_key[key].topic != answered[-1].topic), None)
    if again:
        return by_key[again]
    recent = {given.key for given in past[-GAP:]}
    fresh = [item for item in pool if item.key not in recent] or _longest_ago(pool, past)
    asked = {given.key for given in answered}
    if not waiting and asked >= set(by_key):
        return None
    twin = _twin(by_key, answered)
    if twin is not None and twin.key not in recent:
        return twin
    earlier = _may_be_earlier(answered, week)
    may = [item for item in fresh if item.week == week or earlier or (item.ask, item.rule) in mistakes]
    fresh = may or fresh
    memory = remember(past)
    kinds, times = Counter(given.topic[1] for given in answered), Counter(given.key for given in past)
    right_now, unsure = _settled(answered)
    soon = {given.topic for given in answered[-2:]}  # the same rule does not follow itself

    def turn(item: Item) -> tuple[object, ...]:
        known = memory.get(item.topic)
        return (
            item.key in asked,
            item.topic in soon,
            item.topic in right_now,
            item.topic not in unsure,
            _tier(item, known, now, mistakes),
            kinds[item.ask] / WEIGHT.get(item.ask, 1.0),
            round(known.recall(now), 2) if known else 0.0,
            times[item.key],
            -item.share,
            sha256(f"{round_}{item.key}".encode()).hexdigest(),
        )

    return min(fresh, key=turn)


def missed(answered: Iterable[Given]) -> list[Key]:
    """Returns the questions of a round that were answered wrong and not yet right since, the oldest first."""
    waiting: dict[Key, None] = {}
    for given in answered:
        waiting.pop(given.key, None)
        if not given.right:
            waiting[given.key] = None
    return list(waiting)


def _settled(answered: Sequence[Given]) -> tuple[set[Topic], set[Topic]]:
    """Returns the rules of a round that are done with, and those that were missed and need another picture.

    Right once after a miss may have been a guess; the last answers are left alone, as there others come first.
    """
    owed: dict[Topic, int] = {}  # how many right answers are still wanted
    for given in answered:
        owed[given.topic] = max(0, owed.get(given.topic, 1) - 1) if given.right else 2
    last = {given.topic for given in answered[-GAP:]}
    missed_ = {given.topic for given in answered if not given.right}
    done = {topic for topic, count in owed.items() if not count}
    return done, {topic for topic in missed_ if owed[topic] == 1} - last


def _tier(item: Item, known: Memory | None, now: datetime, mistakes: Mapping[tuple[str, str], datetime]) -> int:
    game = mistakes.get((item.ask, item.rule))
    if game is not None and (known is None or not known.right or known.last < game):
        return 0
    if known is None:
        return 2
    return 1 if not known.right or known.due <= now else 3


def _others_since(answered: Sequence[Given], key: Key) -> int:
    last = max(number for number, given in enumerate(answered) if given.key == key)
    return len(answered) - 1 - last


def _longest_ago(pool: Sequence[Item], past: Sequence[Given]) -> list[Item]:
    """Returns, where there are too few questions to keep apart, those that were asked longest ago."""
    last = {given.key: number for number, given in enumerate(past)}
    return [min(pool, key=lambda item: last.get(item.key, -1))]


def _twin(by_key: dict[Key, Item], answered: Sequence[Given]) -> Item | None:
    """Returns what looks like the last question and asks for something else, if its turn is now."""
    if not answered:
        return None
    item = by_key.get(answered[-1].key)
    twin = by_key.get(item.twin) if item and item.twin else None
    asked = [given.key for given in answered]
    before = by_key.get(asked[-2]) if len(asked) > 1 else None
    if twin is None or twin.key in asked or (before is not None and before.twin == asked[-1]):
        return None
    pairs = sum(1 for a, b in pairwise(asked) if (one := by_key.get(a)) is not None and one.twin == b)
    return twin if pairs < PAIRS else None


def _may_be_earlier(answered: Sequence[Given], week: int) -> bool:
    earlier = sum(given.topic[0] != week for given in answered)
    return len(answered) >= GAP and earlier < EARLIER
