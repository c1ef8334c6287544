"""The board: the calls of a system against the looks of a week, or of a menu, in one verdict each.

A week's looks are judged together, what men cannot tell apart among them counted. A menu that fills one page is, too;
of a longer one each look is judged by itself, because nothing but the page that is shown is derived.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import fits
from fits.draw.svg import Form
from fits.words import words_of
from playbook.looks import queries as looks
from playbook.looks.asking import Ask, Setting
from playbook.looks.specs import Surroundings, asks_of, expected_looks, surroundings
from playbook.models import Call, ExpectedLook, System, Week
from playbook.proof.results import SEVERITIES

PAGE = 40  # looks
CALLS = 24  # at most beside each other
HELD = (looks.SOUND, looks.WARNING, looks.ON_TIME)
SHOWN: Mapping[str, tuple[str, ...]] = {
    "unsound": (looks.UNSOUND, looks.BROKEN),
    "wrong": (looks.UNSOUND, looks.BROKEN, looks.ON_TIME, looks.WARNING),
}


@dataclass(frozen=True, slots=True)
class Question:
    """What the board is to show: a week's looks or a menu's, against some calls of a system."""

    system: System
    calls: tuple[Call, ...]
    week: Week | None = None
    menu: looks.Menu | None = None
    show: str = ""
    page: int = 1
    away: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Line:
    """One look without a call: what it is called in an address, and in words. The share is a fraction, if counted."""

    key: str
    ask: Ask
    detail: str = ""
    share: float | None = None

    @property
    def words(self) -> str:
        """Returns run, formation and what is special about the look."""
        return f"{self.ask.concept} · {self.ask.formation}" + (f" · {self.detail}" if self.detail else "")


@dataclass(frozen=True, slots=True)
class Cell:
    """One call against one look. `name` is what it is called in an address."""

    name: str
    ask: Ask
    verdict: looks.VerdictWords


@dataclass(frozen=True, slots=True)
class Row:
    """One look, and a cell for each call."""

    line: Line
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Column:
    """One call, and how much of what may come it holds: a share of their runs, or a number of looks."""

    call: Call
    held: str
    on_time: str


@dataclass(frozen=True, slots=True)
class Choice:
    """A call or a look that can be put away, and whether it is."""

    key: str
    words: str
    away: bool


@dataclass(frozen=True, slots=True)
class Board:
    """One page of the board; `rows` is after the filter, `counts` of what is shown, `choices` calls and looks.

    `together` says whether the looks were judged together; else each was by itself.
    """

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    choices: tuple[tuple[Choice, ...], tuple[Choice, ...]]
    counts: Mapping[str, int]
    not_run: int
    total: int
    page: int
    pages: int
    together: bool
    shares: bool

    @property
    def looks(self) -> int:
        """Returns how many looks this board is about, put away or not."""
        return len(self.choices[1])

    @property
    def away(self) -> int:
        """Returns how many calls and looks are put away."""
        return sum(choice.away for some in self.choices for choice in some)

    @property
    def on_time(self) -> int:
        """Returns how many verdicts are sound only if everybody is on time."""
        return self.counts.get(looks.ON_TIME, 0)


@dataclass(frozen=True, slots=True)
class Opened:
    """What the panel says of one cell: its look (none where there is none), its findings, and who would hold it."""

    row: Row
    cell: Cell
    svg: str
    findings: tuple[str, ...]
    held_by: tuple[Cell, ...]
    alike: int
    alike_share: float


def calls_of(system: System, week: Week | None, choice: str) -> tuple[list[Call], list[tuple[str, str]]]:
    """Returns the calls beside each other, and what else there is to choose: the week's own, or all, 24 at a time."""
    every = list(system.calls.select_related("front", "coverage"))
    for call in every:
        call.system = system  # one system for all, so that its revision is read once
    own: list[Call] = []
    if week and week.system_id == system.pk:
        wanted = list(dict.fromkeys(week.menu_calls.order_by("order").values_list("call_id", flat=True)))
        rows = {call.pk: call for call in every}
        own = [rows[pk] for pk in wanted if pk in rows][:CALLS]
    parts = []
    for first in range(0, len(every), CALLS):
        last = min(first + CALLS, len(every))
        some = f"calls {first + 1} to {last}" if len(every) > CALLS else f"all {last} calls"
        parts.append((str(first // CALLS + 1), some))
    choices = [("", "the week's calls"), *parts] if own else [("", parts[0][1]), *parts[1:]] if parts else []
    if not choice or choice not in dict(parts):
        return own or every[:CALLS], choices
    first = (int(choice) - 1) * CALLS
    return every[first : first + CALLS], choices


def board(question: Question) -> Board:
    """Returns the page of the board that was asked for."""
    around = surroundings(question.system.pk, question.week)
    lines, total, together = _lines(question)
    calls = [call for call in question.calls if f"c{call.pk}" not in question.away]
    rows = _judged(lines, calls, around, together)
    runnable = [row for row in rows if not calls or any(cell.verdict.state != looks.NONE for cell in row.cells)]
    standing = [row for row in runnable if row.line.key not in question.away]
    wanted = SHOWN.get(question.show)
    shown = [row for row in standing if not wanted or any(cell.verdict.state in wanted for cell in row.cells)]
    if question.week:
        total = len(shown)
    pages = max(1, -(-total // PAGE))
    page = min(max(1, question.page), pages)
    if question.week:
        shown = shown[(page - 1) * PAGE : page * PAGE]
    calls_to_choose = tuple(_choice(f"c{call.pk}", str(call), question) for call in question.calls)
    looks_to_choose = tuple(_choice(line.key, line.words, question) for line in lines)
    shares = any(row.line.share is not None for row in standing)
    return Board(
        tuple(_column(call, [row.cells[n] for row in standing], standing, shares) for n, call in enumerate(calls)),
        tuple(shown),
        (calls_to_choose, looks_to_choose),
        Counter(cell.verdict.state for row in shown for cell in row.cells),
        len(rows) - len(runnable),
        total,
        page,
        pages,
        together,
        shares,
    )


def _choice(key: str, words: str, question: Question) -> Choice:
    return Choice(key, words, key in question.away)


def _lines(question: Question) -> tuple[list[Line], int, bool]:
    """Returns the looks to judge, how many there are in all, and whether they are judged together."""
    if question.week:
        rows = sorted(expected_looks(question.week), key=lambda row: -(row.share or 0))
        asks = asks_of(question.week, rows)
        found = [Line(f"l{row.pk}", ask, _detail(row), row.share) for row, ask in zip(rows, asks, strict=True)]
        return found, len(found), True
    menu = question.menu
    if menu is None:
        return [], 0, True
    wide = len(menu.concepts)
    total = len(menu.formations) * wide
    last = max(1, -(-total // PAGE))
    first = (min(max(1, question.page), last) - 1) * PAGE
    pairs = [(menu.formations[n // wide], menu.concepts[n % wide]) for n in range(first, min(first + PAGE, total))]
    lines = [Line(f"m{f.pk}-{c.pk}", Ask(None, f, c, Setting())) for f, c in pairs]  # type: ignore[arg-type]
    return lines, total, total <= PAGE


def _detail(row: ExpectedLook) -> str:
    """Returns what is special about a look of the week, in words."""
    words = [f"to the {row.to}"] if row.to else []
    words += [str(row.motion)] if row.motion else []
    words += [row.back_words] if row.back else []
    words += [f"with {option}" for option in row.option_labels]
    words += [f"{row.hash} hash"] if row.hash != "middle" else []
    words += ["flipped"] if row.flip else []
    words += ["a guess"] if row.guess else []
    return ", ".join(words)


def _judged(lines: Sequence[Line], calls: Sequence[Call], around: Surroundings, together: bool) -> list[Row]:
    asks = [replace(line.ask, call=call) for line in lines for call in calls]
    verdicts = iter(zip(asks, looks.verdicts(asks, around, together), strict=True))
    return [Row(line, tuple(Cell(f"{call.pk}.{line.key}", *next(verdicts)) for call in calls)) for line in lines]


def _column(call: Call, cells: Sequence[Cell], rows: Sequence[Row], shares: bool) -> Column:
    weights = [(row.line.share or 0.0) if shares else 1.0 for row in rows]
    whole = sum(weights)
    held = sum(w for w, cell in zip(weights, cells, strict=True) if cell.verdict.state in HELD)
    late = sum(w for w, cell in zip(weights, cells, strict=True) if cell.verdict.state == looks.ON_TIME)
    if not whole:
        return Column(call, "–", "")
    if shares:
        return Column(call, f"{100 * held / whole:.0f} %", f"{100 * late / whole:.0f} %" if late else "")
    return Column(call, f"{held:.0f} of {whole:.0f}", f"{late:.0f}" if late else "")


def open_cell(question: Question, shown: Board, name: str) -> Opened | None:
    """Returns what the panel says of the cell of that name; none when the board does not have it."""
    row, cell = next(((r, c) for r in shown.rows for c in r.cells if c.name == name), (None, None))
    if row is None or cell is None:
        return None
    around = surroundings(question.system.pk, question.week)
    try:
        if shown.together:
            look = looks.known_look(cell.ask, around, menu_=question.menu)
        else:
            look = looks.derive(cell.ask, around)
    except (fits.FitsError, KeyError):
        return Opened(row, cell, "", cell.verdict.texts, (), 0, 0.0)
    said = words_of(look)
    worst = sorted(look.findings, key=lambda finding: -SEVERITIES.get(finding.severity, 1.0))
    alike = _alike(shown.rows, row, cell, worst[0].code) if worst else []
    return Opened(
        row,
        cell,
        looks.drawing_in_page(look, Form.PHONE, book=around.book),
        tuple(said.retell(finding.text) for finding in worst),
        tuple(sorted((o for o in row.cells if o.verdict.state in HELD and o is not cell), key=_rank)),
        len(alike),
        sum(other.line.share or 0.0 for other in alike),
    )


def _rank(cell: Cell) -> int:
    return HELD.index(cell.verdict.state)


def _alike(rows: Iterable[Row], row: Row, cell: Cell, code: str) -> list[Row]:
    """Returns the other looks in which the same call has the same fault."""
    place = row.cells.index(cell)
    return [
        other
        for other in rows
        if other is not row
        and other.cells[place].verdict.state == cell.verdict.state
        and code in other.cells[place].verdict.codes
    ]
