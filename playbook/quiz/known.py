"""What a week's men know and do not know yet, by position and by rule, from their answers in the quiz. Reads only."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import Enum

from django.utils import timezone

from playbook.models import Ask, Player, Position, QuizAnswer, Week
from playbook.models.system import Group
from playbook.quiz.memory import remember
from playbook.week.queries import own_systems

BETTER = 0.1  # of all answers: a smaller difference is no trend


class State(Enum):
    """What a man knows of a rule, in plain words."""

    KNOWS = "knows it"
    SHAKY = "right once since he had it wrong"
    FADING = "has not been asked for a while"
    MISSED = "had it wrong last time"

    @property
    def sure(self) -> bool:
        """True for a man who need not be told again."""
        return self is State.KNOWS


@dataclass(frozen=True, slots=True)
class ManLine:
    """One man and one rule: how often he was asked and right, when last, and what he knows of it."""

    player: Player
    right: int
    asked: int
    last: datetime
    state: State


@dataclass(frozen=True, slots=True)
class RuleLine:
    """One rule of one position: its men, those who do not know it first, and which way it goes."""

    position: Position
    ask: str
    rule: str
    about: str
    men: tuple[ManLine, ...]
    trend: str
    last: datetime

    @property
    def unsure(self) -> list[ManLine]:
        """The men who do not know it yet, or may not know it any more."""
        return [man for man in self.men if not man.state.sure]

    @property
    def kind(self) -> str:
        """What is asked for."""
        return str(Ask(self.ask).label)


@dataclass(frozen=True, slots=True)
class PositionLines:
    """A position's rules, the least known first, how many are known by all who were asked, and who was never asked."""

    position: Position
    lines: tuple[RuleLine, ...]
    known: int
    silent: tuple[Player, ...]


def known(week: Week, now: datetime | None = None) -> dict[str, list[PositionLines]]:
    """Returns what is not known yet, by position group and position; in a fixed number of queries."""
    now = now or timezone.now()
    rows = QuizAnswer.objects.filter(week=week).exclude(rule="").select_related("player").order_by("at", "pk")
    given: dict[str, dict[tuple[str, str], list[QuizAnswer]]] = defaultdict(lambda: defaultdict(list))
    for row in rows:
        given[row.position][row.ask, row.rule].append(row)
    found: dict[str, list[PositionLines]] = {label: [] for label in Group.labels}
    for position, men in _holders(week):
        lines = [_line(position, ask, rule, answers, now) for (ask, rule), answers in given[position.name].items()]
        asked = {row.player_id for answers in given[position.name].values() for row in answers}
        unsure = sorted((line for line in lines if line.unsure), key=_heaviest)
        silent = tuple(man for man in men if man.pk not in asked)
        if lines or silent:
            label = str(Group(position.group).label)
            found[label].append(PositionLines(position, tuple(unsure), len(lines) - len(unsure), silent))
    return {label: positions for label, positions in found.items() if positions}


def find_rule(week: Week, position: str, ask: str, rule: str) -> QuizAnswer | None:
    """Returns the last answer about that rule, a wrong one before a right one; it names look, call and words."""
    rows = QuizAnswer.objects.filter(week=week, position=position, ask=ask, rule=rule)
    return rows.select_related("look", "call").order_by("right", "-at", "-pk").first()


def _holders(week: Week) -> Iterable[tuple[Position, list[Player]]]:
    """Yields the positions of the week's system, each with its men; a variant has the men of what it varies."""
    spots = defaultdict(dict)
    men = Player.objects.filter(active=True, spots__position__system__in=own_systems(week))
    for man in men.prefetch_related("spots__position"):
        for spot in man.spots.all():
            if spot.position.system_id in own_systems(week):
                spots[spot.position.name][man.pk] = man
    for position in week.system.positions.all():
        yield position, list(spots[position.name].values())


def _line(position: Position, ask: str, rule: str, answers: Sequence[QuizAnswer], now: datetime) -> RuleLine:
    by_man: dict[int, list[QuizAnswer]] = defaultdict(list)
    for row in answers:
        by_man[row.player_id].append(row)
    men = [_man(rows, now) for rows in by_man.values()]
    men.sort(key=lambda man: (man.state.sure, man.state is not State.MISSED, str(man.player)))
    last = answers[-1]
    return RuleLine(position, ask, rule, last.about, tuple(men), trend(answers), last.at)


def _man(rows: Sequence[QuizAnswer], now: datetime) -> ManLine:
    (memory,) = remember(_Answer(row) for row in rows).values()
    if not rows[-1].right:
        state = State.MISSED
    elif len(rows) > 1 and not rows[-2].right:
        state = State.SHAKY
    else:
        state = State.FADING if memory.due <= now else State.KNOWS
    return ManLine(rows[-1].player, sum(row.right for row in rows), len(rows), rows[-1].at, state)


def trend(answers: Sequence[QuizAnswer]) -> str:
    """Returns which way it goes, in words: the last day that was answered on against all before."""
    day = timezone.localdate(answers[-1].at)
    today = [row for row in answers if timezone.localdate(row.at) == day]
    before = [row for row in answers if timezone.localdate(row.at) != day]
    if not before:
        return "first asked that day"
    then, now = (sum(row.right for row in rows) / len(rows) for rows in (before, today))
    shares = f"{then:.0%} right before, {now:.0%} now".replace("%", " %")
    way = "no change" if abs(now - then) < BETTER else "better" if now > then else "worse"
    return f"{way}: {shares}"


def _heaviest(line: RuleLine) -> tuple[float, int, str]:
    return -len(line.unsure) / len(line.men), -len(line.unsure), line.about


class _Answer:
    """A row as memory wants it: one rule of one man."""

    def __init__(self, row: QuizAnswer) -> None:
        self.topic, self.right, self.at = (row.week_id, row.ask, row.rule), row.right, row.at
