"""Where a week stands, in five figures, and what to do next. Reads only."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Count, Q
from django.urls import reverse

from playbook.models import Player, SheetOpening, Week
from playbook.proof.results import NONE, ON_TIME
from playbook.publishing.queries import newest
from playbook.week import queries
from playbook.week.queries import HOLDS


@dataclass(frozen=True, slots=True)
class WeekState:
    """A week in figures. Shares are of the expected runs, from 0 to 1; none where nothing can be run.

    `lost` are looks that no call of the menu holds, `partly` those that some call of it does not, the heaviest first.
    `opened` and `unopened` go by the last release: a sheet opened before it was withdrawn does not count.
    """

    looks: int
    guesses: int
    calls: int
    held: float | None
    held_by_all: float | None
    lost: tuple[queries.LookRow, ...]
    partly: tuple[queries.LookRow, ...]
    men: tuple[Player, ...]
    without_place: int
    opened: frozenset[int]
    right: int
    answers: int
    answered: int

    @property
    def on_time(self) -> list[queries.LookRow]:
        """The looks that some call of the menu holds if everybody is on time, and none holds without that."""
        return [row for row in self.lost if any(standing.result.state == ON_TIME for standing in row.states)]

    @property
    def not_sound(self) -> list[queries.LookRow]:
        """The looks that no call of the menu holds, on time or not."""
        late = self.on_time
        return [row for row in self.lost if row not in late]

    @property
    def unopened(self) -> list[Player]:
        """The men who have not opened it."""
        return [man for man in self.men if man.pk not in self.opened]

    @property
    def known(self) -> int | None:
        """How many of a hundred quiz answers were right; none before there is one."""
        return round(100 * self.right / self.answers) if self.answers else None

    @property
    def held_percent(self) -> int | None:
        """The share that some call of the menu holds, in per cent; never rounded up to all or down to nothing."""
        return percent(self.held)

    @property
    def held_by_all_percent(self) -> int | None:
        """The share that every call of the menu holds, in per cent."""
        return percent(self.held_by_all)


def percent(share: float | None) -> int | None:
    """Returns a share in per cent; only all of it is 100, only nothing is 0.

    >>> percent(0.999), percent(0.001), percent(1.0)
    (99, 1, 100)
    """
    if share is None:
        return None
    whole = round(100 * share)
    if whole == 100 and share < 1 - 1e-9:
        return 99
    return 1 if whole == 0 and share > 1e-9 else whole


def week_state(week: Week, rows: Sequence[queries.LookRow], calls: int) -> WeekState:
    """Returns where the week stands; `rows` are its looks against every call of the menu, which has `calls` calls."""
    run = [row for row in rows if any(standing.result.state != NONE for standing in row.states)]
    shares = [row.expected.share for row in rows if row.expected.share is not None]
    usual = sum(shares) / len(shares) if shares else 1.0

    def weight(row: queries.LookRow) -> float:
        return usual if row.expected.share is None else row.expected.share

    def holding(row: queries.LookRow) -> int:
        return sum(standing.result.state in HOLDS for standing in row.states)

    total = sum(map(weight, run))
    lost = [row for row in run if not holding(row)]
    partly = [row for row in run if 0 < holding(row) < len(row.states)]
    men = tuple(queries.players_of(week))
    sums = week.answers.aggregate(
        asked=Count("pk"), right=Count("pk", filter=Q(right=True)), men=Count("player", distinct=True)
    )
    return WeekState(
        looks=len(rows),
        guesses=sum(row.expected.guess for row in rows),
        calls=calls,
        held=1 - sum(map(weight, lost)) / total if total else None,
        held_by_all=1 - sum(map(weight, [*lost, *partly])) / total if total else None,
        lost=tuple(sorted(lost, key=lambda row: -weight(row))),
        partly=tuple(sorted(partly, key=lambda row: -weight(row))),
        men=men,
        without_place=Player.objects.filter(active=True).exclude(pk__in=[man.pk for man in men]).count(),
        opened=opened_by(week) & {man.pk for man in men},
        right=sums["right"],
        answers=sums["asked"],
        answered=sums["men"],
    )


def opened_by(week: Week) -> frozenset[int]:
    """Returns the keys of the players who opened what they see of the week now."""
    since = released_at(week)
    if since is None:
        return frozenset()
    made = newest(week)
    if made is not None and made.ready_at is not None:
        since = max(since, made.ready_at)
    return frozenset(SheetOpening.objects.filter(week=week, at__gte=since).values_list("player", flat=True))


def released_at(week: Week) -> datetime | None:
    """Returns when players got to see the week as it is shown now, from its history; none while they do not."""
    if not week.released:
        return None
    events = Week.pgh_event_model.objects.filter(pgh_obj=week.pk).order_by("-pgh_id")  # type: ignore[attr-defined]
    since = None
    for released, at in events.values_list("released", "pgh_created_at"):
        if not released:
            break
        since = at
    return since


@dataclass(frozen=True, slots=True)
class Task:
    """Something to do for the week: a sentence, and the page where it is done. `weight` is bad, warn or nothing."""

    weight: str
    text: str
    link: str
    address: str


def tasks(
    week: Week, state: WeekState, plan: queries.InstallPlan, on_menu: int, trouble: str, today: date
) -> list[Task]:
    """Returns what is to do, the most pressing first."""

    def at(name: str, *args: object) -> str:
        return reverse(name, args=args or [week.pk])

    found: list[Task] = []

    def add(weight: str, text: str, link: str, address: str) -> None:
        found.append(Task(weight, text, link, address))

    if trouble:
        add("bad", f"The rules of {week.system} cannot be read: {trouble}", "Mend them",
            at("system:detail", week.system_id))  # fmt: skip
    if plan.over or any(day.over for day in plan.days):
        days = ", ".join(day.day.label for day in plan.days if day.over) or "the week"
        add("bad", f"Full contact is over your limit: {days}.", "Change the plan", at("week:plan"))
    over = week.game_on is not None and week.game_on < today
    if over and not week.grades.exists():
        add("", "The game is over and no fit is graded yet.", "Grade the fits", at("week:grades"))
    if not state.looks:
        if week.opponent_id:
            add("bad", "No look is expected yet.", "Take them from their charts", at("proof:looks"))
        else:
            add("warn", "This week has no opponent.", "Choose one", at("week:edit"))
    elif not on_menu:
        add("bad", "No call is on the menu.", "See what is suggested", at("proof:suggest"))
    if state.lost:
        row = state.lost[0]
        more = f", and {len(state.lost) - 1} more" if len(state.lost) > 1 else ""
        whose = f"{row.share} of their runs" if row.expected.share is not None else "share not counted"
        where = f"{row.title} from {row.expected.formation} ({whose})"
        late = any(standing.result.state == ON_TIME for standing in row.states)
        by = "any call of the menu" if on_menu else str(row.states[0].call)
        by = f"is not held by {by}{' unless everybody is on time' if late else ''}"
        add("warn" if late else "bad", f"{where} {by}{more}.", "See what would hold it", row.states[0].address)
    if not any(entries for day in plan.days for _, entries in day.cells) and not over:
        add("warn", "Nothing is planned for practice yet.", "Plan it", at("week:plan"))
    if not state.men:
        add("warn", "Nobody has a position in this system.", "Put men at positions", at("roster:depth", week.system_id))
    elif week.released and state.unopened and not over:
        n = len(state.unopened)
        add("warn", f"{n} of {len(state.men)} men {'has' if n == 1 else 'have'} not opened their sheets.", "See who",
            at("week:sheets"))  # fmt: skip
    if state.looks and state.men and not week.released and not over:
        add("warn", "Players do not see this week yet.", "See their sheets, then publish it", at("week:sheets"))
    if state.partly and on_menu:
        row = state.partly[0]
        broken = next(standing for standing in row.states if standing.result.state not in HOLDS)
        add("", f"{row.title} from {row.expected.formation} is held, but not by {broken.call}.", "Look at it",
            broken.address)  # fmt: skip
    return found
