"""The same snaps in two charts: a mended file beside the one it replaces, and games that two files have."""

from __future__ import annotations

import difflib
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from django.db import transaction
from django.db.models import Q, QuerySet

from playbook.charts.columns import BY_NAME
from playbook.charts.snaps import SNAP_FIELDS, Snap
from playbook.charts.values import plain_word
from playbook.models import Chart, ChartedSnap, ChartState, Counting, Opponent, RefusedRow, SameGame

CHANGES = 500  # listed of a mended file
NEEDED = 0.4  # of the smaller game's snaps; three in a row that agree by chance are far fewer
FEWEST = 8  # snaps in a row, below which no two games are told to be one
GAP = 6  # rows between agreeing ones that belong to the same game all the same
RUN = 3  # snaps in a row that are compared where no clock is charted
TELLING = ("quarter", "clock_s", "down", "distance", "yard_line", "play_type", "gain")


def snaps_by_line(chart: Chart) -> list[Snap]:
    """Returns a chart's snaps in the order of its file."""
    return [
        Snap(*found) for found in ChartedSnap.objects.filter(chart=chart).order_by("line").values_list(*SNAP_FIELDS)
    ]


# --- a file that replaces another ---------------------


def compare_charts(old: Chart, new: Chart) -> list[dict[str, object]]:
    """Returns what a new file changes: changed fields, new snaps, snaps that it refuses, snaps that are gone."""
    refused = list(RefusedRow.objects.filter(chart=new, taken=False, counted=True).order_by("line"))
    return compare_snaps(snaps_by_line(old), snaps_by_line(new), refused)


def compare_snaps(
    before: Sequence[Snap], after: Sequence[Snap], refused: Sequence[RefusedRow] = ()
) -> list[dict[str, object]]:
    """Returns the same of snaps in the order of their files; `refused` are rows that the new one did not yield."""
    keys = [[_said(snap) for snap in snaps] for snaps in (before, after)]
    changes: list[dict[str, object]] = []
    # Where most snaps say the same, as when little is charted, matching each with each would take minutes.
    alike = 2 * len(set(keys[1])) < len(keys[1])
    for kind, a, b, c, d in difflib.SequenceMatcher(None, *keys, autojunk=alike).get_opcodes():
        if kind == "equal":
            continue
        both = min(b - a, d - c)
        between = after[c - 1].line if c else 0, after[d].line if d < len(after) else None
        for was, now in zip(before[a : a + both], after[c : c + both], strict=True):
            if fields := _differing(was, now):
                changes.append({"kind": "changed", "was": was.line, "line": now.line, "fields": fields})
        missing = (row for row in refused if row.line > between[0] and (between[1] is None or row.line < between[1]))
        changes += [_missing(snap, next(missing, None)) for snap in before[a + both : b]]
        changes += [{"kind": "new", "was": None, "line": snap.line, "fields": []} for snap in after[c + both : d]]
    return changes[:CHANGES]


def _missing(snap: Snap, refused: RefusedRow | None) -> dict[str, object]:
    """A snap that the new file has not: gone, or in a row that could not be taken."""
    if refused is None:
        return {"kind": "gone", "was": snap.line, "line": None, "fields": []}
    return {"kind": "refused", "was": snap.line, "line": refused.line, "fields": [], "reason": refused.reason}


def _said(snap: Snap) -> tuple[object, ...]:
    return tuple(getattr(snap, name) for name in SNAP_FIELDS if name != "line")


def _differing(was: Snap, now: Snap) -> list[list[str]]:
    found = []
    for name in SNAP_FIELDS:
        before, after = getattr(was, name), getattr(now, name)
        if name != "line" and before != after:
            label = BY_NAME[{"clock_s": "clock", "back": "backfield"}.get(name, name)].label
            found.append([label, _shown(before), _shown(after)])
    return found


def _shown(value: object) -> str:
    return "empty" if value in (None, "") else str(value)


# --- a game that two files have -----------------------


@dataclass(frozen=True, slots=True)
class _Game:
    """The snaps of one game of a chart, or of a chart that names no games."""

    chart: Chart
    name: str
    snaps: list[Snap]

    def charted(self) -> set[str]:
        """Returns the fields that most of its snaps have."""
        return {
            name
            for name in TELLING
            if sum(getattr(snap, name) not in (None, "") for snap in self.snaps) >= 0.8 * len(self.snaps)
        }


def _games(chart: Chart) -> list[_Game]:
    by_name: dict[str, list[Snap]] = defaultdict(list)
    named: dict[str, str] = {}
    for snap in snaps_by_line(chart):
        key = plain_word(snap.game)
        named.setdefault(key, snap.game)
        by_name[key].append(snap)
    return [_Game(chart, named[key], snaps) for key, snaps in by_name.items() if len(snaps) >= FEWEST]


