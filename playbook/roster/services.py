"""What changes the roster."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.db import transaction
from django.db.models import F, Max

from playbook.models import Player, Position, RosterSpot


@transaction.atomic
def save_player(player: Player, seen: int, fields: dict[str, Any], positions: Iterable[Position]) -> Player:
    """Writes a man and the positions he plays in the staff's systems; at a new position he comes last.

    Raises StaleVersion when somebody saved him since version `seen`.
    """
    if player.pk:
        player.save_version(seen, **fields)
    else:
        player = Player.objects.create(**fields)
    wanted = set(positions)
    player.spots.filter(position__system__base=None).exclude(position__in=wanted).delete()
    there = set(player.spots.values_list("position_id", flat=True))
    for position in wanted:
        if position.pk not in there:
            last = position.spots.aggregate(last=Max("order"))["last"]
            RosterSpot.objects.create(player=player, position=position, order=0 if last is None else last + 1)
    return player


@transaction.atomic
def move_spot_up(spot: RosterSpot) -> None:
    """Puts a man before the one above him at that position; the first one stays where he is."""
    Position.objects.select_for_update().get(pk=spot.position_id)
    spots = list(RosterSpot.objects.filter(position=spot.position, player__active=True).order_by("order", "pk"))
    place = spots.index(spot)
    if place:
        spots[place - 1], spots[place] = spots[place], spots[place - 1]
    for order, row in enumerate(spots):
        if row.order != order:
            RosterSpot.objects.filter(pk=row.pk).update(order=order, version=F("version") + 1)
