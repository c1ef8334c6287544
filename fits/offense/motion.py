"""Motions and shifts: a formation becomes another before the snap."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from enum import Enum
from itertools import pairwise
from typing import Any

from fits.errors import IllegalFormation, NotRunnable
from fits.field import LEFT, RIGHT, Side
from fits.offense.build import FAR
from fits.offense.entry import Entry
from fits.offense.formation import ATTACH_X, ATTACH_Y, LINE_Y, ON_LINE_Y, SPLIT, Formation, Kind, OffensiveMan, in_order
from fits.terms import Called
from fits.values import replace, value

OFF_LINE_Y = -1.6  # where a man who steps off the line stands
OUTSIDE_X = 0.8  # farther out than the tackle by this: outside the box
ROOM = 2.2  # a man who comes across keeps this far from the next one
BEHIND_Y = -2.8  # a man in motion passes this far behind the line, behind a quarterback under centre
WIDER = 4.0  # with no room inside, he goes this far outside the widest man


class MotionKind(Enum):
    """Moving at the snap, or set again for a second before it."""

    MOTION = "motion"
    SHIFT = "shift"


class Across(Enum):
    """What a motion's x is measured from; outwards on the side he goes to is positive."""

    BALL = "ball"
    TACKLE = "tackle"
    LAST_MAN = "last man"
    WIDEST = "widest man"


class Deep(Enum):
    """What a motion's y is measured from."""

    LINE = "line"
    QUARTERBACK = "quarterback"
    DEEPEST_BACK = "deepest back"


@value
class Motion(Called):
    """Who moves, and where he is at the snap.

    `who` are selectors, the first that fits somebody wins: a role label or a word of SELECTORS. `mirror` takes
    him to the same place on the other side, next to the men already there; else `x` and `y` say where, from their
    landmarks. `y` None keeps his depth. `balance` (shifts) lets receivers step on or off the line so that each
    side has one eligible man on it.
    """

    name: str
    kind: MotionKind
    who: tuple[str, ...]
    mirror: bool = False
    x: float = 0.0
    y: float | None = None
    x_of: Across = Across.BALL
    y_of: Deep = Deep.LINE
    balance: bool = False
    note: str = ""
    source: str = ""
    label: str = ""  # what people call it

    @property
    def speed(self) -> str:
        """How he goes: `trot` to a place of his own, `full` when the snap catches him on his way."""
        return "trot" if self.mirror else "full"

    def as_dict(self) -> dict[str, Any]:
        """The file shape of this motion."""
        place: dict[str, Any] = {"mirror": True} if self.mirror else {"x": self.x, "x_of": self.x_of.value}
        if not self.mirror and self.y is not None:
            place |= {"y": self.y, "y_of": self.y_of.value}
        if self.balance:
            place["balance"] = True
        return {
            "name": self.name,
            "label": self.label,
            "kind": self.kind.value,
            "who": list(self.who),
            **place,
            "note": self.note,
            "source": self.source,
        }


MOTION_KEYS = ("name", "label", "kind", "who", "mirror", "x", "x_of", "y", "y_of", "balance", "note", "source")


def build_motion(data: object, where: str = "motion") -> Motion:
    """A motion from its file entry. Raises FileError that names the key and what was expected."""
    entry = Entry.named(data, where, "motion", MOTION_KEYS)
    who = []
    for item in entry.items("who"):
        if not isinstance(item, str) or not (item in SELECTORS or (item[:1].isupper() and item.isalnum())):
            raise entry.wrong("who", f"role labels or words of: {', '.join(SELECTORS)}")
        who.append(item)
    mirror, kind = entry.flag("mirror"), entry.choice("kind", MotionKind)
    for key in ("x", "x_of", "y", "y_of"):
        if mirror and key in entry:
            raise entry.wrong(key, "no place beside mirror = true")
    if entry.flag("balance") and kind is MotionKind.MOTION:
        raise entry.wrong("balance", "false with kind = 'motion', as only one man moves at the snap,")
    return Motion(
        entry.text("name"),
        kind,
        tuple(who),
        mirror,
        0.0 if mirror else entry.number("x", -FAR, FAR),
        entry.number("y", -FAR, FAR) if "y" in entry else None,
        entry.choice("x_of", Across, Across.BALL),
        entry.choice("y_of", Deep, Deep.LINE),
        entry.flag("balance"),
        entry.text("note", ""),
        entry.text("source", ""),
        entry.label(),
    )


