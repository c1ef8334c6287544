"""What changes charts: upload, mapping, reading into snaps, mending rows, deleting."""

from __future__ import annotations

import hashlib
import tempfile
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from itertools import islice
from pathlib import Path

from django.db import connection, transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from procrastinate.contrib.django import app

from playbook.charts import reading, values
from playbook.charts.columns import HEADER_WORDS, SAMPLES, guess_columns, plain_header
from playbook.charts.errors import ChartError
from playbook.charts.same import compare_charts, find_same_games, mark_repeated
from playbook.charts.snaps import (
    MARKING,
    SNAP_FIELDS,
    Aside,
    ColumnMap,
    Refused,
    Snap,
    check_mapping,
    read_row,
    read_snaps,
)
from playbook.models import (
    Chart,
    ChartContent,
    ChartedSnap,
    ChartState,
    MendedRow,
    Opponent,
    RefusedRow,
    RememberedHeader,
    User,
)

BATCH = 1_000
SHOWN_SAMPLES = 5
READ_LOCK = 4_711  # class of the advisory locks that keep two workers off one chart


class SameFile(Exception):
    """This very file is there already. `chart` is the earlier one."""

    def __init__(self, chart: Chart) -> None:
        super().__init__(f"This very file is already there: “{chart.name}”, uploaded {chart.uploaded_at:%d %b %Y}.")
        self.chart = chart


def add_chart(
    opponent: Opponent,
    name: str,
    size: int,
    blocks: Iterable[bytes],
    user: User,
    again: bool = False,
    replaces: Chart | None = None,
) -> Chart:
    """Returns a new chart with its columns guessed; no snap is counted yet.

    One that `replaces` another takes its place once it is read.

    Raises ChartError, and SameFile unless `again`; then nothing is kept.
    """
    if size > reading.MAX_BYTES:
        raise reading.too_big(size)
    with tempfile.NamedTemporaryFile(prefix="chart-") as file:
        digest = hashlib.sha256()
        for block in blocks:
            file.write(block)
            digest.update(block)
        file.flush()
        earlier = Chart.objects.filter(opponent=opponent, digest=digest.hexdigest()).first()
        if earlier and not again:
            raise SameFile(earlier)
        path = Path(file.name)
        fields = _look_into(path, "", opponent)
        with transaction.atomic():
            chart = Chart.objects.create(
                opponent=opponent,
                name=name[-200:] or "chart",
                uploaded_by=user,
                uploaded_by_name=str(user)[:150],
                size=path.stat().st_size,
                digest=digest.hexdigest(),
                replaces=replaces,
                **fields,
            )
            ChartContent.objects.create(chart=chart, data=path.read_bytes())
    return chart


def _look_into(path: Path, sheet: str, opponent: Opponent) -> dict[str, object]:
    """Returns what a chart's row says of its file: headers, samples, the guessed mapping."""
    chart = reading.open_chart(path, HEADER_WORDS, sheet)
    rows = [row.cells for row in islice(chart.rows(), SAMPLES)]
    if not rows:
        raise ChartError("the file has a header but no rows below it. Expected one row per snap.")
    remembered = dict(RememberedHeader.objects.values_list("header", "column"))
    mapping = guess_columns(chart.headers, rows, remembered)
    place = {header: index for index, header in enumerate(chart.headers)}
    spots = [row[place[mapping["yard_line"]]] for row in rows] if "yard_line" in mapping else []
    marks = _count_marks(chart, mapping)
    return {
        "described": chart.described[:300],
        "sheet": chart.sheet,
        "headers": list(chart.headers),
        "samples": _samples(chart.headers, rows),
        "mapping": mapping,
        "yard_style": values.guess_yard_style(spots, mapping.get("yard_line", "")).value,
        "steps": reading.estimate_rows(path),
        "note": " ".join(chart.notes)[:300],
        "marks": marks,
        "theirs": _guess_theirs(mapping, marks, opponent),
    }


