"""An offense placed on the field: players, the surface they form, strengths and receiver counts."""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum
from typing import Any

from fits.field import LEFT, RIGHT, Hash, RuleBook, Side, field_side
from fits.terms import Called
from fits.values import field as field_
from fits.values import replace, value

SPLIT = 1.6  # yards centre to centre
LINE_Y = -0.6
ON_LINE_Y = -1.0  # a man at or in front of this is on the line
ATTACH_X = 2.0  # farthest lateral step from the last attached man
ATTACH_Y = -2.2  # deepest a wing may stand
BACKFIELD_X = 4.0  # a man inside this and off the line is in the backfield
LINE_ROLES = ("LT", "LG", "C", "RG", "RT")
SWAP = {"LT": "RT", "LG": "RG", "RG": "LG", "RT": "LT"}


class Kind(Enum):
    """What an offensive player is; decides personnel and eligibility."""

    LINE = "line"
    QUARTERBACK = "quarterback"
    BACK = "back"
    TIGHT_END = "tight end"
    RECEIVER = "receiver"


@value
class OffensiveMan:
    """One offensive player at (x, y) in yards."""

    role: str
    kind: Kind
    x: float
    y: float

    @property
    def on_line(self) -> bool:
        """True within a yard of the line of scrimmage."""
        return self.y >= ON_LINE_Y

    @property
    def side(self) -> Side | None:
        """The side of the ball, or None straight behind it."""
        if abs(self.x) < 0.25:
            return None
        return RIGHT if self.x > 0 else LEFT


def is_back(p: OffensiveMan) -> bool:
    """True for a man whom a defense counts into the flow: a back or an offset tight end behind the line."""
    return p.y < ATTACH_Y and abs(p.x) <= BACKFIELD_X and (p.kind is Kind.BACK or p.kind is Kind.TIGHT_END)


@value
class Formation(Called):
    """Eleven players as drawn; `name` identifies it.

    `drawn` is the side a tie in strength falls to (right as drawn; a flip turns it).
    """

    name: str
    personnel: str
    players: tuple[OffensiveMan, ...]
    note: str = ""
    source: str = ""
    drawn: Side = RIGHT
    label: str = ""  # what people call it

    def player(self, role: str) -> OffensiveMan | None:
        """The player with that role, or None."""
        return next((p for p in self.players if p.role == role), None)

    def mirrored(self) -> Formation:
        """The same formation seen in a mirror; linemen change sides and names."""
        players = tuple(replace(p, role=SWAP.get(p.role, p.role), x=0.0 - p.x) for p in self.players)
        return replace(self, players=in_order(players), drawn=self.drawn.other)

    @property
    def offset_back(self) -> OffensiveMan | None:
        """The only man in the backfield beside the quarterback, where he stands to one side of him; else None."""
        backs = [p for p in self.players if p.kind is not Kind.QUARTERBACK and is_back(p)]
        return backs[0] if len(backs) == 1 and backs[0].side is not None else None

    def with_back(self, side: Side) -> Formation:
        """The same formation with its offset back on that side of the quarterback; itself where there is none."""
        back = self.offset_back
        if back is None or back.side is side:
            return self
        moved = tuple(replace(p, x=0.0 - p.x) if p is back else p for p in self.players)
        return replace(self, players=in_order(moved))

    def placed(self, hash_: Hash, book: RuleBook) -> Formation:
        """The same formation with wide men held two yards inside the sidelines of that hash."""
        left, right = -(book.room(hash_, LEFT) - 2), book.room(hash_, RIGHT) - 2
        players = tuple(p if left <= p.x <= right else replace(p, x=min(max(p.x, left), right)) for p in self.players)
        return self if players == self.players else replace(self, players=players)

    def as_dict(self) -> dict[str, Any]:
        """The file shape of this formation."""
        players = [{"role": p.role, "kind": p.kind.value, "x": p.x, "y": p.y} for p in self.players]
        drawn = {} if self.drawn is RIGHT else {"drawn": self.drawn.word}
        words = {
            "name": self.name,
            "label": self.label,
            "personnel": self.personnel,
            "note": self.note,
            "source": self.source,
        }
        return {**words, **drawn, "players": players}


