"""The lane rail: one column for each lane behind the offense, with its name and its owners."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from fits.draw.labels import text_width
from fits.draw.scale import WIDTH, Scale
from fits.draw.scene import LaneMark

TIGHTEST = 2
SHORT = {
    "strong": "str.", "boundary": "bdry", "inside": "in", "outside": "out", "pulling": "pull", "trapping": "trap",
    "crossing": "cross",
}  # fmt: skip
NAME_LENGTH = 8  # characters beside each other in a lane's name
LINE_PITCH = 1.2  # of the font size


@dataclass(frozen=True, slots=True)
class Column:
    """One lane's column on the rail."""

    lane: LaneMark
    lines: tuple[tuple[str, bool], ...]
    width: float
    x: float = 0.0


@dataclass(frozen=True, slots=True)
class Rail:
    """The lane rail: columns in page order, font size, rows of text and height."""

    columns: tuple[Column, ...]
    size: float
    rows: int
    height: float


def fit_rail(lanes: Sequence[LaneMark], frame: Scale) -> Rail:
    """Columns as near under their lanes as their widths allow.

    Where they do not fit, owners' names are broken; where that is not enough, the font shrinks.
    """
    if not lanes:
        return Rail((), frame.style.rail[0], 0, 0.0)
    ordered = lanes if frame.turn > 0 else tuple(reversed(lanes))
    (size, least), width, tight = frame.style.rail, frame.style.width, 0
    columns = [_column(lane, size, tight, not (frame.style.owners or frame.style.sparse)) for lane in ordered]
    while sum(c.width for c in columns) > width - 8 and size > least:
        size, tight = (size - 0.2, tight) if tight == TIGHTEST else (size, tight + 1)
        columns = [_column(lane, size, tight, not (frame.style.owners or frame.style.sparse)) for lane in ordered]
    wanted = [frame.x(c.lane.x) for c in columns]
    places = spaced(wanted, [c.width for c in columns], width)
    placed = tuple(replace(c, x=x) for c, x in zip(columns, places, strict=True))
    rows = max(len(c.lines) for c in columns)
    return Rail(placed, size, rows, 13 + rows * size * LINE_PITCH + 8)


def _column(lane: LaneMark, size: float, tight: int, owned: bool) -> Column:
    """One lane's column: its name, then its owners. Tight, a word a line; tighter, the long words short.

    Where the owners stand at the lane's own end it is the name in one line.
    """
    name = lane.name
    if not owned:
        shown = shortened(name) if tight else name
        return Column(lane, ((shown, False),), text_width(shown, size) + (4 if tight else 10))
    owners: Sequence[str] = " ".join(lane.owners).split() if tight else lane.owners
    if tight == TIGHTEST:
        name = shortened(name)
        owners = [owner.split()[-1] for owner in lane.owners]  # his place and his arrow tell which one of a pair
    lines = [(line, False) for line in name_lines(name)]
    lines += [(owner, True) for owner in owners or ("OPEN",)]
    return Column(lane, tuple(lines), max(text_width(t, size, b) for t, b in lines) + (4 if tight else 6))


def shortened(name: str) -> str:
    """A lane's name with its long words cut, for a crowded rail."""
    return " ".join(SHORT.get(word, word) for word in name.split())


def name_lines(name: str) -> list[str]:
    """A lane's name in short lines, without its articles: `inside`, `pulling`, `guard`.

    >>> name_lines("strong A+B and weak A")
    ['strong', 'A+B and', 'weak A']
    """
    lines: list[str] = []
    for word in name.split():
        if word == "the":
            continue
        if lines and len(lines) > 1 and len(lines[-1]) + len(word) < NAME_LENGTH:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


def spaced(wanted: Sequence[float], widths: Sequence[float], room: float = WIDTH) -> list[float]:
    """Centres in order, together as near to the wanted places as the widths allow, inside the picture.

    Least squares under an order: neighbours that would collide are pooled and move as one.
    """
    offsets = [0.0]
    for a, b in pairwise(widths):
        offsets.append(offsets[-1] + (a + b) / 2)
    pools: list[tuple[float, int]] = []
    for want, offset in zip(wanted, offsets, strict=True):
        mean, count = want - offset, 1
        while pools and pools[-1][0] > mean:
            before, more = pools.pop()
            mean, count = (before * more + mean * count) / (more + count), more + count
        pools.append((mean, count))
    low, high = 4 + widths[0] / 2, room - 4 - widths[-1] / 2 - offsets[-1]
    starts = [max(min(mean, high), low) for mean, count in pools for _ in range(count)]
    return [start + offset for start, offset in zip(starts, offsets, strict=True)]