MARKS = 60  # different values of a column that says whose row it is; with more it says something else


def _count_marks(chart: reading.Chart, mapping: Mapping[str, str]) -> dict[str, list[list[object]]]:
    """Returns for the headers that say whose row it is every value and how often it stands in the file."""
    headers = [mapping[column] for column in MARKING if column in mapping]
    if not headers:
        return {}
    places = [(header, chart.headers.index(header)) for header in headers]
    counts: dict[str, Counter[str]] = {header: Counter() for header in headers}
    for row in chart.rows():
        for header, place in places:
            cell = row.cells[place]
            if not values.is_blank(cell) and (cell in counts[header] or len(counts[header]) < MARKS):
                counts[header][cell[:40]] += 1
    return {header: [list(pair) for pair in found.most_common()] for header, found in counts.items()}


def _guess_theirs(
    mapping: Mapping[str, str], marks: Mapping[str, Sequence[Sequence[object]]], opponent: Opponent
) -> dict[str, str]:
    """Returns what most likely marks this opponent's offense.

    A chart that has our call was made while we were on defense: then D marks it.
    """
    found = {}
    if "unit" in mapping:
        found["unit"] = "D" if "our_call" in mapping else "O"
    teams = [str(team) for team, _ in marks.get(mapping.get("offense", ""), ())]
    named = [team for team in teams if any(values.same_word(team, name) for name in names_of(opponent))]
    if named or len(teams) == 1:
        found["offense"] = (named or teams)[0]
    return found


def names_of(opponent: Opponent) -> list[str]:
    """Returns what an opponent is called."""
    return [name for name in (opponent.name, opponent.short_name) if name]


def _samples(headers: tuple[str, ...], rows: list[tuple[str, ...]]) -> list[list[str]]:
    """Returns for each header the first few different cells that say something."""
    samples = []
    for index in range(len(headers)):
        cells = dict.fromkeys(row[index][:40] for row in rows if not values.is_blank(row[index]))
        samples.append(list(cells)[:SHOWN_SAMPLES])
    return samples


@transaction.atomic
def map_chart(
    chart: Chart, seen: int, mapping: Mapping[str, str], yard_style: str, theirs: Mapping[str, str] | None = None
) -> None:
    """Writes how the columns are read and asks a worker to read them; remembers it for the next file.

    `mapping` is column -> header; `theirs` is the value that marks this opponent's offense by column, as guessed when
    it is not said. Raises ChartError, StaleVersion.
    """
    wanted = {
        column: cell for column, cell in (chart.theirs if theirs is None else theirs).items() if column in mapping
    }
    _check(chart, mapping, wanted)
    chosen = {header: column for column, header in mapping.items()}
    for header in chart.headers:
        RememberedHeader.objects.update_or_create(
            header=plain_header(header)[:140], defaults={"column": chosen.get(header, "")}
        )
    state = {"state": ChartState.WAITING, "step": 0, "trouble": ""}
    if Chart.objects.filter(pk=chart.pk, state__in=(ChartState.WAITING, ChartState.READING)).exists():
        raise ChartError("this chart is being read right now. Wait until that is done, then change its columns.")
    chart.save_version(seen, mapping=dict(mapping), yard_style=yard_style, theirs=wanted, **state)
    app.configure_task("read_chart").defer(pk=chart.pk)


def _check(chart: Chart, mapping: Mapping[str, str], theirs: Mapping[str, str]) -> None:
    stand_in = reading.Chart(Path(), "", tuple(chart.headers), 0)
    check_mapping(stand_in, ColumnMap(mapping, theirs=theirs))


@transaction.atomic
def count_chart(chart: Chart, counts: bool) -> None:
    """Puts a chart into the tendencies, or takes it out; nothing of it is lost."""
    Chart.objects.filter(pk=chart.pk).update(counts=counts)
    mark_repeated(chart.opponent)


