"""What is read of charts: files, rows that were not taken, snaps and plays."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from django.db.models import Count, F, Max, Min, Q, QuerySet, Window
from django.db.models.functions import RowNumber

from playbook.charts.plays import Aliases, CountedSnap, read_plays
from playbook.charts.snaps import SNAP_FIELDS, Snap
from playbook.charts.values import plain_word, same_word
from playbook.charts.words import aliases_of, counted_snaps
from playbook.models import Chart, ChartedSnap, Opponent, RefusedRow, SameGame


def opponents() -> QuerySet[Opponent]:
    """Returns the opponents with their charts and snaps counted, the last charted first."""
    counted = Q(charts__counts=True, charts__snaps__repeated=False)
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


def snaps_page(chart: Chart) -> QuerySet[ChartedSnap]:
    """Returns a chart's snaps as they were read, by line."""
    return ChartedSnap.objects.filter(chart=chart).order_by("line")


def same_games(opponent: Opponent) -> QuerySet[SameGame]:
    """Returns the games that two counted charts of the opponent have."""
    rows = SameGame.objects.filter(chart__opponent=opponent, chart__counts=True, other__counts=True)
    return rows.select_related("chart", "other")


def refused_cells(chart: Chart) -> Iterator[Sequence[object]]:
    """Streams the refused rows for download: line, reason, and the row as it stands."""
    for row in refused_rows(chart).iterator(chunk_size=500):
        yield [row.line, row.reason, *row.cells]


@dataclass(frozen=True, slots=True)
class RowNow:
    """What a row of a chart is as it is read now."""

    taken: bool
    reason: str

    @property
    def said(self) -> str:
        """In words."""
        if not self.taken:
            return f"not taken ({self.reason})" if self.reason else "put aside, it is not this opponent's offense"
        return f"its snap counts without a cell ({self.reason})" if self.reason else "its snap counts"


def row_now(chart: Chart, line: int) -> RowNow:
    """Returns what became of a row."""
    listed = RefusedRow.objects.filter(chart=chart, line=line).first()
    return RowNow(ChartedSnap.objects.filter(chart=chart, line=line).exists(), listed.reason if listed else "")


@dataclass(frozen=True, slots=True)
class Choice:
    """Which snaps are looked at: all that count, or those of a chart or a game; of those the ones that `where`."""

    chart: int | None = None
    game: str = ""
    where: Q = field(default_factory=Q)


def snaps_of(opponent: Opponent, choice: Choice = Choice()) -> list[Snap]:
    """Returns the opponent's snaps in the order they were charted."""
    mine = ChartedSnap.objects.filter(chart__opponent=opponent)
    return read_rows(mine.filter(chart=choice.chart) if choice.chart else counted_snaps(opponent), choice)


def read_rows(rows: QuerySet[ChartedSnap], choice: Choice = Choice()) -> list[Snap]:
    """Returns the chosen ones of these rows as snaps, in the order they were charted."""
    found = rows.filter(choice.where).order_by("chart_id", "line").values_list(*SNAP_FIELDS, "chart_id")
    snaps = list(map(Snap._make, found.iterator(chunk_size=5_000)))
    return [snap for snap in snaps if same_word(snap.game, choice.game)] if choice.game else snaps


GameKey = tuple[int, str]  # the chart, and the game's word as it is told from others; a game of two charts has two


def game_key(snap: Snap) -> GameKey:
    """Returns which game a snap is of."""
    return snap.chart, plain_word(snap.game)


def opening_numbers(rows: QuerySet[ChartedSnap], most: int) -> dict[tuple[int, int], int]:
    """Returns for the first snaps of each game which one it is, from 1 to `most`, by chart and line."""
    place = Window(RowNumber(), partition_by=[F("chart_id"), F("game")], order_by=F("line").asc())
    first = rows.order_by().annotate(number=place).filter(number__lte=most)
    return {(chart, line): number for chart, line, number in first.values_list("chart_id", "line", "number")}


def games_in_order(rows: QuerySet[ChartedSnap]) -> list[GameKey]:
    """Returns the games as they were charted, the oldest first."""
    found = rows.order_by().values_list("chart_id", "game").annotate(first=Min("line")).order_by("chart_id", "first")
    return list(dict.fromkeys((chart, plain_word(game)) for chart, game, _ in found))


def games_against_us(rows: QuerySet[ChartedSnap]) -> frozenset[GameKey]:
    """Returns the games against us: our call is charted there, or the chart marks their offense as our defense."""
    ours = rows.filter(~Q(our_call="") | Q(chart__theirs__unit="D"))
    return frozenset(
        (chart, plain_word(game)) for chart, game in ours.order_by().values_list("chart_id", "game").distinct()
    )


def games_of(opponent: Opponent) -> list[str]:
    """Returns the games that are named in the opponent's charts, each in one spelling."""
    names = counted_snaps(opponent).exclude(game="").order_by().values_list("game", flat=True).distinct()
    return sorted({plain_word(name): name for name in sorted(names)}.values())


def plays_of(opponent: Opponent, choice: Choice = Choice(), aliases: Aliases | None = None) -> list[CountedSnap]:
    """Returns the opponent's plays, in our words as far as they are mapped."""
    return read_plays(snaps_of(opponent, choice), aliases or aliases_of(opponent))
