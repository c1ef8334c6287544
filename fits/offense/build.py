"""Formations from the entries of a library file."""

from __future__ import annotations

import re
from enum import Enum

from fits.errors import BadRequest, FileError
from fits.field import LEFT, RIGHT, Side
from fits.offense.entry import Entry
from fits.offense.formation import LINE_ROLES, LINE_Y, SPLIT, Formation, Kind, OffensiveMan, in_order
from fits.offense.personnel import count_personnel, parse_personnel

FORMATION_KEYS = ("name", "label", "personnel", "note", "source", "players", "drawn")
PLAYER_KEYS = ("role", "kind", "x", "y")
ROLE = re.compile(r"[A-Za-z][A-Za-z0-9]{0,3}")
FAR = 60.0  # yards; beyond any field, so a slip of the hand


class Drawn(Enum):
    """The side a formation is drawn strong to."""

    LEFT = "left"
    RIGHT = "right"

    @property
    def side(self) -> Side:
        """The side itself."""
        return LEFT if self is Drawn.LEFT else RIGHT


def build_formation(data: object, where: str = "formation") -> Formation:
    """A formation from its file entry; the five linemen stand at the usual splits unless listed.

    Only the shape of the entry is checked here; whether the rule book allows it is `check_formation`'s business.
    Raises FileError that names the key and what was expected.
    """
    entry = Entry.named(data, where, "formation", FORMATION_KEYS)
    players: dict[str, OffensiveMan] = {}
    for number, item in enumerate(entry.items("players"), start=1):
        player = _build_player(item, where, f"{entry.path}.players[{number}]")
        if player.role in players:
            key = f"{entry.path}.players[{number}].role"
            raise FileError(where, key, "a role that is not listed yet", player.role)
        players[player.role] = player
    for place, role in enumerate(LINE_ROLES, start=-2):
        players.setdefault(role, OffensiveMan(role, Kind.LINE, place * SPLIT, LINE_Y))
    men = in_order(tuple(players.values()))
    return Formation(
        entry.text("name"),
        _personnel(entry, men),
        men,
        entry.text("note", ""),
        entry.text("source", ""),
        entry.choice("drawn", Drawn, Drawn.RIGHT).side,
        entry.label(),
    )


def _build_player(item: object, where: str, path: str) -> OffensiveMan:
    entry = Entry(item, where, path, PLAYER_KEYS)
    role = entry.text("role")
    if not ROLE.fullmatch(role):
        raise entry.wrong("role", "a label of one to four letters or digits that starts with a letter")
    kind = entry.choice("kind", Kind)
    if (role in LINE_ROLES) != (kind is Kind.LINE):
        linemen = ", ".join(LINE_ROLES)
        raise entry.wrong("kind", f"'line' for {linemen} and for nobody else")
    return OffensiveMan(role, kind, entry.number("x", -FAR, FAR), entry.number("y", -FAR, FAR))


def _personnel(entry: Entry, men: tuple[OffensiveMan, ...]) -> str:
    counted = count_personnel(men)
    if "personnel" not in entry:
        return counted.code
    try:
        given = parse_personnel(entry.text("personnel"))
    except BadRequest as error:
        raise entry.wrong("personnel", "two digits such as '11'") from error
    if given != counted:
        raise entry.wrong("personnel", f"{counted.code!r}, as the players listed are {counted.words}")
    return counted.code
