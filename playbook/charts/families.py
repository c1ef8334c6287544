"""Plain trade words for formations ("Trips", "Doubles TE", "Pro"), and which of our drawings they most likely mean.

The words are common practice; staffs differ, so what comes out is only ever proposed.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import pairwise

from fits.offense.formation import ATTACH_Y, BACKFIELD_X
from playbook.models import Formation, FormationPlayer, PlayerKind

TACKLE_X = 3.3
ATTACHED_X = 5.2  # an attached tight end stands next to the tackle
WING_X = 7.5
BUNCH_YD = 4.0  # three men who stand closer than this are a bunch


@dataclass(frozen=True, slots=True)
class Picture:
    """A formation as a scout sees it: men outside the tackles from the inside out, and the backfield."""

    sides: tuple[tuple[FormationPlayer, ...], tuple[FormationPlayer, ...]]
    backs: tuple[FormationPlayer, ...]
    backfield: tuple[FormationPlayer, ...]
    quarterback_y: float

    @property
    def counts(self) -> tuple[int, int]:
        """How many are out on the fuller side and on the other."""
        left, right = map(len, self.sides)
        return max(left, right), min(left, right)

    @property
    def back(self) -> str:
        """Where the only man of the backfield stands beside the quarterback, drawn strong to the right; else ""."""
        if len(self.backfield) != 1 or abs(self.backfield[0].x) < 0.25:
            return ""
        return "strong" if self.backfield[0].x > 0 else "weak"

    @property
    def end(self) -> str:
        """On which side of strength the attached tight end is, where there is one only; else ""."""
        ends = [man for side in self.sides for man in side if _attached(man)]
        return "" if len(ends) != 1 else "strong" if ends[0].x > 0 else "weak"

    @property
    def three(self) -> tuple[FormationPlayer, ...]:
        """The men of a side that has three, else none."""
        return next((side for side in self.sides if len(side) == 3), ())


def picture_of(formation: Formation) -> Picture:
    """Returns a formation as a scout sees it; its players should be prefetched."""
    men = [man for man in formation.players.all() if man.kind != PlayerKind.LINE]
    out = [man for man in men if man.kind != PlayerKind.QUARTERBACK and abs(man.x) > TACKLE_X]
    sides = tuple(
        tuple(sorted((man for man in out if (man.x > 0) is right), key=lambda man: abs(man.x)))
        for right in (False, True)
    )
    backs = tuple(man for man in men if man.kind == PlayerKind.BACK and abs(man.x) <= TACKLE_X)
    backfield = tuple(man for man in men if man.kind in (PlayerKind.BACK, PlayerKind.TIGHT_END) and _behind(man))
    quarterback = next((man.y for man in men if man.kind == PlayerKind.QUARTERBACK), -5.0)
    return Picture(sides, backs, backfield, quarterback)  # type: ignore[arg-type]


def _behind(man: FormationPlayer) -> bool:
    """Whether a defense counts him into the flow, as the engine's `is_back` does."""
    return man.y < ATTACH_Y and abs(man.x) <= BACKFIELD_X


def _attached(man: FormationPlayer) -> bool:
    return man.kind == PlayerKind.TIGHT_END and abs(man.x) <= ATTACHED_X and man.y > -1


def _ends(picture: Picture) -> int:
    return sum(_attached(man) for side in picture.sides for man in side)


def _pro(picture: Picture) -> bool:
    """A tight end with one man outside him, and nobody attached on the other side."""
    return any(
        len(one) == 2 and _attached(one[0]) and other and not any(map(_attached, other))
        for one, other in (picture.sides, picture.sides[::-1])
    )


def _twins(picture: Picture) -> bool:
    return any(
        len(one) == 2 and not any(map(_attached, one)) and len(other) == 1 and _attached(other[0])
        for one, other in (picture.sides, picture.sides[::-1])
    )


def _bunch(picture: Picture) -> bool:
    three = picture.three
    return bool(three) and not _attached(three[0]) and abs(three[-1].x - three[0].x) <= BUNCH_YD


def _wing(picture: Picture) -> bool:
    return any(
        _attached(inside) and ATTACHED_X < abs(outside.x) <= WING_X and outside.y < -1
        for side in picture.sides
        for inside, outside in pairwise(side)
    )


def _deep(picture: Picture) -> list[FormationPlayer]:
    return [man for man in picture.backs if abs(man.x) < 0.5]


_FAMILIES: dict[str, Callable[[Picture], bool]] = {
    "trips": lambda p: bool(p.three),
    "trey": lambda p: bool(p.three) and _attached(p.three[0]),
    "nub": lambda p: bool(p.three) and any(len(side) == 1 and _attached(side[0]) for side in p.sides),
    "bunch": _bunch,
    "doubles": lambda p: p.counts == (2, 2),
    "empty": lambda p: not p.backs,
    "pro": _pro,
    "twins": _twins,
    "wing": _wing,
    "te": lambda p: _ends(p) > 0,
    "tight": lambda p: _ends(p) > 1,
    "i": lambda p: len(_deep(p)) == 2,
    "split": lambda p: len(p.backs) == 2 and p.backs[0].x * p.backs[1].x < 0,
    "ace": lambda p: len(p.backs) == 1 and len(_deep(p)) == 1 and p.quarterback_y > -2,
    "pistol": lambda p: len(_deep(p)) >= 1 and -4.5 < p.quarterback_y < -3,
    "gun": lambda p: p.quarterback_y <= -4.5,
    "under": lambda p: p.quarterback_y > -2,
}
_SPELLED = {
    "trip": "trips", "3x1": "trips", "double": "doubles", "dubs": "doubles", "2x2": "doubles", "y": "te",
    "twin": "twins", "shotgun": "gun", "singleback": "ace", "center": "under", "centre": "under", "no": "",
}  # fmt: skip


def families_of(word: str) -> list[str] | None:
    """Returns the trade words in an opponent's word, or None where it says something else too.

    >>> families_of("Doubles TE"), families_of("Gun Trips"), families_of("Tiger")
    (['doubles', 'te'], ['gun', 'trips'], None)
    """
    found = [_SPELLED.get(part, part) for part in re.findall(r"[a-z0-9]+", word.casefold())]
    return found if found and all(part in _FAMILIES for part in found) else None


def propose_formation(word: str, personnel: str, formations: Iterable[Formation]) -> str:
    """Returns the name of the formation that trade words with a personnel most likely mean, or "".

    Of several, one that is called so comes first, then the gun. Without a personnel, 11 comes first.
    """
    families = families_of(word)
    if families is None:
        return ""
    ranked = []
    for formation in formations:
        if personnel and formation.personnel != personnel:
            continue
        picture = picture_of(formation)
        if all(_FAMILIES[family](picture) for family in families):
            called = set(re.findall(r"[a-z0-9]+", f"{formation.label} {formation.name}".casefold()))
            missing = sum(family not in called for family in families if family != "te")
            off = any(man.y < -2 for side in picture.sides for man in side)  # an H-back: the words would say it
            ranked.append((missing, off, formation.personnel != "11", picture.quarterback_y > -4.5, formation.name))
    return min(ranked)[-1] if ranked else ""
