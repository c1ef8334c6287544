"""Called movement: where a slant, a pinch, a loop or a blitz takes a man, and the way he goes there."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from fits.defense.techniques import GAPS
from fits.field import LEFT, RIGHT, Side
from fits.notation.phrase import PhraseError, Vocabulary
from fits.offense.formation import Offense
from fits.rules.snap import Aligned
from fits.values import value

AT_LINE_Y = 0.3  # yards: a man who goes through a gap is there when he crosses the heels of the line
LOOP_Y = 2.0  # yards: how deep a man passes behind the one who goes first
EDGE = 1.2  # yards outside the last man of the surface, where an edge lane is fitted

Landing = Callable[[Offense, Side, str | None], tuple[str, Side, float]]
MOVES: Vocabulary[Landing] = Vocabulary("a movement")
WAYS = "strength|weak|run strength|run weak|field|boundary|left|right"
_TO = re.compile(rf"(?P<mark>.+?)(?: to (?P<to>{WAYS}))?(?:, behind (?P<behind>\S.*))?")


@value
class Movement:
    """A compiled `to`: where it ends, to which side (None: his own), behind whom he loops (a label, or empty)."""

    landing: Landing
    to: str | None
    behind: str


def compile_move(text: str) -> Movement:
    """The meaning of a `to`. Raises PhraseError."""
    match = _TO.fullmatch(text.strip())
    if match is None:
        raise PhraseError("a movement", text, [e.example for e in MOVES.entries])
    return Movement(MOVES.compile(match["mark"]), match["to"], match["behind"] or "")


def gap_x(offense: Offense, side: Side, letter: str) -> float:
    """x of the middle of a static gap on that side; outside the last man of the surface it is the edge."""
    marks = [0.0, *(p.x * side for p in offense.view(side).surface)]
    place = min(GAPS.index(letter), len(marks) - 1)
    return side * (marks[-1] + EDGE if place == len(marks) - 1 else (marks[place] + marks[place + 1]) / 2)


def edge_gap(offense: Offense, side: Side) -> str:
    """The letter of the gap outside the last man of the surface."""
    return GAPS[min(len(offense.view(side).surface), len(GAPS) - 1)]


@MOVES.phrase(
    "(?P<letter>[A-D]) gap(?P<away> away)?", "A gap", "through that gap on my side (or, with `away`, across the ball)"
)
def _through(letter: str, away: str | None) -> Landing:
    def land(offense: Offense, side: Side, gap: str | None) -> tuple[str, Side, float]:
        there = side.other if away else side
        return letter, there, gap_x(offense, there, letter)

    return land


@MOVES.phrase("edge", "edge", "off the edge: outside the last man of the surface")
def _edge() -> Landing:
    def land(offense: Offense, side: Side, gap: str | None) -> tuple[str, Side, float]:
        letter = edge_gap(offense, side)
        return letter, side, gap_x(offense, side, letter)

    return land


@MOVES.phrase("my gap", "my gap", "straight through the gap of my technique; without one, off the edge")
def _mine() -> Landing:
    def land(offense: Offense, side: Side, gap: str | None) -> tuple[str, Side, float]:
        letter = gap or edge_gap(offense, side)
        return letter, side, gap_x(offense, side, letter)

    return land


def move_man(d: Aligned, movement: Movement, side: Side | None, offense: Offense, men: Mapping[str, Aligned]) -> None:
    """Gives the man his path; the gap he ends in is now his. `side` is the side the movement is called to."""
    way = side or d.side or (LEFT if d.x < 0 else RIGHT)
    letter, there, x = movement.landing(offense, way, d.gap)
    go_to(d, letter, x, _behind(d, movement.behind, men))
    if d.side is None:
        d.side = there


def go_to(d: Aligned, letter: str, x: float, behind: Aligned | None = None) -> None:
    """Sends the man to that x at the line, in that gap."""
    start, end = (d.x, d.y), (x, AT_LINE_Y)
    d.path = (start, end) if behind is None else (start, (behind.x, max(LOOP_Y, behind.y + 0.8)), end)
    d.to_x, d.gap = x, letter


def _behind(d: Aligned, label: str, men: Mapping[str, Aligned]) -> Aligned | None:
    """The man of that label, on the same side first."""
    found = [m for m in men.values() if label in (m.name, m.position) and m is not d]
    return min(found, key=lambda m: (m.side is not d.side, abs(m.x - d.x)), default=None)
