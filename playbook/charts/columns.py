"""The columns a chart may have, and the guess which header is which."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from . import values
from .errors import CellError

SAMPLES = 200


@dataclass(frozen=True, slots=True)
class Column:
    """One thing that may be charted. `headers` are usual headings, in lower case with single spaces."""

    name: str
    label: str
    help: str
    headers: tuple[str, ...]
    typed: bool = True


def _headers(words: str) -> tuple[str, ...]:
    return tuple(words.split("|"))


def _words(words: str) -> frozenset[str]:
    return frozenset(words.split())


# Headings and abbreviations: common practice.
COLUMNS: tuple[Column, ...] = (
    Column(
        "unit",
        "Offense, defense or kicking",
        "O, D or K, seen by the team that charts",
        _headers("odk|o d k|off def kick|unit|side of ball|off def|o d|offense defense|phase"),
    ),
    Column(
        "offense",
        "Offense team",
        "the team that has the ball",
        _headers("offense|offense team|off team|offensive team|posteam|pos team|possession|poss|team|ball|has ball"),
        typed=False,
    ),
    Column(
        "down",
        "Down",
        "1 to 4",
        _headers("down|dn|downs|d"),
    ),
    Column(
        "distance",
        "Distance",
        "yards to go, or G for goal",
        _headers("distance|dist|dst|to go|togo|yards to go|yds to go|ytg"),
    ),
    Column(
        "down_distance",
        "Down and distance in one column",
        "such as 3 & 7",
        _headers("down and distance|down distance|down dist|dn dist|d d|dn and dist|dd"),
    ),
    Column(
        "yard_line",
        "Yard line",
        "−35 own, 35 theirs; own 35; or 1 to 99",
        _headers(
            "yard line|yardline|yd line|yard ln|yd ln|ydline|yl|ball on|spot|field position|"
            "yardage line|los|yrd ln|yard"
        ),
    ),
    Column(
        "half",
        "Side of the field",
        "own or opp, − or +, or the team whose half it is; goes with the yard line",
        _headers(
            "side of field|field side|fld side|half|field half|yard line side|yardline side|yl side|territory|"
            "sideoffield|yd side"
        ),
    ),
    Column(
        "hash",
        "Hash",
        "left, middle, right, seen by the offense",
        _headers("hash|hash mark|hashmark|hsh|ball hash"),
    ),
    Column(
        "quarter",
        "Quarter",
        "1 to 4, OT",
        _headers("quarter|qtr|q|qt|period"),
    ),
    Column(
        "clock",
        "Clock",
        "minutes:seconds",
        _headers("clock|time|game clock|time left|game time"),
    ),
    Column(
        "personnel",
        "Personnel",
        "11, 12p, or 1 RB, 1 TE, 3 WR",
        _headers(
            "personnel|pers|per|personnel group|personnel grouping|grouping|off personnel|"
            "off pers|offensive personnel|group|o pers"
        ),
    ),
    Column(
        "formation",
        "Formation",
        "their word for it",
        _headers(
            "formation|form|off form|off formation|offensive formation|offense formation|"
            "formation name|set|o form|o formation"
        ),
        typed=False,
    ),
    Column(
        "strength",
        "Formation strength",
        "left or right",
        _headers(
            "strength|form strength|formation strength|off str|off strength|str|strong side|"
            "formation side|pass strength|passing strength|run strength"
        ),
    ),
    Column(
        "backfield",
        "Backfield",
        "where the back is: left, right, to strength, pistol, I, empty",
        _headers(
            "backfield|back|backs|back set|backfield set|bf|back alignment|back align|"
            "rb align|rb alignment|back position|back side|tb align"
        ),
        typed=False,
    ),
    Column(
        "motion",
        "Motion",
        "their word for it; empty means none",
        _headers("motion|mot|shift|motion shift|shift motion|motions|mtn"),
        typed=False,
    ),
    Column(
        "play_type",
        "Run or pass",
        "R, P, run, pass, ...",
        _headers("play type|type|r p|run pass|rp|run or pass|playtype|play kind"),
    ),
    Column(
        "concept",
        "Concept",
        "their word for the play",
        _headers(
            "concept|play|play call|off play|offensive play|run concept|run scheme|scheme|"
            "play name|run play|o play|playcall"
        ),
        typed=False,
    ),
    Column(
        "direction",
        "Direction",
        "left, right, strong, weak, field, boundary",
        _headers("direction|dir|play direction|play dir|run direction|run dir|to|side|play side|run location"),
    ),
    Column(
        "hole",
        "Hole",
        "0 to 9, or a gap such as right B",
        _headers("hole|gap|run hole|run gap|poa|point of attack|gap hit|hole number"),
    ),
    Column(
        "gain",
        "Gain",
        "yards, negative for a loss",
        _headers("gain|gn|gain loss|gn ls|gn loss|yards gained|yds gained|yards|yds|net|net yards|gained|gain yds"),
    ),
    Column(
        "result",
        "Result",
        "complete, incomplete, sack, touchdown, ...",
        _headers("result|res|outcome|play result"),
        typed=False,
    ),
    Column(
        "our_call",
        "Our call",
        "the call we were in",
        _headers("our call|def call|defensive call|defense call|defense|call|d call|def|our defense|front coverage"),
        typed=False,
    ),
    Column(
        "margin",
        "Score",
        "points ahead, −7 when behind; or 14-7, theirs first",
        _headers(
            "score diff|score differential|margin|score margin|point diff|point differential|score|lead|diff|up down"
        ),
    ),
    Column(
        "points",
        "Score of the offense",
        "its points before the snap; goes with those of the defense",
        _headers("posteam score|pos team score|off score|offense score|offense points|their score|their points"),
    ),
    Column(
        "points_against",
        "Score of the defense",
        "its points before the snap",
        _headers("defteam score|def team score|def score|defense score|defense points|our score|our points"),
    ),
    Column(
        "game",
        "Game",
        "which game or opponent",
        _headers("game|opponent|opp|week|vs|game id|match"),
        typed=False,
    ),
)
BY_NAME = {column.name: column for column in COLUMNS}
HEADER_WORDS = frozenset(heading for column in COLUMNS for heading in column.headers)


def plain_header(header: str) -> str:
    """Returns a header in lower case with one space between its words.

    >>> plain_header("Off_Form. (tag)")
    'off form tag'
    """
    parted = re.sub(r"([a-z])([A-Z])", r"\1 \2", header)
    return " ".join(re.findall(r"[a-z0-9]+", parted.casefold().replace("#", " number ").replace("№", " number ")))


def guess_columns(
    headers: Sequence[str], samples: Sequence[Sequence[str]], remembered: Mapping[str, str] | None = None
) -> dict[str, str]:
    """Returns column name -> header for every column that could be told.

    `remembered` (plain header -> column name, "" for none) goes before any guess. A header that says
    one thing while its cells say another is left alone.
    """
    remembered = remembered or {}
    found: dict[str, str] = {}
    free = list(headers)
    for header in headers:
        known = remembered.get(plain_header(header))
        if known is not None:
            free.remove(header)
            if known and known not in found:
                found[known] = header
    scored = []
    for place, header in enumerate(headers):
        if header not in free:
            continue
        cells = [row[place] for row in samples if place < len(row) and row[place]][:SAMPLES]
        for order, column in enumerate(COLUMNS):
            score = _header_score(plain_header(header), column)
            fit = _cells_fit(column, cells)
            if score and fit >= 0.6:
                scored.append((-score, -fit, order, place, column.name, header))
            elif not score and fit == 1 and len(cells) >= 5 and _unmistakable(column, cells):
                scored.append((-0.5, -fit, order, place, column.name, header))
    for *_, name, header in sorted(scored):
        if name not in found and header in free:
            found[name] = header
            free.remove(header)
    if "down_distance" in found and ("down" in found or "distance" in found):
        del found["down_distance"]
    return {column.name: found[column.name] for column in COLUMNS if column.name in found}


# Words of a header that make it something else, whatever else it says: yards after the catch are no gain.
_NOT = {
    "gain": _words("after air before catch contact penalty pen allowed kick punt return to go remaining field line"),
    "our_call": _words("offense offensive off o personnel players team line run pass man men score points"),
    "margin": _words("final prob home away total post quarter play type result drive scoring scored epa"),
    "points": _words("post final total"),
    "points_against": _words("post final total"),
    "concept": _words("description desc type result direction dir number count time clock length"),
    "result": _words("drive series game"),
    "offense": _words("home away winner formation personnel play line yards score coach"),
    "game": _words("clock time"),
    "distance": _words("air pass kick gained"),
    "down": _words("up series first second third"),
}
_THEIRS = _words("personnel formation strength backfield motion concept direction hole play_type")
_DEFENSE = _words("defense defensive def d defence")
SENTENCE = 5  # words; a cell of more describes a play and does not name one


def _header_score(header: str, column: Column) -> float:
    if header in column.headers:
        return 3.0
    words = set(header.split())
    if words & {"number", "num", "no", "id"} and column.name != "hole":
        return 0.0
    if words & _NOT.get(column.name, frozenset()) or (column.name in _THEIRS and words & _DEFENSE):
        return 0.0
    best = 0.0
    for heading in column.headers:
        parts = heading.split()
        if len(heading) > 2 and set(parts) <= words:
            best = max(best, 1.5 + 0.1 * len(parts) - 0.1 * (len(words) - len(parts)))
        elif len(heading) > 4 and difflib.SequenceMatcher(None, header, heading).ratio() >= 0.84:
            best = max(best, 1.0)
    return best


def _cells_fit(column: Column, cells: Sequence[str]) -> float:
    """Returns the share of cells that read as this column; 1 with no cells."""
    told = [cell for cell in cells if not values.is_blank(cell)]
    if not told:
        return 1.0
    if not column.typed:
        return 1.0 if column.name == "game" else sum(_names(cell) for cell in told) / len(told)
    good = 0
    for cell in told:
        try:
            values.read_cell(column.name, cell)
        except values.NotCounted:
            pass
        except CellError:
            continue
        good += 1
    return good / len(told)


_COUNT = re.compile(r"(?i)\d+\s*(dl|lb|db|de|dt|cb|s|ol|rb|te|wr|qb)\b")


def _names(cell: str) -> bool:
    """Whether a cell names something: no number, no sentence, no list of how many men of each kind."""
    number = re.fullmatch(r"[+-]?\d+([.,]\d+)?", cell)
    return not number and len(cell.split()) <= SENTENCE and len(_COUNT.findall(cell)) < 2


_TELLING = {
    "unit": re.compile(r"(?i)o|d|k|s|off|def|kick"),
    "play_type": re.compile(r"(?i)r|p|run|pass|rush"),
    "hash": re.compile(r"(?i)l|m|r|left|middle|right|lh|rh|mid"),
    "personnel": re.compile(r"(?i)\d\d\s?p|\d\d pers.*|.*\bTE\b.*\bWR\b.*"),
    "down_distance": re.compile(r"(?i)[1-4](st|nd|rd|th)?\s*(&|and)\s*(\d+|g|goal)"),
    "clock": re.compile(r"\d?\d:\d\d"),
}


def _unmistakable(column: Column, cells: Sequence[str]) -> bool:
    """Whether the cells alone tell the column, whatever its header says."""
    telling = _TELLING.get(column.name)
    told = [cell for cell in cells if not values.is_blank(cell)]
    if telling is None or len(told) < 5 or not all(telling.fullmatch(cell) for cell in told):
        return False
    if column.name == "unit":
        return len({values.read_unit(cell) for cell in told}) > 1
    # Left and right alone may be a hash, a strength or a direction; with a middle it mostly is a hash.
    return column.name != "hash" or any(cell.casefold().startswith("m") for cell in told)
