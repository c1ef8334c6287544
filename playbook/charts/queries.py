"""What is read of charts: files, rows that were not taken, snaps and plays."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.db.models import Count, Max, Q, QuerySet

from playbook.charts.plays import Aliases, CountedSnap, read_plays
from playbook.charts.snaps import SNAP_FIELDS, Snap
from playbook.charts.words import aliases_of
from playbook.models import Chart, ChartedSnap, Opponent, RefusedRow


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