@transaction.atomic
def delete_chart(chart: Chart) -> None:
    """Deletes a chart with its snaps and its file."""
    chart.delete()
    mark_repeated(chart.opponent)


# --- reading, in a worker -----------------------------


def read_chart(pk: int) -> None:
    """Reads a chart's file into snaps and refused rows, all in one transaction; does nothing when that is done.

    What was read of this chart before is replaced only together with that. A file that cannot be read leaves all as it
    was, and the chart says why.
    """
    chart = Chart.objects.filter(pk=pk).first()
    if chart is None or chart.state not in (ChartState.WAITING, ChartState.READING):
        return
    Chart.objects.filter(pk=pk).update(state=ChartState.READING)
    try:
        with _own_connection() as progress, transaction.atomic():
            with connection.cursor() as cursor:
                cursor.execute("SELECT pg_advisory_xact_lock(%s, %s)", [READ_LOCK, pk])
            chart = Chart.objects.get(pk=pk)
            if chart.state == ChartState.READING:
                _read(chart, progress)
    except ChartError as error:
        Chart.objects.filter(pk=pk).update(state=ChartState.FAILED, trouble=str(error))
    except Exception:
        Chart.objects.filter(pk=pk).update(
            state=ChartState.FAILED, trouble="The file could not be read, by a fault of ours. Nothing was changed."
        )
        raise


@contextmanager
def _own_connection() -> Iterator[BaseDatabaseWrapper]:
    """Yields a connection outside the transaction: progress must be seen while the rest is not."""
    own = connection.copy()
    try:
        yield own
    finally:
        own.close()


@contextmanager
def chart_file(chart: Chart) -> Iterator[Path]:
    """Yields the chart's file on this machine."""
    with tempfile.NamedTemporaryFile(prefix="chart-") as file:
        file.write(bytes(ChartContent.objects.values_list("data", flat=True).get(chart=chart)))
        file.flush()
        yield Path(file.name)


def _read(chart: Chart, progress: BaseDatabaseWrapper) -> None:
    ChartedSnap.objects.filter(chart=chart).delete()
    RefusedRow.objects.filter(chart=chart).delete()
    mended = dict(chart.mended_rows.values_list("line", "cells"))
    step, aside = 0, Counter[str]()
    with chart_file(chart) as path:
        items = read_snaps(reading.open_chart(path, HEADER_WORDS, chart.sheet), column_map(chart), mended)
        while batch := list(islice(items, BATCH)):
            _copy_snaps(chart.pk, [item for item in batch if isinstance(item, Snap)])
            _write_refused(chart.pk, [item for item in batch if isinstance(item, Refused)])
            aside.update(item.whose for item in batch if isinstance(item, Aside))
            step += sum(not (isinstance(item, Refused) and item.taken) for item in batch)
            _tell(progress, chart.pk, step)
    if aside and not ChartedSnap.objects.filter(chart=chart).exists():
        found = ", ".join(f"{whose} ({count})" for whose, count in aside.most_common(12))
        raise ChartError(f"no row is this opponent's offense. The file has: {found}. Say which mark is theirs.")
    Chart.objects.filter(pk=chart.pk).update(
        state=ChartState.DONE, trouble="", aside=[list(pair) for pair in aside.most_common(MARKS)], **_row_counts(chart)
    )
    chart.refresh_from_db()
    if chart.replaces and chart.replaces.counts:
        Chart.objects.filter(pk=chart.pk).update(changes=compare_charts(chart.replaces, chart))
        Chart.objects.filter(pk=chart.replaces_id).update(counts=False)
    find_same_games(chart)


def column_map(chart: Chart) -> ColumnMap:
    """Returns how a chart's columns are read."""
    return ColumnMap(chart.mapping, values.YardStyle(chart.yard_style), theirs=chart.theirs)


