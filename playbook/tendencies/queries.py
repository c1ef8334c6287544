"""What is read of an opponent's tendencies, and of our own calls."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from playbook.charts.plays import CountedSnap, read_plays
from playbook.charts.snaps import SNAP_FIELDS, Snap
from playbook.charts.words import library, library_words
from playbook.models import Call, ChartedSnap, Opponent

from . import plots
from .counting import (
    BY_NAME,
    GROUPINGS,
    CallLine,
    Grouping,
    Tally,
    break_down,
    count_calls,
    count_holes,
    count_plays,
    cross_count,
    group_plays,
    whole_percents,
)
from .tells import Tell, Watched, find_own_tells, find_tells, watch_situations


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
    watched: list[Watched]
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
    return Tendencies(count_plays("all plays", plays), breakdowns, find_tells(plays), watch_situations(plays), drawn)


@dataclass(frozen=True, slots=True)
class OwnCalls:
    """Our own calls, as an opponent's scout would count them."""

    plays: int
    lines: list[CallLine]
    groups: list[tuple[Grouping, list[tuple[str, list[CallLine]]]]]
    tells: list[Tell]


def own_calls(opponent: Opponent | None = None) -> OwnCalls:
    """Returns what our charted calls give away, over all charts or those of one opponent."""
    rows = ChartedSnap.objects.filter(chart__counts=True, repeated=False).exclude(our_call="")
    if opponent:
        rows = rows.filter(chart__opponent=opponent)
    snaps = [Snap(*values) for values in rows.order_by("chart_id", "line").values_list(*SNAP_FIELDS)]
    labels = dict(Call.objects.values_list("name", "label"))  # a chart may have a call by its identifier
    snaps = [replace(snap, our_call=labels.get(snap.our_call, snap.our_call)) for snap in snaps]
    plays = library().said(read_plays(snaps, library_words()))
    groups = []
    for name in ("down-distance", "field-zone", "hash", "personnel", "formation"):
        grouping = BY_NAME[name]
        grouped = group_plays(plays, grouping)
        if grouped:
            groups.append((grouping, [(label, count_calls(members)) for label, members, _ in grouped]))
    return OwnCalls(len(plays), count_calls(plays), groups, find_own_tells(plays))
