"""What changes charts: upload, mapping, reading into snaps, deleting."""

from __future__ import annotations

import hashlib
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from itertools import islice
from pathlib import Path

from django.db import connection, transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from procrastinate.contrib.django import app

from playbook.charts import reading, values
from playbook.charts.columns import HEADER_WORDS, SAMPLES, guess_columns, plain_header
from playbook.charts.errors import ChartError
from playbook.charts.snaps import SNAP_FIELDS, ColumnMap, Refused, Snap, check_mapping, read_snaps
from playbook.models import (
    Chart,
    ChartContent,
    ChartedSnap,
    ChartState,
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
    opponent: Opponent, name: str, size: int, blocks: Iterable[bytes], user: User, again: bool = False
) -> Chart:
    """Returns a new chart with its columns guessed; no snap is counted yet.

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
        fields = _look_into(path, "")
        with transaction.atomic():
            chart = Chart.objects.create(
                opponent=opponent,
                name=name[-200:] or "chart",
                uploaded_by=user,
                uploaded_by_name=str(user)[:150],
                size=path.stat().st_size,
                digest=digest.hexdigest(),
                **fields,
            )
            ChartContent.objects.create(chart=chart, data=path.read_bytes())
    return chart


def _look_into(path: Path, sheet: str) -> dict[str, object]:
    """Returns what a chart's row says of its file: headers, samples, the guessed mapping."""
    chart = reading.open_chart(path, HEADER_WORDS, sheet)
    rows = [row.cells for row in islice(chart.rows(), SAMPLES)]
    if not rows:
        raise ChartError("the file has a header but no rows below it. Expected one row per snap.")
    remembered = dict(RememberedHeader.objects.values_list("header", "column"))
    mapping = guess_columns(chart.headers, rows, remembered)
    place = {header: index for index, header in enumerate(chart.headers)}
    spots = [row[place[mapping["yard_line"]]] for row in rows] if "yard_line" in mapping else []
    return {
        "described": chart.described[:300],
        "sheet": chart.sheet,
        "headers": list(chart.headers),
        "samples": _samples(chart.headers, rows),
        "mapping": mapping,
        "yard_style": values.guess_yard_style(spots).value,
        "steps": reading.estimate_rows(path),
        "note": " ".join(chart.notes)[:300],
    }


def _samples(headers: tuple[str, ...], rows: list[tuple[str, ...]]) -> list[list[str]]:
    """Returns for each header the first few different cells that say something."""
    samples = []
    for index in range(len(headers)):
        cells = dict.fromkeys(row[index][:40] for row in rows if not values.is_blank(row[index]))
        samples.append(list(cells)[:SHOWN_SAMPLES])
    return samples


@transaction.atomic
def map_chart(chart: Chart, seen: int, mapping: Mapping[str, str], yard_style: str) -> None:
    """Writes how the columns are read and asks a worker to read them; remembers it for the next file.

    `mapping` is column -> header. Raises ChartError, StaleVersion.
    """
    _check(chart, mapping)
    chosen = {header: column for column, header in mapping.items()}
    for header in chart.headers:
        RememberedHeader.objects.update_or_create(
            header=plain_header(header)[:140], defaults={"column": chosen.get(header, "")}
        )
    state = {"state": ChartState.WAITING, "step": 0, "trouble": ""}
    if Chart.objects.filter(pk=chart.pk, state__in=(ChartState.WAITING, ChartState.READING)).exists():
        raise ChartError("this chart is being read right now. Wait until that is done, then change its columns.")
    chart.save_version(seen, mapping=dict(mapping), yard_style=yard_style, **state)
    app.configure_task("read_chart").defer(pk=chart.pk)


def _check(chart: Chart, mapping: Mapping[str, str]) -> None:
    stand_in = reading.Chart(Path(), "", tuple(chart.headers), 0)
    check_mapping(stand_in, ColumnMap(mapping))


@transaction.atomic
def count_chart(chart: Chart, counts: bool) -> None:
    """Puts a chart into the tendencies, or takes it out; nothing of it is lost."""
    Chart.objects.filter(pk=chart.pk).update(counts=counts)


@transaction.atomic
def delete_chart(chart: Chart) -> None:
    """Deletes a chart with its snaps and its file."""
    chart.delete()


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
    mapping = ColumnMap(chart.mapping, values.YardStyle(chart.yard_style))
    taken = refused = not_counted = 0
    with chart_file(chart) as path:
        items = read_snaps(reading.open_chart(path, HEADER_WORDS, chart.sheet), mapping)
        while batch := list(islice(items, BATCH)):
            snaps = [item for item in batch if isinstance(item, Snap)]
            others = [item for item in batch if isinstance(item, Refused)]
            _copy_snaps(chart.pk, snaps)
            _write_refused(chart.pk, others)
            taken += len(snaps)
            refused += sum(item.counted for item in others)
            not_counted += sum(not item.counted for item in others)
            _tell(progress, chart.pk, taken + refused + not_counted)
    Chart.objects.filter(pk=chart.pk).update(
        state=ChartState.DONE, taken=taken, refused=refused, not_counted=not_counted, trouble=""
    )


def _copy_snaps(chart_pk: int, snaps: list[Snap]) -> None:
    columns = ", ".join(f'"{name}"' for name in ("chart_id", *SNAP_FIELDS))
    with connection.cursor() as cursor:
        table = connection.ops.quote_name(ChartedSnap._meta.db_table)
        with cursor.copy(f"COPY {table} ({columns}) FROM STDIN") as copy:
            for snap in snaps:
                copy.write_row([chart_pk, *(getattr(snap, name) for name in SNAP_FIELDS)])


def _write_refused(chart_pk: int, rows: list[Refused]) -> None:
    RefusedRow.objects.bulk_create(
        RefusedRow(chart_id=chart_pk, line=row.line, reason=row.reason, cells=list(row.cells), counted=row.counted)
        for row in rows
    )


def _tell(progress: BaseDatabaseWrapper, pk: int, step: int) -> None:
    with progress.cursor() as cursor:
        table = progress.ops.quote_name(Chart._meta.db_table)
        cursor.execute(f"UPDATE {table} SET step = %s, steps = greatest(steps, %s) WHERE id = %s", [step, step, pk])