def _row_counts(chart: Chart) -> dict[str, int]:
    """Returns how many rows of a chart are taken, taken with a blank, refused, not counted."""
    rows = RefusedRow.objects.filter(chart=chart)
    return {
        "taken": ChartedSnap.objects.filter(chart=chart).count(),
        "blanked": rows.filter(taken=True).count(),
        "refused": rows.filter(taken=False, counted=True).count(),
        "not_counted": rows.filter(taken=False, counted=False).count(),
    }


def _copy_snaps(chart_pk: int, snaps: list[Snap]) -> None:
    columns = ", ".join(f'"{name}"' for name in ("chart_id", *SNAP_FIELDS))
    with connection.cursor() as cursor:
        table = connection.ops.quote_name(ChartedSnap._meta.db_table)
        with cursor.copy(f"COPY {table} ({columns}) FROM STDIN") as copy:
            for snap in snaps:
                copy.write_row([chart_pk, *(getattr(snap, name) for name in SNAP_FIELDS)])


def _write_refused(chart_pk: int, rows: list[Refused]) -> None:
    RefusedRow.objects.bulk_create(
        RefusedRow(
            chart_id=chart_pk,
            line=row.line,
            reason=row.reason,
            cells=list(row.cells),
            counted=row.counted,
            taken=row.taken,
        )
        for row in rows
    )


def _tell(progress: BaseDatabaseWrapper, pk: int, step: int) -> None:
    with progress.cursor() as cursor:
        table = progress.ops.quote_name(Chart._meta.db_table)
        cursor.execute(f"UPDATE {table} SET step = %s, steps = greatest(steps, %s) WHERE id = %s", [step, step, pk])


# --- mending on the page ------------------------------


class NoSuchRow(ValueError):
    """The chart has no row in that line."""


def row_cells(chart: Chart, line: int) -> list[str]:
    """Returns the cells of a row, one per header: as they were mended, else as they stand in the file.

    Raises NoSuchRow.
    """
    mended = chart.mended_rows.filter(line=line).first()
    if mended:
        return list(mended.cells)
    listed = RefusedRow.objects.filter(chart=chart, line=line).first()
    if listed:
        return list(listed.cells)
    with chart_file(chart) as path:
        for row in reading.open_chart(path, HEADER_WORDS, chart.sheet).rows():
            if row.line == line:
                return list(row.cells)
    raise NoSuchRow(f"the file has no row in line {line}")


def mend_row(chart: Chart, line: int, cells: Sequence[str], user: User) -> list[Snap | Refused | Aside]:
    """Reads a row anew with these cells and keeps them for whenever the file is read again; returns what it is now.

    Raises ChartError when the chart is not read yet, NoSuchRow.
    """
    with transaction.atomic():
        chart = Chart.objects.select_for_update().get(pk=chart.pk)
        if chart.state != ChartState.DONE:
            raise ChartError("this chart is not read yet. Wait until it is, then mend its rows.")
        row_cells(chart, line)
        fitted = [" ".join(cell.split())[: reading.MAX_CELL] for cell in cells][: len(chart.headers)]
        fitted += [""] * (len(chart.headers) - len(fitted))
        mended, made = MendedRow.objects.get_or_create(
            chart=chart, line=line, defaults={"cells": fitted, "by_name": str(user)[:150]}
        )
        if not made:
            mended.save_version(mended.version, cells=fitted, by_name=str(user)[:150])
        place = {column: chart.headers.index(header) for column, header in chart.mapping.items()}
        found = read_row(reading.Row(line, tuple(fitted)), place, column_map(chart))
        ChartedSnap.objects.filter(chart=chart, line=line).delete()
        RefusedRow.objects.filter(chart=chart, line=line).delete()
        _copy_snaps(chart.pk, [item for item in found if isinstance(item, Snap)])
        _write_refused(chart.pk, [item for item in found if isinstance(item, Refused)])
        changes = {"changes": compare_charts(chart.replaces, chart)} if chart.replaces else {}
        Chart.objects.filter(pk=chart.pk).update(**_row_counts(chart), **changes)
        mark_repeated(chart.opponent)
        return found
