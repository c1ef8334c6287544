"""What the quiz reads for a player: his week's questions, his answers, and what was wrong in his last game."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from functools import cached_property
from uuid import UUID, uuid4

from django.db.models import Q
from django.utils import timezone

from fits.words import words_of
from playbook.looks.specs import expected_looks
from playbook.models import FitGrade, Installation, QuizAnswer, Week
from playbook.player.queries import MyWeek
from playbook.publishing import queries as publishing
from playbook.publishing.queries import Data
from playbook.quiz import memory, picking, questions
from playbook.quiz.items import items_of
from playbook.week import sheets, words

STALE_H = 3  # hours after which an unfinished round is not taken up again
PAST = 2000  # answers that memory goes by, the newest; a season of daily rounds has fewer
Look = tuple[str, str, str]  # call, title, setting
COMING_BACK = 3  # earlier weeks that are looked into at once


@dataclass
class MyQuiz:
    """One player's quiz in one week and position; what it is made of is read when it is asked for, once."""

    mine: MyWeek
    _plays: dict[tuple[int, str], list[sheets.DerivedLook]] = field(default_factory=dict)
    _jobs: dict[int, dict[Look, Data]] = field(default_factory=dict)

    @cached_property
    def position(self) -> str:
        """The position of his role: another one of his has a quiz of its own."""
        return next(role.position for role in self.mine.call.roles if role.name == self.mine.role)

    @cached_property
    def past(self) -> list[picking.Given]:
        """His answers in this position and season, the oldest first."""
        rows = QuizAnswer.objects.filter(
            player_id=self.mine.player_id, position=self.position, week__season=self.mine.week.season_id
        ).exclude(rule="")
        found = rows.order_by("-at", "-pk").values_list(
            "week", "call__name", "look", "ask", "rule", "right", "at", "round"
        )[:PAST]
        return [
            picking.Given((week, call, look, ask), (week, ask, rule), right, at, str(round_))
            for week, call, look, ask, rule, right, at, round_ in reversed(found)
        ]

    @cached_property
    def weeks(self) -> dict[int, Week]:
        """The weeks he may be asked about: this one, and earlier ones of the same system that players see."""
        mine = self.mine.week
        earlier = [w for w in self.mine.others if (w.season_id, w.system_id) == (mine.season_id, mine.system_id)]
        return {mine.pk: mine} | {w.pk: w for w in earlier if w.number < mine.number}

    @cached_property
    def pool(self) -> list[picking.Item]:
        """All that may be asked: this week's, what is due of earlier ones, and what was wrong in the last game."""
        now = [item for call in self.mine.calls for item in self._items(self.mine.week, call)]
        return [*now, *self._earlier({(item.ask, item.rule) for item in now})]

    @cached_property
    def mistakes(self) -> dict[tuple[str, str], datetime]:
        """What he had wrong in the last game that was graded, as kind and rule, with the end of that day."""
        return {(item.ask, item.rule): _end_of_game(self.weeks[item.week]) for item in self._wrong}

    def plays(self, week: Week, call: str) -> list[sheets.DerivedLook]:
        """The week's looks against a call of its system; none when there is no such call."""
        if (week.pk, call) not in self._plays:
            value = sheets.calls_of(week).get(call)
            looks = self._looks(week) if value else []
            self._plays[week.pk, call] = sheets.derive_plays(week, looks, value) if value else []
        return self._plays[week.pk, call]

    def play(self, item: picking.Item) -> sheets.DerivedLook | None:
        """The look an item is about."""
        week = self.weeks.get(item.week)
        plays = self.plays(week, item.call) if week else []
        return next((play for play in plays if play.expected.pk == item.look), None)

    def question(self, item: picking.Item, round_: str) -> questions.Question | None:
        """The question about an item."""
        play = self.play(item)
        return questions.ask(item, play, self.mine.role, round_) if play else None

    def next(self, round_: str, now: datetime | None = None) -> questions.Question | None:
        """The question that comes next in a round; none when it is over."""
        pool, now = list(self.pool), now or timezone.now()
        while True:
            item = picking.pick(pool, self.past, round_, now, week=self.mine.week.pk, mistakes=self.mistakes)
            if item is None:
                return None
            question = self.question(item, round_)
            if question is not None:
                return question
            pool.remove(item)  # its look leaves nothing to choose from

    def find(self, look: int, call: str, ask: str) -> picking.Item | None:
        """The item of that look, call and kind; none when it is not asked any more."""
        return next((i for i in self.pool if (i.look, i.call, i.ask) == (look, call, ask)), None)

    def open_round(self) -> str:
        """The round that he left unfinished a short while ago, else a new one."""
        if not self.past:
            return str(uuid4())
        last = self.past[-1]
        young = (timezone.now() - last.at).total_seconds() < STALE_H * 3600
        return last.round if young and self.next(last.round) is not None else str(uuid4())

    def answered(self, round_: str) -> list[picking.Given]:
        """His answers of a round, the oldest first."""
        return [given for given in self.past if given.round == round_]

    def _items(self, week: Week, call: str) -> Sequence[picking.Item]:
        value = sheets.calls_of(week).get(call)
        if value is None or not any(role.name == self.mine.role for role in value.roles):
            return ()
        plays = [play for play in self.plays(week, call) if self._as_published(play)]
        return items_of(plays, value, self.mine.role)

    def jobs(self, week: Week) -> dict[Look, Data]:
        """What his sheet of a week says now, by call, look and setting; empty where nothing was published to him."""
        if week.pk not in self._jobs:
            given = publishing.sheets_of(week, [self.position])
            sheet = next((one for one in given if one.role == self.mine.role), None)
            self._jobs[week.pk] = {
                (call, look["title"], look["setting"]): picture
                for plan in (sheet.content["plans"] if sheet else ())
                for picture in plan["pictures"]
                for look in picture["looks"]
                for call in look["calls"]
            }
        return self._jobs[week.pk]

    def _as_published(self, play: sheets.DerivedLook) -> bool:
        """Whether his sheet has the look, with the job that it would have now: what is being edited is not asked."""
        job = self.jobs(play.expected.week).get((play.call.called, play.title, play.setting))
        man = play.look.defender(self.mine.role) if play.look else None
        if job is None or man is None or play.look is None:
            return False
        said = words_of(play.look)
        fit = words.sentence(said.fit(man))
        place = words.sentence(words.place_words(man, play.call, said))
        stands = place == job["place"] if play.call.scheme.look_up(man.technique) else True
        goes = man.lane is None or fit in (job["does"], job["where"])
        return bool((man.technique, man.leverage) == (job["technique"], job["leverage"]) and stands and goes)

    def _looks(self, week: Week) -> list:  # type: ignore[type-arg]
        if not hasattr(week, "quiz_looks"):
            week.quiz_looks = expected_looks(week)  # type: ignore[attr-defined]
        return week.quiz_looks  # type: ignore[attr-defined,no-any-return]

    def _earlier(self, now: set[tuple[str, str]]) -> Iterable[picking.Item]:
        this, today = self.mine.week.pk, timezone.now()
        known = memory.remember(self.past)
        due = {t for t, m in known.items() if t[0] != this and t[0] in self.weeks and m.due <= today}
        calls = {(g.topic[0], g.key[1]) for g in self.past if g.topic in due}
        for week, call in sorted(calls, reverse=True)[:COMING_BACK]:
            yield from (item for item in self._items(self.weeks[week], call) if item.topic in due)
        yield from (item for item in self._wrong if (item.ask, item.rule) not in now and item.topic not in due)

    @cached_property
    def _wrong(self) -> list[picking.Item]:
        """The looks of his last graded game in which his fit or leverage was wrong, as items of that week."""
        earlier = [pk for pk in self.weeks if pk != self.mine.week.pk]
        grades = FitGrade.objects.filter(
            Q(fit_right=False) | Q(leverage_right=False), player_id=self.mine.player_id, week__in=earlier
        ).exclude(Q(look=None) | Q(call=None))
        rows = list(grades.order_by("-week__number", "snap").values_list("week", "look", "call__name"))
        last = [(week, look, call) for week, look, call in rows if week == rows[0][0]]
        return [
            item
            for week, look, call in last
            for item in self._items(self.weeks[week], call)
            if item.look == look and item.ask == "fit"
        ]