def apply_motion(formation: Formation, motion: Motion, toward: Side | None = None) -> Formation:
    """The formation at the snap.

    `toward` is the side he goes to; None takes whoever can go towards the side the formation is drawn strong to,
    else the other side. A man in motion leaves from off the line and never moves forward; a shifted man is set
    again. The rule book is not asked here: check what comes back.
    Raises NotRunnable when the formation has nobody for it, IllegalFormation (`motion-forward`).
    """
    sides = (toward,) if toward is not None else (formation.drawn, formation.drawn.other)
    for side in sides:
        mover = _find_mover(formation, motion, side)
        if mover is not None:
            return _move(formation, motion, mover, side)
    going = f" to go {toward.word}" if toward is not None else ""
    wanted = " or ".join(motion.who)
    raise NotRunnable(f"motion {motion.called!r}: {formation.called!r} has nobody{going}; expected {wanted}")


def find_mover(formation: Formation, motion: Motion, toward: Side | None = None) -> OffensiveMan | None:
    """The man who would move, or None."""
    sides = (toward,) if toward is not None else (formation.drawn, formation.drawn.other)
    return next((p for side in sides if (p := _find_mover(formation, motion, side)) is not None), None)


def motion_path(start: OffensiveMan, end: OffensiveMan) -> tuple[tuple[float, float], ...]:
    """The way of a man in motion, from where he stood to where he is at the snap: behind the line, past the others."""
    first, last = (start.x, start.y), (end.x, end.y)
    if abs(end.x - start.x) < 2 * ROOM:
        return (first, last)
    deep = min(start.y, end.y, BEHIND_Y)
    way = 1.0 if end.x > start.x else -1.0
    lead = min(ROOM, 0.3 * abs(end.x - start.x))
    return (first, (start.x + way * lead, deep), *(((end.x - way * lead, deep),) if end.y > deep else ()), last)


def _find_mover(formation: Formation, motion: Motion, toward: Side) -> OffensiveMan | None:
    for who in motion.who:
        if who in SELECTORS:
            men = list(SELECTORS[who](formation, toward.other))
        else:
            men = [p for p in formation.players if p.role == who and _eligible(p) and p.x * toward <= 0]
        if motion.kind is MotionKind.MOTION:
            men = [p for p in men if not p.on_line]
        if men:
            return min(men, key=lambda p: (abs(p.x), -p.y, p.role))
    return None


def _move(formation: Formation, motion: Motion, mover: OffensiveMan, toward: Side) -> Formation:
    rest = tuple(p for p in formation.players if p.role != mover.role)
    moved = _mirrored_place(rest, mover, toward) if motion.mirror else _place(rest, motion, mover, toward)
    if motion.kind is MotionKind.MOTION and moved.y > mover.y:  # so he cannot end up on the line either
        text = f"In {motion.name}, {mover.role} would move forward at the snap."
        raise IllegalFormation(formation.called, "motion-forward", text)
    men = (*rest, moved)
    if motion.balance:
        men = _balanced(men)
    return replace(formation, players=in_order(men))


def _place(rest: tuple[OffensiveMan, ...], motion: Motion, mover: OffensiveMan, toward: Side) -> OffensiveMan:
    start = {
        Across.BALL: lambda: 0.0,
        Across.TACKLE: lambda: _tackle(rest, toward),
        Across.LAST_MAN: lambda: _last_man(rest, toward),
        Across.WIDEST: lambda: max([_tackle(rest, toward), *(p.x * toward for p in _outside(rest, toward))]),
    }[motion.x_of]()
    x = _tidy((start + motion.x) * toward)
    y = mover.y if motion.y is None else _tidy(motion.y + _depth(rest, motion.y_of, mover))
    return replace(mover, x=x, y=y)


def _depth(rest: tuple[OffensiveMan, ...], of: Deep, mover: OffensiveMan) -> float:
    if of is Deep.LINE:
        return 0.0
    kinds = (Kind.QUARTERBACK,) if of is Deep.QUARTERBACK else (Kind.QUARTERBACK, Kind.BACK)
    return min((p.y for p in rest if p.kind in kinds), default=mover.y)


def _mirrored_place(rest: tuple[OffensiveMan, ...], mover: OffensiveMan, toward: Side) -> OffensiveMan:
    """The same place on the other side; a man beside the line stays beside it, one in the open finds room."""
    last, x = _last_man(rest, toward), abs(mover.x)
    if mover in _attached((*rest, mover), toward.other):
        return replace(mover, x=_tidy((last + SPLIT) * toward))
    if x <= _tackle(rest, toward) + OUTSIDE_X:
        return replace(mover, x=x * toward + 0.0)
    there = [last, *sorted(p.x * toward for p in _outside(rest, toward) if p.x * toward > last)]
    if all(abs(x - other) >= ROOM for other in there) and x > last:
        return replace(mover, x=x * toward)
    for inner, outer in pairwise(there):
        if outer - inner >= 2 * ROOM:
            return replace(mover, x=_tidy((inner + outer) / 2 * toward))
    return replace(mover, x=_tidy((there[-1] + WIDER) * toward))


