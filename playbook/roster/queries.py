"""What the roster pages read."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Case, F, Prefetch, Q, QuerySet, When

from playbook.installation import queries as installation
from playbook.models import Player, Position, Rights, RosterSpot, System, Week


@dataclass(frozen=True, slots=True)
class DepthLine:
    """A position of a system and the men who play it, the first one first."""

    position: Position
    spots: list[RosterSpot]


def roster(words: str = "", everyone: bool = False) -> QuerySet[Player]:
    """Returns the active men (or everyone) whose name or number fits the words, with their positions."""
    players = Player.objects.select_related("user").prefetch_related(
        Prefetch("spots", RosterSpot.objects.select_related("position__system").order_by("position__system", "order"))
    )
    if not everyone:
        players = players.filter(active=True)
    for word in words.split():
        fits = Q(first_name__icontains=word) | Q(last_name__icontains=word) | Q(spots__position__name__iexact=word)
        players = players.filter(fits | Q(number=int(word)) if word.isdecimal() and len(word) < 4 else fits)
    return players.distinct()


def log_ins(words: str = "") -> QuerySet[Player]:
    """Returns the active men who sign in as players or not yet: who asked for a link first, then who never did."""
    players = roster(words).filter(Q(user=None) | Q(user__role=Rights.PLAYER, user__is_active=True))
    order = F("asked_link__at").asc(nulls_last=True), F("user__last_login").asc(nulls_first=True)
    return players.select_related("asked_link").order_by(*order, "last_name", "first_name")


def asking() -> QuerySet[Player]:
    """Returns the men who ask for a log-in link."""
    return Player.objects.filter(active=True).exclude(asked_link=None)


def man_called(last_name: str, number: int) -> Player | None:
    """Returns the one active man of that last name and number; none when there are more, or he signs in as a coach."""
    men = log_ins().filter(last_name__iexact=last_name.strip(), number=number)[:2]
    return men[0] if len(men) == 1 else None


def own_systems() -> QuerySet[System]:
    """Returns the systems that are nobody's variant, the staff's chosen one first."""
    chosen = installation.system()
    first = Case(When(pk=chosen.pk if chosen else None, then=0), default=1)
    return System.objects.filter(base=None).order_by(first, "name")


def played_systems(player: Player) -> set[int]:
    """Returns the systems that the staff plays (chosen, or of a week) and those in which the man has a position.

    Where nothing says which is played it is all of them.
    """
    chosen = installation.system()
    of_weeks = Week.objects.values_list("system", "system__base")
    found = {pk for pair in of_weeks for pk in pair if pk} | ({chosen.pk} if chosen else set())
    if player.pk:
        found |= set(player.spots.values_list("position__system", flat=True))
    return found or set(own_systems().values_list("pk", flat=True))


def depth_chart(system: System) -> list[DepthLine]:
    """Returns the system's positions in order, each with its active men in order."""
    spots = RosterSpot.objects.filter(player__active=True).select_related("player").order_by("order", "pk")
    positions = system.positions.prefetch_related(Prefetch("spots", spots))
    return [DepthLine(position, list(position.spots.all())) for position in positions]
