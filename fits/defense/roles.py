"""The staff's own labels for defenders, with the side each belongs to."""

from __future__ import annotations

from enum import Enum
from functools import lru_cache

from fits.field import LEFT, RIGHT, Side
from fits.timing import Speed
from fits.values import value


class Group(Enum):
    """Position groups, front to back: also the order in which fits are derived."""

    LINE = "line"
    LINEBACKER = "linebacker"
    SECONDARY = "secondary"


ORDER = {Group.LINE: 0, Group.LINEBACKER: 1, Group.SECONDARY: 2}
SIDES = ("both", "strength", "weak", "run strength", "run weak", "field", "boundary", "left", "right", "middle")


@value
class Position:
    """A label of the staff. `side` says where it belongs; `both` makes a left and a right man of it."""

    name: str
    group: Group
    side: str
    label: str = ""
    v_yd_s: float | None = None
    tau_s: float | None = None

    @property
    def speed(self) -> Speed | None:
        """How fast the staff says such a man is, when it gives both numbers."""
        return None if self.v_yd_s is None or self.tau_s is None else Speed(self.v_yd_s, self.tau_s)


@value
class Role:
    """One of the eleven: a position, or its left or right man."""

    name: str
    position: str
    group: Group
    side_rule: str
    fixed: Side | None


def expand(position: Position) -> tuple[Role, ...]:
    """The men of a position: one, or a left and a right one."""
    p = position
    if p.side == "both":
        return tuple(Role(f"{s.word} {p.name}", p.name, p.group, s.word, s) for s in (LEFT, RIGHT))
    return (Role(p.name, p.name, p.group, p.side, None),)


@lru_cache(maxsize=1024)
def label_list(who: str) -> tuple[str, ...]:
    """The labels of a rule's `who`, comma separated, in its order."""
    return tuple(w.strip() for w in who.split(","))


def concerns(who: str, name: str, position: str) -> bool:
    """True when a rule's `who` (one or more labels, comma separated) names this man."""
    labels = label_list(who)
    return position in labels or name in labels