def _tidy(length: float) -> float:
    """The length without the dust of adding splits, and without a negative zero."""
    return round(length, 6) + 0.0


def _balanced(men: tuple[OffensiveMan, ...]) -> tuple[OffensiveMan, ...]:
    """The men stepped on or off the line so that seven are on it.

    On each side that is the inmost attached man, or with none attached the widest; where the other side has nobody
    the widest man is on the line too and covers him.
    """
    near = {side: [p for p in _outside(men, side) if p.y >= ATTACH_Y] for side in (LEFT, RIGHT)}
    changed = {p.role: p for p in men}
    for side, outside in near.items():
        if not outside:
            continue
        ends = {(_attached(men, side) or outside[-1:])[0].role}
        if not near[side.other]:
            ends.add(outside[-1].role)
        for p in outside:
            if (p.role in ends) != p.on_line:
                changed[p.role] = replace(p, y=LINE_Y if p.role in ends else OFF_LINE_Y)
    return tuple(changed.values())


def _outside(men: tuple[OffensiveMan, ...], side: Side) -> list[OffensiveMan]:
    """Eligible men outside the tackle on that side and near the line, inside out."""
    edge = _tackle(men, side) + OUTSIDE_X
    near = [p for p in men if _eligible(p) and p.x * side > edge and p.y >= ON_LINE_Y - 3.0]
    return sorted(near, key=lambda p: (p.x * side, -p.y))


def _attached(men: tuple[OffensiveMan, ...], side: Side) -> list[OffensiveMan]:
    """Attached and wing men on that side, inside out."""
    chain: list[OffensiveMan] = []
    last = _tackle(men, side)
    for p in _outside(men, side):
        if p.y >= ATTACH_Y and p.x * side - last <= ATTACH_X:
            chain.append(p)
            last = p.x * side
    return chain


def _tackle(men: tuple[OffensiveMan, ...], side: Side) -> float:
    """How far out the last lineman stands on that side."""
    return max((p.x * side for p in men if p.kind is Kind.LINE), default=0.0)


def _last_man(men: tuple[OffensiveMan, ...], side: Side) -> float:
    """How far out the last attached man stands on that side, or the tackle."""
    chain = _attached(men, side)
    return chain[-1].x * side if chain else _tackle(men, side)


def _eligible(p: OffensiveMan) -> bool:
    return p.kind not in (Kind.LINE, Kind.QUARTERBACK)


def _open(formation: Formation, side: Side) -> list[OffensiveMan]:
    chain = _attached(formation.players, side)
    return [p for p in _outside(formation.players, side) if p not in chain]


def _slots(formation: Formation, side: Side) -> Iterator[OffensiveMan]:
    return (p for p in _open(formation, side)[:-1] if not p.on_line)


def _flankers(formation: Formation, side: Side) -> Iterator[OffensiveMan]:
    return (p for p in _open(formation, side)[-1:] if not p.on_line)


def _split_ends(formation: Formation, side: Side) -> Iterator[OffensiveMan]:
    return (p for p in _open(formation, side)[-1:] if p.on_line)


def _wings(formation: Formation, side: Side) -> Iterator[OffensiveMan]:
    return (p for p in _attached(formation.players, side) if not p.on_line)


def _end_men(formation: Formation, side: Side) -> Iterator[OffensiveMan]:
    chain = _attached(formation.players, side)
    tackles = [p for p in formation.players if p.kind is Kind.LINE and p.x * side > 0][1:]
    return iter(chain[-1:] if tackles else chain[1:][-1:])  # with a tackle over, the man next to the guard stays


def _backs(formation: Formation, side: Side) -> Iterator[OffensiveMan]:
    boxed = (p for p in formation.players if p.kind is Kind.BACK and not p.on_line and p.x * side >= 0)
    out = _outside(formation.players, side)
    return (p for p in boxed if p not in out)


def _backfield_ends(formation: Formation, side: Side) -> Iterator[OffensiveMan]:
    known = (*_outside(formation.players, side), *_attached(formation.players, side))
    return (
        p for p in formation.players
        if p.kind in (Kind.TIGHT_END, Kind.RECEIVER) and p.x * side >= 0 and p not in known and not p.on_line
    )  # fmt: skip


SELECTORS: dict[str, Callable[[Formation, Side], Iterator[OffensiveMan]]] = {
    "slot": _slots,  # off the line, in the open, with a man outside him
    "flanker": _flankers,  # widest man of his side, off the line
    "split end": _split_ends,  # widest man of his side, on the line
    "wing": _wings,  # beside the line, off it
    "end man": _end_men,  # last man attached to the line
    "back": _backs,  # in the backfield
    "backfield end": _backfield_ends,  # a tight end or receiver in the backfield
}
