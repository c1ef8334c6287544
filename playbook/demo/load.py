"""Loads the demo; loading it twice changes nothing that was edited in between."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.db import transaction
from django.utils import timezone

from playbook import convert
from playbook.demo import content
from playbook.demo.charts import load_charts
from playbook.installation import queries as installation
from playbook.installation.services import finish
from playbook.models import (
    Call,
    Concept,
    Day,
    ExpectedLook,
    FitGrade,
    Formation,
    Installation,
    MenuCall,
    Motion,
    Opponent,
    PlanEntry,
    Player,
    Rights,
    RosterSpot,
    Season,
    System,
    User,
    Week,
)

PASSWORD = "gap-sound-demo"


@dataclass(frozen=True, slots=True)
class LogIn:
    """One demo log-in, to print."""

    username: str
    password: str
    who: str


@transaction.atomic
def load() -> list[LogIn]:
    """Makes what is missing of the demo, and returns the log-ins to try."""
    convert.load_library()
    people = load_people()
    system = System.objects.get(name=content.SYSTEM)
    load_roster(system)
    load_opponents()
    load_weeks(system, timezone.localdate())
    if not Installation.objects.exists():
        for step in installation.STEPS:
            finish(step, name=content.COLLEGE, system=system)
    load_charts(User.objects.get(username="coach"))
    return people


PEOPLE = [
    ("admin", Rights.ADMIN, "Ottilie", "Brandvane", "runs the installation"),
    ("coach", Rights.COORDINATOR, "Corwin", "Haldmere", "coaches: edits the system, opponents and weeks"),
    ("player", Rights.PLAYER, "Tavish", "Orrowell", "plays: sees his own sheet"),
]


def log_ins() -> list[LogIn]:
    """Returns the demo's log-ins."""
    return [LogIn(username, PASSWORD, who) for username, _, _, _, who in PEOPLE]


def load_people() -> list[LogIn]:
    """Makes the three demo log-ins."""
    for username, role, first, last, _ in PEOPLE:
        user, made = User.objects.get_or_create(
            username=username, defaults={"role": role, "first_name": first, "last_name": last}
        )
        if made:
            user.set_password(PASSWORD)
            user.save()
    return log_ins()


def load_roster(system: System) -> None:
    """Makes the players and their places in the demo's system, and by group in the other systems."""
    if RosterSpot.objects.exists():
        return
    men = [_player(*row) for row in content.ROSTER]
    places = {position.name: position for position in system.positions.all()}
    used: dict[str, int] = {}
    spots = []
    for man, (_, _, _, name, _, _) in zip(men, content.ROSTER, strict=True):
        spots.append(RosterSpot(player=man, position=places[name], order=used.get(name, 0)))
        used[name] = used.get(name, 0) + 1
    for other in System.objects.exclude(pk=system.pk).prefetch_related("positions"):
        spots += _spots_by_group(other, men, places)
    RosterSpot.objects.bulk_create(spots)


def _player(number: int, first: str, last: str, position: str, ten: str, forty: str) -> Player:
    fields = {"first_name": first, "last_name": last, "ten_yd_s": ten, "forty_yd_s": forty}
    user = User.objects.filter(username="player", first_name=first, last_name=last, player=None).first()
    return Player.objects.get_or_create(number=number, defaults=fields | {"user": user})[0]


