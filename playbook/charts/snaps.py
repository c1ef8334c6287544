"""A chart's rows as snaps: each row is taken, put aside or refused with its line and the reason.

One cell that cannot be read is left blank and listed, and its snap counts. A row is refused only where it is no row of
the table, or where nothing tells what was run.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import islice
from typing import NamedTuple

from . import values
from .columns import BY_NAME, SAMPLES
from .errors import CellError, ChartError
from .reading import Chart, Row

MARKING = ("unit", "offense")  # columns that say whose a row is


class Snap(NamedTuple):
    """One charted snap. None or "" means not charted; `motion` "" means no motion.

    `yard_line` counts from the offense's own goal, 1 to 99; `margin` is its points ahead. Sides are the offense's.
    `chart` is the number of the file it is kept from.
    """

    line: int = 0
    game: str = ""
    down: int | None = None
    distance: int | None = None
    yard_line: int | None = None
    hash: str = ""
    quarter: int | None = None
    clock_s: int | None = None
    personnel: str = ""
    formation: str = ""
    strength: str = ""
    backfield: str = ""
    back: str = ""
    motion: str | None = None
    play_type: str = ""
    concept: str = ""
    direction: str = ""
    hole: str = ""
    gain: int | None = None
    result: str = ""
    our_call: str = ""
    margin: int | None = None
    chart: int = 0


SNAP_FIELDS = Snap._fields[:-1]  # what a file may say


@dataclass(frozen=True, slots=True)
class Refused:
    """A row that was not taken, or not whole, and why; `cells` is the row as it stands in the file."""

    line: int
    reason: str
    cells: tuple[str, ...]
    counted: bool = True  # False: readable, but a kick, a penalty or a kneel
    taken: bool = False  # True: its snap counts without the cells that are named


@dataclass(frozen=True, slots=True)
class Aside:
    """A row that is no snap of this opponent's offense; `whose` says what it is."""

    line: int
    whose: str


@dataclass(frozen=True, slots=True)
class ColumnMap:
    """Which header holds which column, how bare yard lines and three-part clocks are meant, whose rows count.

    `theirs` has the cell that marks this opponent's offense, by column: `unit` (O or D) and `offense` (a team).
    """

    headers: Mapping[str, str]
    yard_style: values.YardStyle = values.YardStyle.SIGNED
    clock_style: values.ClockStyle = values.ClockStyle.MINUTES_FIRST
    theirs: Mapping[str, str] = field(default_factory=dict)


def check_mapping(chart: Chart, mapping: ColumnMap) -> None:
    """Raises ChartError when a mapping cannot be used with this chart."""
    for column, header in mapping.headers.items():
        if column not in BY_NAME:
            raise ChartError(f"“{column}” is not a column. Expected one of: {', '.join(BY_NAME)}.")
        if header not in chart.headers:
            raise ChartError(f"the file has no header “{header}” for {BY_NAME[column].label.lower()}.")
    used = list(mapping.headers.values())
    twice = next((header for header in used if used.count(header) > 1), None)
    if twice:
        raise ChartError(f"the header “{twice}” is used for two columns.")
    if not set(mapping.headers) & {"play_type", "concept", "formation"}:
        raise ChartError("no header is mapped to run or pass, concept or formation: nothing could be counted.")
    if "offense" in mapping.headers and not mapping.theirs.get("offense", "").strip():
        raise ChartError(
            f"“{mapping.headers['offense']}” says which team has the ball: say which of them is this opponent."
        )


def read_snaps(
    chart: Chart, mapping: ColumnMap, mended: Mapping[int, Sequence[str]] | None = None
) -> Iterator[Snap | Refused | Aside]:
    """Streams the rows of a chart; a snap whose cells could not all be read is followed by the list of those.

    `mended` has rows by line as the staff mended them: they are read in place of the file's.
    Raises ChartError when the mapping does not fit the chart.
    """
    check_mapping(chart, mapping)
    place = {column: chart.headers.index(header) for column, header in mapping.headers.items()}
    if "clock" in place:
        clocks = [row.cells[place["clock"]] for row in islice(chart.rows(), SAMPLES)]
        mapping = replace(mapping, clock_style=values.guess_clock_style(clocks))
    for row in chart.rows():
        if mended and row.line in mended:
            row = Row(row.line, tuple(mended[row.line]))
        yield from read_row(row, place, mapping)