def _end_of_game(week: Week) -> datetime:
    day = week.game_on or date.min + timedelta(days=2)  # without a day any answer came after it
    return datetime.combine(day, time.max, timezone.get_current_timezone())


def kept(key: UUID) -> QuizAnswer | None:
    """Returns the answer that was kept under that key."""
    return QuizAnswer.objects.filter(key=key).first()


def clock_s() -> int | None:
    """Returns how many seconds there are for a question; none where the staff wants no clock."""
    return Installation.objects.values_list("quiz_clock_s", flat=True).first()


@dataclass(frozen=True, slots=True)
class Summary:
    """A round that is over: how many were right at once, and what was missed in words, each with its next day."""

    right: int
    asked: int
    missed: tuple[tuple[str, datetime], ...]


def summary(quiz: MyQuiz, round_: str) -> Summary:
    """Returns what is said at the end of a round."""
    first: dict[picking.Key, picking.Given] = {}
    for given in quiz.answered(round_):
        first.setdefault(given.key, given)
    rows = QuizAnswer.objects.filter(round=round_, player_id=quiz.mine.player_id, right=False).order_by("at")
    known = memory.remember(quiz.past)
    missed = {(r.week_id, r.ask, r.rule): r.about for r in rows}
    told = tuple([(about, known[topic].due) for topic, about in missed.items() if topic in known])
    return Summary(sum(given.right for given in first.values()), len(first), told)