def _spots_by_group(system: System, men: list[Player], places: Mapping[str, Any]) -> list[RosterSpot]:
    groups = {place.name: place.group for place in places.values()}
    spots = []
    for group in dict.fromkeys(groups.values()):
        positions = [position for position in system.positions.all() if position.group == group]
        mine = [m for m, row in zip(men, content.ROSTER, strict=True) if groups[row[3]] == group]
        for turn, man in enumerate(mine if positions else []):
            spots.append(
                RosterSpot(player=man, position=positions[turn % len(positions)], order=turn // len(positions))
            )
    return spots


def load_opponents() -> None:
    """Makes the opponents with their menus."""
    for row in content.OPPONENTS:
        fields = {name: row[name] for name in ("short_name", "note")}
        opponent, made = Opponent.objects.get_or_create(name=row["name"], defaults=fields)
        if made:
            opponent.formations.set(Formation.objects.filter(opponent=None, name__in=row["formations"]))
            opponent.concepts.set(Concept.objects.filter(opponent=None, name__in=row["concepts"]))
            opponent.motions.set(Motion.objects.filter(opponent=None, name__in=row["motions"]))


def load_weeks(system: System, today: date) -> None:
    """Makes three weeks: the last game, the one coming on Saturday, and the one after it."""
    saturday = today + timedelta(days=(5 - today.weekday()) % 7)
    season, _ = Season.objects.get_or_create(
        year=saturday.year, defaults={"name": f"{content.COLLEGE}, {saturday.year}"}
    )
    for row in content.WEEKS:
        fields = {
            "opponent": Opponent.objects.get(name=row["opponent"]),
            "system": system,
            "game_on": saturday + timedelta(weeks=row["number"] - 2),
            "released": row["released"],
            "note": row["note"],
        }
        week, made = Week.objects.get_or_create(season=season, number=row["number"], defaults=fields)
        if made:
            _fill(week, row)


def _fill(week: Week, row: dict[str, Any]) -> None:
    looks = [_look(week, order, *look) for order, look in enumerate(row["looks"])]
    calls = {call.name: call for call in week.system.calls.all()}
    MenuCall.objects.bulk_create(_menu_call(week, order, calls, *entry) for order, entry in enumerate(row["menu"]))
    for order, day in enumerate(content.DAYS):
        _day(week, order, looks, *day)
    if row["number"] == 1:
        for grade in content.GRADES:
            _grade(week, looks, calls[content.SYSTEM], *grade)


def _look(
    week: Week, order: int, formation: str, concept: str, hash_: str, share: float | None, more: dict[str, Any]
) -> ExpectedLook:
    rest = {name: value for name, value in more.items() if name != "motion"}
    return ExpectedLook.objects.create(
        week=week,
        order=order,
        formation=Formation.objects.get(opponent=None, name=formation),
        concept=Concept.objects.get(opponent=None, name=concept),
        motion=Motion.objects.get(opponent=None, name=more["motion"]) if "motion" in more else None,
        hash=hash_,
        share=share,
        **rest,
    )


def _menu_call(
    week: Week, order: int, calls: Mapping[str, Call], name: str, down: int | None, low: int | None, high: int | None,
    zone: str, personnel: str, note: str,
) -> MenuCall:  # fmt: skip
    return MenuCall(
        week=week, order=order, call=calls[name], down=down, distance_from=low, distance_to=high, zone=zone,
        personnel=personnel, note=note,
    )  # fmt: skip


def _day(
    week: Week, order: int, looks: list[ExpectedLook], label: str, before: int, note: str,
    entries: list[tuple[str, str, int | None, str, int | None]],
) -> None:  # fmt: skip
    assert week.game_on is not None
    day = Day.objects.create(week=week, order=order, label=label, note=note, date=week.game_on - timedelta(days=before))
    PlanEntry.objects.bulk_create(
        PlanEntry(
            day=day, order=place, group=group, text=text, minutes=minutes, contact=contact,
            look=None if look is None else looks[look],
        )
        for place, (group, text, minutes, contact, look) in enumerate(entries)
    )  # fmt: skip


def _grade(
    week: Week, looks: list[ExpectedLook], call: Call, number: int, snap: int, look: int, fit: bool, leverage: bool,
    effort: int, correction: str,
) -> None:  # fmt: skip
    FitGrade.objects.create(
        week=week, player=Player.objects.get(number=number), look=looks[look], call=call, snap=snap, fit_right=fit,
        leverage_right=leverage, effort=effort, correction=correction,
    )  # fmt: skip
