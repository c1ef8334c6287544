"""The fit board: every call of a system against every look of an opponent, in one verdict each."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from playbook.looks import queries as looks
from playbook.looks.asking import Ask, Setting
from playbook.looks.specs import Surroundings, asks_of, expected_looks, surroundings
from playbook.models import Call, Formation, System, Week


@dataclass(frozen=True, slots=True)
class Cell:
    """One call against one look."""

    ask: Ask
    verdict: looks.VerdictWords


@dataclass(frozen=True, slots=True)
class Row:
    """One look, and a cell for each call."""

    label: str
    detail: str
    share: float | None
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """The looks from one formation."""

    formation: Formation
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Board:
    """The whole board, after the filter; the counts are of what is shown."""

    calls: tuple[Call, ...]
    groups: tuple[Group, ...]
    counts: Mapping[str, int]
    not_run: int

    @property
    def total(self) -> int:
        """Returns how many verdicts are shown."""
        return sum(self.counts.values())

    @property
    def on_time(self) -> int:
        """Returns how many are sound if everybody reacts on time."""
        return self.counts.get(looks.ON_TIME, 0)


def board(system: System | None, menu: looks.Menu, week: Week | None, chosen: Mapping[str, Any]) -> Board:
    """Returns the board of a system against a menu, or against the looks expected in a week."""
    if system is None:
        return Board((), (), {}, 0)
    calls = tuple(
        call
        for call in system.calls.select_related("front", "coverage")
        if chosen.get("call") is None or call == chosen["call"]
    )
    for call in calls:
        call.system = system  # one system for all, so that its revision is read once
    around = surroundings(system.pk, week)
    asked = _expected(week) if week else _menu(menu, chosen)
    rows, counts, not_run = _rows(calls, asked, around, chosen)
    return Board(calls, _grouped(rows), counts, not_run)


def _expected(week: Week) -> list[tuple[str, Ask, float | None]]:
    """Returns the week's looks without a call: what is special about each in words, and its share."""
    rows = expected_looks(week)
    found = []
    for row, ask in zip(rows, asks_of(week, rows), strict=True):
        words = [row.motion.name] if row.motion else []
        words += [f"with {name}" for name in row.options]
        words += [f"{row.hash} hash"] if row.hash != "middle" else []
        words += ["flipped"] if row.flip else []
        words += ["a guess"] if row.guess else []
        found.append((", ".join(words), ask, row.share))
    return found


def _menu(menu: looks.Menu, chosen: Mapping[str, Any]) -> list[tuple[str, Ask, float | None]]:
    setting = Setting(to=chosen.get("to") or "", hash=chosen.get("hash") or "middle")
    return [
        ("", Ask(None, formation, concept, setting), None) for formation in menu.formations for concept in menu.concepts
    ]  # type: ignore[arg-type]


def _wanted(ask: Ask, chosen: Mapping[str, Any]) -> bool:
    formation, concept = chosen.get("formation"), chosen.get("concept")
    return formation in (None, ask.formation) and concept in (None, ask.concept)


def _rows(
    calls: Sequence[Call],
    asked: list[tuple[str, Ask, float | None]],
    around: Surroundings,
    chosen: Mapping[str, Any],
) -> tuple[list[tuple[Formation, Row]], Counter[str], int]:
    """Rows of the looks that the filter leaves; a verdict is on the look among all that may come."""
    rows, counts, not_run, state = [], Counter[str](), 0, chosen.get("state") or ""
    asks = [replace(ask, call=call) for _, ask, _ in asked for call in calls]
    verdicts = iter(zip(asks, looks.verdicts(asks, around), strict=True))
    for detail, ask, share in asked:
        cells = [Cell(*next(verdicts)) for _ in calls]
        if not _wanted(ask, chosen):
            continue
        if cells and all(cell.verdict.state == looks.NONE for cell in cells):
            not_run += 1
            continue
        if state and not any(_matches(cell.verdict.state, state) for cell in cells):
            continue
        counts.update(cell.verdict.state for cell in cells)
        to = next((cell.verdict.to for cell in cells if cell.verdict.to), "")
        rows.append((ask.formation, Row(f"{ask.concept} {to}".strip(), detail, share, tuple(cells))))
    return rows, counts, not_run


def _matches(state: str, wanted: str) -> bool:
    return state != looks.SOUND if wanted == "wrong" else state == wanted


def _grouped(rows: list[tuple[Formation, Row]]) -> tuple[Group, ...]:
    groups: dict[int, tuple[Formation, list[Row]]] = {}
    for formation, row in rows:
        groups.setdefault(formation.pk, (formation, []))[1].append(row)
    return tuple(Group(formation, tuple(found)) for formation, found in groups.values())