def read_row(row: Row, place: Mapping[str, int], mapping: ColumnMap) -> list[Snap | Refused | Aside]:
    """Returns the snap in a row and which of its cells were left blank, or why it is no snap that counts."""
    if row.reason:
        return [Refused(row.line, row.reason, row.cells)]
    cells = {column: row.cells[index] for column, index in place.items()}
    whose = _whose(cells, mapping.theirs)
    if whose:
        return [Aside(row.line, whose)]
    try:
        _refuse_uncounted(cells)
    except values.NotCounted as what:
        return [Refused(row.line, f"{what}: not counted", row.cells, counted=False)]
    read: dict[str, object] = {}
    wrong = []
    for column, cell in cells.items():
        try:
            read[column] = _read(column, cell, cells, mapping)
        except CellError as error:
            wrong.append(f"{mapping.headers[column]}: {error}")
    snap = _snap_of(row.line, {name: value for name, value in read.items() if value is not None}, "motion" in place)
    if not (snap.play_type or snap.concept or snap.formation):
        reason = "; ".join([*wrong, "no run or pass, concept or formation here: nothing to count"])
        return [Refused(row.line, reason, row.cells)]
    return [snap, *([Refused(row.line, "; ".join(wrong), row.cells, taken=True)] if wrong else [])]


def _read(column: str, cell: str, cells: Mapping[str, str], mapping: ColumnMap) -> object:
    if values.is_blank(cell) and not (column == "half" and cell.strip() in ("-", "–", "−")):
        return None
    team = cells.get("offense", "")
    if column == "clock":
        return values.read_clock(cell.strip(), mapping.clock_style)
    if column == "half":
        return values.read_half(cell, team)
    if column == "yard_line":
        return values.read_yard_line(cell, mapping.yard_style, _half(cells, team), team)
    return values.read_cell(column, cell)


def _half(cells: Mapping[str, str], team: str) -> str:
    """Returns own or opp, as the column beside the yard line says; "" where it does not."""
    cell = cells.get("half", "").strip()
    if not cell or (values.is_blank(cell) and cell not in ("-", "–", "−")):
        return ""
    try:
        return values.read_half(cell, team)
    except CellError:
        return ""  # told of its own cell


def _whose(cells: Mapping[str, str], theirs: Mapping[str, str]) -> str:
    """Returns what a row is when it is not a snap of this opponent's offense, else ""."""
    cell = cells.get("offense", "")
    if theirs.get("offense") and not values.is_blank(cell) and not values.same_word(cell, theirs["offense"]):
        return f"offense of {cell.strip()[:40]}"
    try:
        unit = values.read_cell("unit", cells.get("unit", ""))
    except CellError:
        return ""
    if unit is None or unit == theirs.get("unit", "O"):
        return ""
    return values.UNITS[str(unit)]


def _refuse_uncounted(cells: Mapping[str, str]) -> None:
    for column in ("play_type", "concept", "result"):
        try:
            values.read_play_type(cells.get(column, ""))
        except CellError:
            continue


def _snap_of(line: int, read: dict[str, object], motion_charted: bool) -> Snap:
    down, distance = read.pop("down", None), read.pop("distance", None)
    if "down_distance" in read:
        down, distance = read.pop("down_distance")
    yard_line = read.get("yard_line")
    if distance == values.GOAL and distance is not None:
        distance = 100 - yard_line if yard_line else None
    for column in ("unit", "offense", "half"):
        read.pop(column, None)
    formation, side = values.split_formation(str(read.pop("formation", "")))
    strength = _to_side(str(read.pop("strength", "") or side), str(read.get("hash", "")))
    play_type = str(read.pop("play_type", ""))
    result = str(read.get("result", ""))
    told = values.play_type_of_result(result)
    is_pass = values.is_pass_word(str(read.get("concept", "")))
    if play_type in ("", "rpo"):
        play_type = told or ("run" if play_type else "pass" if is_pass else "")
    backfield = str(read.get("backfield", ""))
    motion = str(read.pop("motion", "")) if motion_charted else None
    direction = str(read.pop("direction", ""))
    hole = str(read.pop("hole", ""))
    if not direction and hole.split()[0:1] in (["left"], ["right"], ["middle"]):
        direction = hole.split()[0]
    clock = read.pop("clock", None)
    points, against = read.pop("points", None), read.pop("points_against", None)
    if points is not None and against is not None:
        read.setdefault("margin", int(str(points)) - int(str(against)))
    return Snap(
        line=line,
        down=down,
        distance=distance,
        formation=formation,
        strength=strength,
        play_type=play_type,
        back=values.read_back(backfield),
        motion=motion,
        direction=direction,
        hole=hole,
        clock_s=clock,
        **read,
    )


def _to_side(strength: str, hash_: str) -> str:
    """Returns a strength that was charted to the field or the boundary as left or right; "" from the middle."""
    wide = {"left": "right", "right": "left"}.get(hash_, "")
    if strength == "field":
        return wide
    return hash_ if strength == "boundary" and wide else "" if strength == "boundary" else strength
