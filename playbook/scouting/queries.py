"""What scouting reads: charts, plays, and tendencies made of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.db.models import Count, Max, Q, QuerySet

from playbook.models import Call, Chart, ChartedSnap, Opponent, RefusedRow
from playbook.scouting import plots
from playbook.scouting.plays import Aliases, CountedSnap, read_plays
from playbook.scouting.snaps import SNAP_FIELDS, Snap
from playbook.scouting.tendencies import (
    BY_NAME,
    GROUPINGS,
    CallLine,
    Grouping,
    Tally,
    Tell,
    break_down,
    count_calls,
    count_holes,
    count_plays,
    cross_count,
    find_own_tells,
    find_tells,
    group_plays,
    whole_percents,
)
from playbook.scouting.words import aliases_of


def opponents() -> QuerySet[Opponent]:
    """Returns the opponents with their charts and snaps counted, the last charted first."""
    counted = Q(charts__counts=True)
    return Opponent.objects.annotate(
        chart_count=Count("charts", distinct=True),
        snap_count=Count("charts__snaps", filter=counted),
        charted_at=Max("charts__uploaded_at"),
    ).order_by("-charted_at", "name")


def charts_of(opponent: Opponent) -> QuerySet[Chart]:
    """Returns the opponent's charts, newest first, without their files."""
    return Chart.objects.filter(opponent=opponent).defer("samples")


def refused_rows(chart: Chart) -> QuerySet[RefusedRow]:
    """Returns the rows that were not taken, by line."""
    return RefusedRow.objects.filter(chart=chart).order_by("line")


def refused_cells(chart: Chart) -> Iterator[Sequence[object]]:
    """Streams the refused rows for download: line, reason, and the row as it stands."""
    for row in refused_rows(chart).iterator(chunk_size=500):
        yield [row.line, row.reason, *row.cells]


@dataclass(frozen=True, slots=True)
class Choice:
    """Which snaps are looked at: all counted charts of an opponent, or one chart, or one game."""

    chart: int | None = None
    game: str = ""


def snaps_of(opponent: Opponent, choice: Choice = Choice()) -> list[Snap]:
    """Returns the opponent's snaps in the order they were charted."""
    rows = ChartedSnap.objects.filter(chart__opponent=opponent)
    rows = rows.filter(chart=choice.chart) if choice.chart else rows.filter(chart__counts=True)
    if choice.game:
        rows = rows.filter(game=choice.game)
    listed = rows.order_by("chart_id", "line").values_list(*SNAP_FIELDS)
    return [Snap(*values) for values in listed.iterator(chunk_size=5_000)]


def games_of(opponent: Opponent) -> list[str]:
    """Returns the games that are named in the opponent's charts."""
    rows = ChartedSnap.objects.filter(chart__opponent=opponent, chart__counts=True).exclude(game="")
    return sorted(rows.order_by().values_list("game", flat=True).distinct())


def plays_of(opponent: Opponent, choice: Choice = Choice(), aliases: Aliases | None = None) -> list[CountedSnap]:
    """Returns the opponent's plays, in our words as far as they are mapped."""
    return read_plays(snaps_of(opponent, choice), aliases or aliases_of(opponent))


@dataclass(frozen=True, slots=True)
class Breakdown:
    """One grouping's table: a line a group, and its share of all plays in whole percent."""

    grouping: Grouping
    lines: list[tuple[Tally, int]]


@dataclass(frozen=True, slots=True)
class Tendencies:
    """All that is said of an opponent's plays."""

    overall: Tally
    breakdowns: list[Breakdown]
    tells: list[Tell]
    plots: dict[str, str]


def tendencies(plays: Sequence[CountedSnap]) -> Tendencies:
    """Returns the tendencies of some plays."""
    tables = {grouping.name: break_down(plays, grouping) for grouping in GROUPINGS}
    drawn = {
        "bars": plots.draw_bars(tables["down-distance"]) if tables["down-distance"] else "",
        "zones": plots.draw_zones(tables["field-zone"]) if tables["field-zone"] else "",
    }
    holes = count_holes(plays)
    drawn["holes"] = plots.draw_holes(holes) if holes else ""
    rows, columns, counts = cross_count(plays)
    drawn["heat_map"] = plots.draw_heat_map(rows, columns, counts) if rows else ""
    breakdowns = [
        Breakdown(BY_NAME[name], list(zip(table, whole_percents(table), strict=True)))
        for name, table in tables.items()
        if table
    ]
    return Tendencies(count_plays("all plays", plays), breakdowns, find_tells(plays), drawn)


@dataclass(frozen=True, slots=True)
class OwnCalls:
    """Our own calls, as an opponent's scout would count them."""

    plays: int
    lines: list[CallLine]
    groups: list[tuple[Grouping, list[tuple[str, list[CallLine]]]]]
    tells: list[Tell]


def call_labels() -> dict[str, str]:
    """Returns what our calls are called, by the identifier that a chart has of them."""
    return dict(Call.objects.values_list("name", "label"))


def own_calls(opponent: Opponent | None = None) -> OwnCalls:
    """Returns what our charted calls give away, over all charts or those of one opponent."""
    rows = ChartedSnap.objects.filter(chart__counts=True).exclude(our_call="")
    if opponent:
        rows = rows.filter(chart__opponent=opponent)
    snaps = [Snap(*values) for values in rows.order_by("chart_id", "line").values_list(*SNAP_FIELDS)]
    plays = read_plays(snaps, Aliases())
    groups = []
    for name in ("down-distance", "field-zone", "hash", "personnel", "formation"):
        grouping = BY_NAME[name]
        grouped = group_plays(plays, grouping)
        if grouped:
            groups.append((grouping, [(label, count_calls(members)) for label, members, _ in grouped]))
    return OwnCalls(len(plays), count_calls(plays), groups, find_own_tells(plays))
