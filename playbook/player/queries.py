"""What a player's pages read: few queries, however many cards."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.contrib.postgres.expressions import ArraySubquery
from django.db import connection
from django.db.models import OuterRef, QuerySet, Subquery
from django.db.models.functions import JSONObject
from django.utils import timezone

import fits
from playbook.looks.specs import expected_looks
from playbook.models import FitGrade, MenuCall, RosterSpot, User, Week
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


FINGERPRINT = """
SELECT md5(string_agg(part, ',' ORDER BY part)) FROM (
    SELECT concat_ws(':', 'week', w.id, w.xmin, s.xmin, e.xmin) AS part
    FROM playbook_week w JOIN playbook_system s ON s.id = w.system_id JOIN playbook_season e ON e.id = w.season_id
    WHERE w.released
    UNION ALL
    SELECT concat_ws(':', 'hidden', w.id, w.xmin) FROM playbook_week w WHERE NOT w.released
    UNION ALL
    SELECT concat_ws(':', 'opponent', o.id, o.xmin) FROM playbook_opponent o
    UNION ALL
    SELECT concat_ws(':', 'look', l.id, l.xmin, f.xmin, c.xmin, m.xmin)
    FROM playbook_expectedlook l JOIN playbook_week w ON w.id = l.week_id AND w.released
    JOIN playbook_formation f ON f.id = l.formation_id JOIN playbook_concept c ON c.id = l.concept_id
    LEFT JOIN playbook_motion m ON m.id = l.motion_id
    UNION ALL
    SELECT concat_ws(':', 'call', n.id, n.xmin)
    FROM playbook_menucall n JOIN playbook_week w ON w.id = n.week_id AND w.released
    UNION ALL
    SELECT concat_ws(':', 'spot', p.id, p.xmin, r.id, r.xmin)
    FROM playbook_player p LEFT JOIN playbook_rosterspot r ON r.player_id = p.id WHERE p.user_id = %(user)s
    UNION ALL
    SELECT concat_ws(':', 'fast', r.id, r.xmin, p.xmin)
    FROM playbook_rosterspot r JOIN playbook_player p ON p.id = r.player_id AND p.active
    WHERE p.ten_yd_s IS NOT NULL AND p.forty_yd_s IS NOT NULL
    UNION ALL
    SELECT concat_ws(':', 'grade', g.id, g.xmin)
    FROM playbook_fitgrade g JOIN playbook_player p ON p.id = g.player_id WHERE p.user_id = %(user)s
    UNION ALL
    SELECT concat_ws(':', 'options', max(revision), count(*)) FROM playbook_option
) AS everything
"""


def fingerprint(user_pk: int) -> str:
    """Returns a short name for every row that this player's sheets are made of, and the day.

    `xmin` is the transaction that last wrote a row, so any change changes it, whoever made it and however. A change
    below a system, formation, concept or motion raises the revision in its row, and so rewrites that row too.
    """
    with connection.cursor() as cursor:
        cursor.execute(FINGERPRINT, {"user": user_pk})
        (found,) = cursor.fetchone()
    return f"{found}-{user_pk}-{timezone.localdate()}"


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


def gone(week: Week) -> Gone:
    """Returns what players may know of a withdrawn week of `week.queries.weeks()`."""
    title = f"Week {week.shown_number}: {week.shown_opponent or 'no game'}"  # type: ignore[attr-defined]
    return Gone(title, week.withdrawn_at)  # type: ignore[attr-defined]


def my_week(me: Mine, pk: int | None = None, call: str = "", role: str = "") -> MyWeek:
    """Returns the player's week. Raises NoSheet, Withdrawn, and Week.DoesNotExist for what is not his."""
    weeks = list(shown_weeks(me.player_id))
    if not weeks and pk is None:
        raise NoSheet("No week is released yet. Your coaches release it when it is ready.")
    week = next((w for w in weeks if pk in (None, w.pk)), None)
    if week is None:
        raise Week.DoesNotExist
    others = tuple(w for w in weeks if w.pk != week.pk and w.released)
    if not week.released:
        raise Withdrawn(gone(week), others)
    positions = me.at(week)
    if not positions:
        raise NoSheet("You have no position in this week's system yet. Ask your coach to put you on the roster.")
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
    return MyWeek(me.player_id, week, week is weeks[0], others, taken_back, positions, *shown)


def released_week(user: User, pk: int) -> Week:
    """Returns a week that this player may see. Raises Withdrawn, Week.DoesNotExist."""
    weeks = list(shown_weeks(mine(user).player_id))
    week = next((w for w in weeks if w.pk == pk), None)
    if week is None:
        raise Week.DoesNotExist
    if not week.released:
        raise Withdrawn(gone(week), tuple(w for w in weeks if w.released))
    return week


def my_plays(mine_: MyWeek) -> list[sheets.DerivedLook]:
    """Returns the week's looks, derived against the chosen call."""
    return sheets.derive_plays(mine_.week, expected_looks(mine_.week), mine_.call)


def my_sheet(mine_: MyWeek) -> sheets.Sheet:
    """Returns the player's sheet."""
    return sheets.sheet_of(my_plays(mine_), mine_.call, mine_.role)
