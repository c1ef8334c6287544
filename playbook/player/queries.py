"""What a player's pages read: few queries, however many cards."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.contrib.postgres.expressions import ArraySubquery
from django.db.models import OuterRef, QuerySet, Subquery
from django.db.models.functions import JSONObject
from django.utils import timezone

import fits
from playbook.models import FitGrade, MenuCall, PublishedSheet, RosterSpot, User, Week
from playbook.publishing import queries as publishing
from playbook.week import sheets
from playbook.week.queries import for_players, to_correct


@dataclass(frozen=True, slots=True)
class Mine:
    """A player, and by system the names of his positions, the first he plays first."""

    player_id: int | None
    positions: dict[int, tuple[str, ...]]

    def at(self, week: Week) -> tuple[str, ...]:
        """Returns his positions in the week's system, or in the one it is a variant of."""
        return self.positions.get(week.system_id) or self.positions.get(week.system.base_id or 0) or ()


def mine(user: User) -> Mine:
    """Returns who the person is on the roster, in one query."""
    rows = RosterSpot.objects.filter(player__user=user, player__active=True).order_by("order", "position__order")
    spots = list(rows.values_list("player_id", "position__system_id", "position__name"))
    positions: dict[int, tuple[str, ...]] = {}
    for _, system_id, name in spots:
        positions[system_id] = (*positions.get(system_id, ()), name)
    return Mine(spots[0][0] if spots else None, positions)


def shown_weeks(player_id: int | None) -> QuerySet[Week]:
    """Returns the weeks that players see or saw, this week's first, each with its menu and his corrections.

    All of it comes in one query.
    """
    return for_players(timezone.localdate()).annotate(
        calls=ArraySubquery(
            MenuCall.objects.filter(week=OuterRef("pk")).order_by("order").values_list("call__name", flat=True)
        ),
        corrections=ArraySubquery(_corrections(player_id)),
    )


def _corrections(player_id: int | None) -> QuerySet[FitGrade, Any]:
    before = Week.objects.filter(
        season=OuterRef(OuterRef("season")), number__lt=OuterRef(OuterRef("number")), grades__isnull=False
    )
    last = before.order_by("-number").values("pk")[:1]
    grades = FitGrade.objects.filter(to_correct(), player_id=player_id, week=Subquery(last)).order_by("snap", "pk")
    return grades.values_list(
        JSONObject(
            fit="fit_right", leverage="leverage_right", says="correction", concept="look__concept__label",
            formation="look__formation__label", snap="snap", week="week__number",
        )
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class MyWeek:
    """A week as one player sees it: his roles in the chosen call, and which of each is shown.

    `first` says that it is the week to look at now.
    """

    player_id: int
    week: Week
    first: bool
    others: tuple[Week, ...]
    withdrawn: tuple[Gone, ...]
    positions: tuple[str, ...]
    calls: tuple[str, ...]
    call: fits.Call
    roles: tuple[str, ...]
    role: str


class NoSheet(Exception):
    """There is nothing to show this player; the text says why."""


@dataclass(frozen=True, slots=True)
class Gone:
    """A week that the coaches took back, under the name that players knew it by."""

    title: str
    at: datetime


class Withdrawn(NoSheet):
    """The coaches took the week back."""

    def __init__(self, gone: Gone, others: Sequence[Week]) -> None:
        super().__init__(f"{gone.title} was withdrawn.")
        self.gone = gone
        self.others = others


class NotPublished(NoSheet):
    """Nothing of the week was published to this player."""

    def __init__(self, week: Week) -> None:
        super().__init__(f"Your coaches have not published {week} to you yet.")
        self.week = week


def gone(week: Week) -> Gone:
    """Returns what players may know of a withdrawn week of `week.queries.weeks()`."""
    title = f"Week {week.shown_number}: {week.shown_opponent or 'no game'}"  # type: ignore[attr-defined]
    return Gone(title, week.withdrawn_at)  # type: ignore[attr-defined]


def my_week(me: Mine, pk: int | None = None, call: str = "", role: str = "") -> MyWeek:
    """Returns the player's week as it is now. Raises NoSheet, Withdrawn, and Week.DoesNotExist for what is not his."""
    weeks, week, positions = _find(me, pk)
    values = sheets.calls_of(week)
    names = [name for name in dict.fromkeys(week.calls) if name in values] or list(values)[:1]  # type: ignore[attr-defined]
    if not names:
        raise NoSheet("Your coaches are still working on this week's system.")
    chosen = call or names[0]
    if chosen not in names:
        raise Week.DoesNotExist
    roles = [r for p in positions for r in sheets.roles_of(values[chosen], [p])]
    if not roles or (role and role not in roles):
        raise Week.DoesNotExist
    assert me.player_id is not None
    taken_back = tuple(gone(w) for w in weeks if not w.released)
    shown = (tuple(names), values[chosen], tuple(roles), role or roles[0])
    return MyWeek(me.player_id, week, week is weeks[0], _others(weeks, week), taken_back, positions, *shown)


def _find(me: Mine, pk: int | None) -> tuple[list[Week], Week, tuple[str, ...]]:
    weeks = list(shown_weeks(me.player_id))
    if not weeks and pk is None:
        raise NoSheet("No week is published yet. Your coaches publish it when it is ready.")
    week = next((w for w in weeks if pk in (None, w.pk)), None)
    if week is None:
        raise Week.DoesNotExist
    if not week.released:
        raise Withdrawn(gone(week), _others(weeks, week))
    positions = me.at(week)
    if not positions:
        raise NoSheet("You have no position in this week's system yet. Ask your coach to put you on the roster.")
    return weeks, week, positions


def _others(weeks: Sequence[Week], week: Week) -> tuple[Week, ...]:
    return tuple(w for w in weeks if w.pk != week.pk and w.released)


@dataclass(frozen=True, slots=True)
class MySheet:
    """What a player was given of a week: the sheet of one of his roles, and the names of all of them."""

    player_id: int
    week: Week
    first: bool
    others: tuple[Week, ...]
    withdrawn: tuple[Gone, ...]
    roles: tuple[tuple[str, str], ...]
    sheet: PublishedSheet
    changes: int


def my_sheet(me: Mine, pk: int | None = None, role: str = "") -> MySheet:
    """Returns what the player was given. Raises NoSheet, Withdrawn, and Week.DoesNotExist for what is not his.

    The cards that say something else than in the publication before are marked.
    """
    weeks, week, positions = _find(me, pk)
    given = publishing.sheets_of(week, positions)
    if not given:
        raise NotPublished(week)
    sheet = next((one for one in given if role in ("", one.role)), None)
    if sheet is None:
        raise Week.DoesNotExist
    before = publishing.sheet_before(sheet)
    changes = publishing.mark_changes(sheet.content, before.content if before else None)
    assert me.player_id is not None
    names = tuple((one.role, one.content["said"]) for one in given)
    taken_back = tuple(gone(w) for w in weeks if not w.released)
    return MySheet(me.player_id, week, week is weeks[0], _others(weeks, week), taken_back, names, sheet, changes)


def released_week(user: User, pk: int) -> Week:
    """Returns a week that this player may see. Raises Withdrawn, Week.DoesNotExist."""
    weeks = list(shown_weeks(mine(user).player_id))
    week = next((w for w in weeks if w.pk == pk), None)
    if week is None:
        raise Week.DoesNotExist
    if not week.released:
        raise Withdrawn(gone(week), tuple(w for w in weeks if w.released))
    return week