def _windows(game: _Game, fields: Sequence[str]) -> list[tuple[object, ...]]:
    """Returns what is compared: each snap where a clock tells it, else each with those after it."""
    keys = [tuple(getattr(snap, name) for name in fields) for snap in game.snaps]
    if "clock_s" in fields:
        return keys
    return [tuple(keys[at : at + RUN]) for at in range(len(keys) - RUN + 1)]


def shared_lines(new: _Game, old: _Game) -> tuple[int, list[list[int]]]:
    """Returns how many snaps agree, and the lines of the new one that they stretch over; 0 when they are two games."""
    fields = sorted(new.charted() & old.charted(), key=TELLING.index)
    if len(fields) < 3 or not {"down", "distance"} <= set(fields):
        return 0, []
    left = Counter(_windows(old, fields))
    total_old, total_new = left.total(), 0
    hits, agreeing = [], set()
    for at, window in enumerate(_windows(new, fields)):
        total_new += 1
        if left[window] > 0:
            left[window] -= 1
            hits.append(at)
            agreeing.add(window)
    if len(agreeing) < FEWEST or len(hits) < NEEDED * min(total_old, total_new):
        return 0, []
    if len(hits) >= NEEDED * total_new:
        return len(hits), [[new.snaps[0].line, new.snaps[-1].line]]
    reach = 1 if "clock_s" in fields else RUN
    stretches: list[list[int]] = []
    for at in hits:
        if stretches and at - stretches[-1][1] <= GAP:
            stretches[-1][1] = at + reach - 1
        else:
            stretches.append([at, at + reach - 1])
    kept = [pair for pair in stretches if pair[1] - pair[0] + 1 >= FEWEST]
    return len(hits), [[new.snaps[first].line, new.snaps[last].line] for first, last in kept]


@transaction.atomic
def find_same_games(chart: Chart) -> list[SameGame]:
    """Finds the games of a chart that an earlier or later one has too, and counts their snaps once.

    What the staff said of such a pair before is kept.
    """
    said = {_pair(row): row.decided for row in SameGame.objects.filter(Q(chart=chart) | Q(other=chart))}
    SameGame.objects.filter(Q(chart=chart) | Q(other=chart)).delete()
    others = Chart.objects.filter(opponent=chart.opponent, state=ChartState.DONE).exclude(pk=chart.pk)
    replaced = {chart.replaces_id, *chart.replaced_by.values_list("pk", flat=True)}
    mine, found = _games(chart), []
    for other in others.exclude(pk__in=[pk for pk in replaced if pk]):
        for theirs in _games(other):
            for game in mine:
                new, old = (game, theirs) if chart.pk > other.pk else (theirs, game)
                shared, lines = shared_lines(new, old)
                if lines:
                    row = SameGame(chart=new.chart, other=old.chart, game=new.name, other_game=old.name)
                    row.shared, row.lines = shared, lines
                    row.decided = said.get(_pair(row), "")
                    row.save()
                    found.append(row)
    mark_repeated(chart.opponent)
    return found


def _pair(row: SameGame) -> tuple[object, ...]:
    return row.chart_id, row.other_id, row.game, row.other_game


@transaction.atomic
def decide_same_game(row: SameGame, seen: int, decided: str) -> None:
    """Writes whether a game counts once or both times. Raises StaleVersion."""
    row.save_version(seen, decided=Counting(decided).value)
    mark_repeated(row.chart.opponent)


def mark_repeated(opponent: Opponent) -> None:
    """Marks the snaps that another counted chart of the opponent has too, so that they count once."""
    snaps = ChartedSnap.objects.filter(chart__opponent=opponent)
    wanted: dict[int, set[int]] = defaultdict(set)
    pairs = SameGame.objects.filter(chart__opponent=opponent, chart__counts=True, other__counts=True)
    for row in pairs.exclude(decided=Counting.BOTH):
        mine = snaps.filter(chart=row.chart)
        if row.game:
            mine = mine.filter(game__in=_spellings(mine, row.game))
        for first, last in row.lines:
            wanted[row.chart_id] |= set(mine.filter(line__range=(first, last)).values_list("pk", flat=True))
    repeated = set().union(*wanted.values())
    snaps.filter(repeated=True).exclude(pk__in=repeated).update(repeated=False)
    snaps.filter(pk__in=repeated, repeated=False).update(repeated=True)


def _spellings(snaps: QuerySet[ChartedSnap], game: str) -> list[str]:
    names = snaps.order_by().values_list("game", flat=True).distinct()
    return [name for name in names if plain_word(name) == plain_word(game)]