def in_order(players: tuple[OffensiveMan, ...]) -> tuple[OffensiveMan, ...]:
    """Players from left to right, then front to back: the order the file lists them in never matters."""
    return tuple(sorted(players, key=lambda p: (p.x, -p.y, p.role)))


@value
class SideView:
    """One side of the offense, inside out.

    `surface`: blockers from the guard outwards (guard, tackle, attached and wing men). With a tackle over, the second
    tackle is the third man of the long side, and the end next to the guard stands in the tackle's place on the short
    side.
    `receivers`: eligibles outside the tackle from the outside in, so `receivers[0]` is #1; a man of the surface who is
    covered by another on the line is not one of them.
    """

    side: Side
    surface: tuple[OffensiveMan, ...]
    receivers: tuple[OffensiveMan, ...]

    @property
    def attached(self) -> tuple[OffensiveMan, ...]:
        """Men outside the tackle's place, inside out: attached and wing men, and a tackle who is over."""
        return self.surface[2:]

    @property
    def tackle(self) -> OffensiveMan:
        """The man in the tackle's place, next to the guard (the guard himself when nobody is)."""
        return self.surface[1] if len(self.surface) > 1 else self.surface[0]


@value
class Offense:
    """A formation read the way a defense reads it, with the strengths decided.

    Ties in strength fall to the field, then to the side the formation is drawn strong to. `before` is the offense as it
    lined up, when a man moved since (a shift is over, and leaves nothing to compare with). `motion_speed` is
    how the man in motion goes (`full`, `trot`).
    """

    formation: Formation
    hash: Hash
    book: RuleBook
    left: SideView
    right: SideView
    backfield: tuple[OffensiveMan, ...]
    passing: Side
    run: Side
    field: Side | None
    motion: str | None
    motion_speed: str
    by_role: Mapping[str, OffensiveMan] = field_(compare=False)
    before: Offense | None = None

    def view(self, side: Side) -> SideView:
        """That side of the offense."""
        return self.left if side is LEFT else self.right


def read_offense(
    formation: Formation,
    hash_: Hash,
    book: RuleBook,
    motion: str | None = None,
    before: Formation | None = None,
    motion_speed: str = "",
) -> Offense:
    """The offense as a defense counts it; `motion` is the role of the man who moved last, `before` how it lined up."""
    formation = formation.placed(hash_, book)
    if (listed := in_order(formation.players)) != formation.players:
        formation = replace(formation, players=listed)
    by_role = {p.role: p for p in formation.players}
    left, right = _view(formation, by_role, LEFT), _view(formation, by_role, RIGHT)
    taken = {p.role for v in (left, right) for p in (*v.surface, *v.receivers)}
    backs = tuple(
        p
        for p in formation.players
        if p.kind is not Kind.LINE and p.role not in taken and p.kind is not Kind.QUARTERBACK
    )
    wide = field_side(hash_)
    tie = wide if wide is not None else formation.drawn

    def stronger(a: int, b: int) -> Side:
        return LEFT if a > b else RIGHT if b > a else tie

    return Offense(
        formation,
        hash_,
        book,
        left,
        right,
        backs,
        stronger(len(left.receivers), len(right.receivers)),
        stronger(len(left.attached), len(right.attached)),
        wide,
        motion,
        motion_speed,
        by_role,
        None if before is None or motion is None else read_offense(before, hash_, book),
    )


def _view(formation: Formation, by_role: Mapping[str, OffensiveMan], side: Side) -> SideView:
    line = [p for p in formation.players if p.kind is Kind.LINE and p.x * side > 0.25]
    surface = sorted(line, key=lambda p: p.x * side)
    others = sorted(
        (p for p in formation.players if p.kind not in (Kind.LINE, Kind.QUARTERBACK) and p.x * side > 0),
        key=lambda p: (p.x * side, -p.y),
    )
    for p in others:
        step = (p.x - surface[-1].x) * side
        if p.y >= ATTACH_Y and 0 < step <= ATTACH_X:
            surface.append(p)
    edge = surface[-1].x * side
    covered = [p for p in surface[:-1] if p.on_line and any(o.on_line and o.x * side > p.x * side for o in others)]
    outside = [p for p in others if (p in surface and p not in covered) or p.x * side > edge + ATTACH_X]
    return SideView(side, tuple(surface), tuple(reversed(outside)))
