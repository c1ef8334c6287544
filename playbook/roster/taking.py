"""Takes read rows into the roster: what each changes, and all of it at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.db import transaction

from playbook.models import Player, Position, System
from playbook.people import services as people
from playbook.roster import services
from playbook.roster.reading import Line

SAID = {"number": "number", "class_year": "class", "ten_yd_s": "10 yards", "forty_yd_s": "40 yards"}


@dataclass(frozen=True, slots=True)
class Proposal:
    """What becomes of a row: `player` is whom it is about, if he is there; `changes` are in words.

    A row with `trouble` is not taken.
    """

    row: Line
    player: Player | None
    changes: tuple[str, ...]
    trouble: str = ""

    @property
    def state(self) -> str:
        """In one word: refused, new, changed or same."""
        if self.trouble:
            return "refused"
        return "new" if self.player is None else "changed" if self.changes else "same"


def propose(rows: Sequence[Line], system: System) -> list[Proposal]:
    """Returns what each row would change. A man is known by his names, whatever their case; nothing is written."""
    there: dict[tuple[str, str], list[Player]] = {}
    for player in Player.objects.prefetch_related("spots__position"):
        there.setdefault(_names(player.first_name, player.last_name), []).append(player)
    seen: dict[tuple[str, str], int] = {}
    return [_propose(row, system, there, seen) for row in rows]


def _propose(
    row: Line, system: System, there: dict[tuple[str, str], list[Player]], seen: dict[tuple[str, str], int]
) -> Proposal:
    key = _names(row.first_name, row.last_name)
    if not all(key):
        what = row.doubts[0] if row.doubts and not any(key) else "a first and a last name are expected"
        return Proposal(row, None, (), what)
    if key in seen:
        return Proposal(row, None, (), f"he stands in line {seen[key]} already")
    seen[key] = row.line
    men = there.get(key, [])
    if len(men) > 1:
        return Proposal(row, None, (), f"{len(men)} men on the roster have this name: change the right one there")
    if not men:
        return Proposal(row, None, ())
    (player,) = men
    changes = [
        f"{SAID[name]} {_shown(getattr(player, name))} → {value}"
        for name, value in row.read.items()
        if getattr(player, name) != value
    ]
    if not player.active:
        changes.append("back on the roster")
    if row.positions is not None:
        before = [spot.position for spot in player.spots.all() if spot.position.system_id == system.pk]
        if set(before) != set(row.positions):
            changes.append(f"positions {_called(before)} → {_called(row.positions)}")
    return Proposal(row, player, tuple(changes))


def _names(first: str, last: str) -> tuple[str, str]:
    return first.casefold().strip(), last.casefold().strip()


def _shown(value: object) -> str:
    return "none" if value in (None, "") else str(value)


def _called(positions: Iterable[Position]) -> str:
    return ", ".join(position.name for position in positions) or "none"


@transaction.atomic
def take(proposals: Iterable[Proposal], system: System, log_ins: bool) -> tuple[int, int]:
    """Writes what is proposed, with a log-in for each man who has none where `log_ins` are wanted.

    Returns how many men were made or changed, and how many log-ins were made. Raises StaleVersion, and nothing is
    written.
    """
    taken = made = 0
    for proposal in proposals:
        if proposal.state == "refused":
            continue
        if log_ins and proposal.state == "same" and proposal.player and proposal.player.user_id is None:
            people.make_log_in(proposal.player)
            made += 1
        if proposal.state == "same":
            continue
        row, player = proposal.row, proposal.player or Player()
        fields = dict(row.read) | {"active": True}
        spots = [spot.position for spot in player.spots.all()] if player.pk else []
        keep = [position for position in spots if row.positions is None or position.system_id != system.pk]
        if not player.pk:
            fields |= {"first_name": row.first_name, "last_name": row.last_name}
        player = services.save_player(player, player.version, fields, [*keep, *(row.positions or ())])
        taken += 1
        if log_ins and player.user_id is None:
            people.make_log_in(player)
            made += 1
    return taken, made
