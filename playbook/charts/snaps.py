"""A chart's rows as snaps: each row is taken or refused with its line and the reason."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, fields

from . import values
from .columns import BY_NAME
from .errors import CellError, ChartError
from .reading import Chart, Row


@dataclass(frozen=True, slots=True)
class Snap:
    """One charted snap. None or "" means not charted; `motion` "" means no motion.

    `yard_line` counts from the offense's own goal, 1 to 99. Sides are the offense's.
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


SNAP_FIELDS = tuple(field.name for field in fields(Snap))


@dataclass(frozen=True, slots=True)
class Refused:
    """A row that was not taken, and why; `cells` is the row as it stands in the file."""

    line: int
    reason: str
    cells: tuple[str, ...]
    counted: bool = True  # False: readable, but a kick, a penalty or a kneel


@dataclass(frozen=True, slots=True)
class ColumnMap:
    """Which header holds which column, and how bare yard-line numbers are meant."""

    headers: Mapping[str, str]
    yard_style: values.YardStyle = values.YardStyle.SIGNED


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


def read_snaps(chart: Chart, mapping: ColumnMap) -> Iterator[Snap | Refused]:
    """Streams the rows of a chart as snaps or refusals. Raises ChartError when the mapping does not fit the chart."""
    check_mapping(chart, mapping)
    place = {column: chart.headers.index(header) for column, header in mapping.headers.items()}
    for row in chart.rows():
        yield read_row(row, place, mapping)


def read_row(row: Row, place: Mapping[str, int], mapping: ColumnMap) -> Snap | Refused:
    """Returns the snap in a row, or why it is not one. Every unreadable cell of the row is named."""
    if row.reason:
        return Refused(row.line, row.reason, row.cells)
    cells = {column: row.cells[index] for column, index in place.items()}
    try:
        _refuse_uncounted(cells)
    except values.NotCounted as what:
        return Refused(row.line, f"{what}: not counted", row.cells, counted=False)
    read: dict[str, object] = {}
    wrong = []
    for column, cell in cells.items():
        if values.is_blank(cell):
            continue
        try:
            if column == "yard_line":
                read[column] = values.read_yard_line(cell, mapping.yard_style)
            else:
                read[column] = values.read_cell(column, cell)
        except CellError as error:
            wrong.append(f"{mapping.headers[column]}: {error}")
    if wrong:
        return Refused(row.line, "; ".join(wrong), row.cells)
    snap = _snap_of(row.line, read, "motion" in place)
    if not (snap.play_type or snap.concept or snap.formation):
        return Refused(row.line, "no run or pass, concept or formation here: nothing to count", row.cells)
    return snap


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
    formation, side = values.split_formation(str(read.pop("formation", "")))
    strength = str(read.pop("strength", "") or side)
    play_type = str(read.pop("play_type", ""))
    result = str(read.get("result", ""))
    told = values.play_type_of_result(result)
    if play_type in ("", "rpo"):
        play_type = told or ("run" if play_type else "")
    backfield = str(read.get("backfield", ""))
    motion = str(read.pop("motion", "")) if motion_charted else None
    direction = str(read.pop("direction", ""))
    hole = str(read.pop("hole", ""))
    if not direction and hole.split()[0:1] in (["left"], ["right"], ["middle"]):
        direction = hole.split()[0]
    clock = read.pop("clock", None)
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


def count_rows(items: Iterable[Snap | Refused]) -> tuple[int, int]:
    """Returns how many rows are taken and how many are not."""
    taken = refused = 0
    for item in items:
        taken += isinstance(item, Snap)
        refused += isinstance(item, Refused)
    return taken, refused
