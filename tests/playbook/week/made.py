"""A week to test with: the shipped odd system, four looks, a menu, two days."""

from __future__ import annotations

from datetime import date, timedelta

from django.utils import timezone

import fits
from playbook import convert
from playbook.models import (
    Day,
    ExpectedLook,
    FitGrade,
    MenuCall,
    Opponent,
    PlanEntry,
    Player,
    RosterSpot,
    Season,
    System,
    TechniqueScheme,
    Week,
)

SYSTEM = "odd-three-safety"
LOOKS = [
    ("10-doubles", "inside-zone"),
    ("11-doubles", "power"),
    ("11-doubles", "counter"),
    ("10-doubles", "outside-zone"),
]


def make_system() -> System:
    """The shipped odd system."""
    existing = System.objects.filter(name=SYSTEM).first()
    return existing or convert.write_system(fits.load_library().systems[SYSTEM].as_dict())


def make_season(year: int = 2031) -> Season:
    """A season."""
    return Season.objects.get_or_create(year=year)[0]


def make_looks(week: Week, pairs=LOOKS) -> list[ExpectedLook]:
    """Looks of the shipped library for the week."""
    lib = fits.load_library()
    return [
        ExpectedLook.objects.create(
            week=week,
            order=order,
            formation=convert.write_formation(lib.formation(formation).as_dict()),
            concept=convert.write_concept(lib.concept(concept).as_dict()),
        )
        for order, (formation, concept) in enumerate(pairs)
    ]


def make_week(number: int = 1, *, released: bool = False, game_on: date | None = None, pairs=LOOKS) -> Week:
    """A whole week."""
    system = make_system()
    opponent = Opponent.objects.get_or_create(name=f"Opponent {number}")[0]
    day = game_on or timezone.localdate() + timedelta(days=7 * number)
    week = Week.objects.create(
        season=make_season(), number=number, opponent=opponent, system=system, game_on=day, released=released
    )
    looks = make_looks(week, pairs)
    call = system.calls.get(name=SYSTEM)
    MenuCall.objects.create(week=week, call=call, order=0, down=1, personnel="11", note="base")
    MenuCall.objects.create(week=week, call=call, order=1, down=3, distance_from=4, distance_to=6, zone="red zone")
    for order, label in enumerate(["Tuesday", "Wednesday"]):
        made = Day.objects.create(week=week, order=order, label=label)
        PlanEntry.objects.create(day=made, order=0, group="line", text="Hands", minutes=20, contact="thud")
        PlanEntry.objects.create(
            day=made, order=1, text="Team run", minutes=5, contact="live", look=looks[0] if looks else None
        )
    return week


def put_at(player: Player, *positions: str) -> None:
    """Gives the player places in the odd system."""
    system = make_system()
    for order, name in enumerate(positions):
        RosterSpot.objects.create(player=player, position=system.positions.get(name=name), order=order)


def make_grade(**more) -> FitGrade:
    """A grade of a new player."""
    player = Player.objects.create(first_name="Ulric", last_name="Tannermoor", number=77)
    week = more.pop("week", None) or make_bare_week()
    return FitGrade.objects.create(week=week, player=player, **more)


def make_bare_week(number: int = 1, **more) -> Week:
    """A week with a day and nothing else: quick to make."""
    system = System.objects.create(
        name=f"bare-{number}", scheme=TechniqueScheme.objects.get_or_create(name="standard")[0]
    )
    week = Week.objects.create(season=make_season(), number=number, system=system, **more)
    Day.objects.create(week=week, order=0, label="Tuesday")
    return week
