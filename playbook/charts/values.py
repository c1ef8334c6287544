"""Cells of a chart read as values: every usual spelling, and a reason when a cell cannot be read.

Spellings are common practice. A cell that says nothing ("", "-", "n/a", "null") reads as None.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable
from enum import Enum
from functools import lru_cache

import fits
from fits.offense.personnel import parse_personnel

from .errors import CellError


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split("|"))


_BLANK = _set("|-|--|---|–|—|?|??|n/a|na|#n/a|null|(null)|nan|nil|none|\\n|#value!|#ref!|.|tbd|unknown")


class YardStyle(Enum):
    """How a bare number in the yard-line column is meant."""

    SIGNED = "signed"  # -35 is their own 35, 35 is our 35
    FROM_OWN_GOAL = "from own goal"  # 1 to 99
    TO_GOAL = "to goal"  # 99 to 1
    UNTOLD = "untold"  # a bare number does not say whose half it is in: left blank


class ClockStyle(Enum):
    """How three parts of a clock cell are meant: a spreadsheet keeps 0:14 as fourteen minutes past midnight."""

    MINUTES_FIRST = "minutes first"  # 0:14:00 is 14 seconds
    HOURS_FIRST = "hours first"  # 0:14:00 is 14 minutes


def is_blank(cell: str) -> bool:
    """Whether a cell says nothing.

    >>> is_blank("N/A"), is_blank("0")
    (True, False)
    """
    return cell.strip().casefold() in _BLANK


def read_cell(column: str, cell: str) -> object:
    """Returns the value of one cell of a column, or None when it says nothing. Raises CellError."""
    return None if is_blank(cell) else _read(column, cell.strip())


@lru_cache(maxsize=20_000)
def _read(column: str, cell: str) -> object:
    return READERS[column](cell)


def _words(cell: str) -> list[str]:
    return re.findall(r"[a-z]+|\d+", cell.casefold())


def _whole(cell: str) -> int | None:
    match = re.fullmatch(r"([+\-−–]?)\s?(\d{1,4})([.,]0+)?", cell)
    if not match:
        return None
    return -int(match[2]) if match[1] in ("-", "−", "–") else int(match[2])


_HALF = re.compile(r"([+\-−–]?)\s?(\d{1,3})?(?:\s*(½|1/2)|[.,](5)0*)")


def _half(cell: str) -> float | None:
    """Returns a number with or without a half: 3, 3.5, 3 1/2, ½."""
    whole = _whole(cell)
    if whole is not None:
        return whole
    match = _HALF.fullmatch(cell)
    if not match or (match[2] is None and match[4]):
        return None
    number = int(match[2] or 0) + 0.5
    return -number if match[1] in ("-", "−", "–") else number


# --- the situation ----------------------------------------

_DOWNS = {"1st": 1, "2nd": 2, "3rd": 3, "4th": 4, "first": 1, "second": 2, "third": 3, "fourth": 4}


def read_down(cell: str) -> int:
    """Returns a down.

    >>> read_down("3rd"), read_down("2.0")
    (3, 2)
    """
    text = re.sub(r"\s*(down|dn)\.?$", "", cell.casefold()).strip()
    down = _DOWNS.get(text, _whole(text))
    if down not in (1, 2, 3, 4):
        raise CellError("a down from 1 to 4", cell)
    return down


GOAL = 0


def read_distance(cell: str) -> int:
    """Returns yards to go; GOAL for "goal".

    Part of a yard to go is a yard to go.

    >>> read_distance("10+"), read_distance("inches"), read_distance("G"), read_distance("2 1/2")
    (10, 1, 0, 3)
    """
    text = cell.casefold().rstrip(".+ ")
    if text in ("g", "goal", "gl", "to goal"):
        return GOAL
    if text in ("inches", "inch", "in", "<1", "1/2", "½"):
        return 1
    number = _half(re.sub(r"\s*(yards|yard|yds|yd)$", "", text))
    distance = None if number is None else math.ceil(number)
    if distance is None or not 1 <= distance <= 99:
        raise CellError("1 to 99 yards to go, or G for goal", cell)
    return distance


def read_down_distance(cell: str) -> tuple[int, int]:
    """Returns a down and the yards to go.

    >>> read_down_distance("3rd & 7"), read_down_distance("1-G")
    ((3, 7), (1, 0))
    """
    if re.match(r"\d{4}-\d\d-\d\d", cell):
        raise CellError("a down and a distance such as 3 & 7 (the spreadsheet turned this one into a date)", cell)
    match = re.fullmatch(r"(?i)\s*(\w+?)\s*(?:&|and|-|/|,|\+|\s)\s*(\w+\+?)\s*", cell)
    if not match:
        raise CellError("a down and a distance such as 3 & 7", cell)
    return read_down(match[1]), read_distance(match[2])


_YARD_LINE = re.compile(
    r"(own|o|my|opp|opponent|opponents|their|theirs|plus|minus|\+|-|−|–)?\s*"
    r"(\d{1,2})(?:[.,]0+|[.,]5|\s*½|\s+1/2)?\s*(own|opp|yd|yard|yards)?(?:\s*line)?"
)
_OWN, _OPP = _set("own|o|my|minus|-|−|–"), _set("opp|opponent|opponents|their|theirs|plus")
_WANTED = {
    YardStyle.SIGNED: "a yard line: −1 to −49 own, 50, 49 to 1 theirs (or own 35, opp 20)",
    YardStyle.FROM_OWN_GOAL: "a yard line from 1 to 99, counted from their own goal",
    YardStyle.TO_GOAL: "a yard line from 99 to 1, counted to the goal they attack",
    YardStyle.UNTOLD: "a yard line with its half: −35 or own 35, +20 or opp 20, or a team before the number",
}


def read_yard_line(cell: str, style: YardStyle = YardStyle.SIGNED, half: str = "", team: str = "") -> int | None:
    """Returns yards from the offense's own goal line, 1 to 99; None for a bare number that says no half.

    `half` is own or opp where another column says it; `team` is the offense, for cells such as `ABC 35`. Half a yard
    counts as the whole yards before it.

    >>> read_yard_line("-35"), read_yard_line("opp 20"), read_yard_line("+20"), read_yard_line("35", half="own")
    (35, 80, 80, 35)
    >>> read_yard_line("72", YardStyle.FROM_OWN_GOAL), read_yard_line("QVL 35", team="QVL")
    (72, 35)
    """
    text = cell.casefold().strip()
    named = re.fullmatch(r"([^\d+\-−–]{2,24}?)\s*(\d{1,2})(?:[.,]0+)?", text)
    if team and named and not _YARD_LINE.fullmatch(text):
        half, text = _half_of_team(named[1], team), named[2]
    match = _YARD_LINE.fullmatch(text)
    number = int(match[2]) if match else 0
    side = (match[1] or match[3] or "") if match else ""
    bare = side in ("", "yd", "yard", "yards")
    if bare and half and 1 <= number <= 50:
        return number if half == "own" else 100 - number
    if side in _OWN and 1 <= number <= 50:
        return number
    if (side in _OPP or side == "+") and 1 <= number <= 50:
        return 100 - number
    if bare and style is YardStyle.SIGNED and 1 <= number <= 50:
        return 100 - number
    if bare and style is YardStyle.UNTOLD and 1 <= number <= 50:
        return 50 if number == 50 else None
    if bare and style in (YardStyle.FROM_OWN_GOAL, YardStyle.TO_GOAL) and 1 <= number <= 99:
        return number if style is YardStyle.FROM_OWN_GOAL else 100 - number
    raise CellError(_WANTED[style], cell)


def _half_of_team(word: str, team: str) -> str:
    return "own" if same_word(word, team) else "opp"


def same_word(one: str, other: str) -> bool:
    """Whether two words are one, whatever the case and the marks between their letters."""
    return plain_word(one) == plain_word(other)


@lru_cache(maxsize=50_000)
def plain_word(word: str) -> str:
    """Returns a word without case, spaces, dots and dashes: what it is told from others by.

    >>> plain_word(" Trips  RT. "), plain_word("I-Z") == plain_word("iz"), plain_word("Trips +") == plain_word("Trips")
    ('tripsrt', True, False)
    """
    return re.sub(r"[\s_.\-–]+", "", word.casefold()) or word.strip()


def read_half(cell: str, team: str = "") -> str:
    """Returns own or opp: whose half of the field the ball is in, seen by the offense.

    >>> read_half("Own"), read_half("+"), read_half("QVL", "QVL"), read_half("TRN", "QVL")
    ('own', 'opp', 'own', 'opp')
    """
    text = cell.casefold().strip(" .")
    if text in _OWN or text in ("ours", "us"):
        return "own"
    if text in _OPP or text == "+":
        return "opp"
    if text in ("50", "mid", "midfield", "middle"):
        return "opp"  # the fifty is both
    if team:
        return _half_of_team(cell, team)
    raise CellError("whose half the ball is in: own or opp, − or +, or a team where the offense is a column", cell)


def guess_yard_style(cells: Iterable[str], header: str = "") -> YardStyle:
    """Returns how bare numbers of a yard-line column are most likely meant.

    With no sign, word or number above 50 anywhere, a bare number says no half. A header that says 100 or goal counts
    the yards to go to it.

    >>> guess_yard_style(["-35", "20"]), guess_yard_style(["35", "20"])
    (<YardStyle.SIGNED: 'signed'>, <YardStyle.UNTOLD: 'untold'>)
    """
    if re.search(r"(?i)100|goal", header):
        return YardStyle.TO_GOAL
    told = [cell.strip() for cell in cells if not is_blank(cell)]
    numbers = [number for cell in told if (number := _whole(cell)) is not None]
    if any(number > 50 for number in numbers):
        return YardStyle.FROM_OWN_GOAL
    own = any(
        re.match(r"(?i)\s*(own|o|my|minus|[-−–])\s*\d", cell) or re.search(r"(?i)\d\s*own", cell) for cell in told
    )
    return YardStyle.SIGNED if own or not numbers else YardStyle.UNTOLD


_LEFT, _RIGHT = _set("l|lt|left|lft|lh"), _set("r|rt|right|rgt|rh")
_MIDDLE = _set("m|mid|middle|c|center|centre|mof|mm")
_BETWEEN = _set("ml|lm|mr|rm|lmid|midl|rmid|midr")


def read_hash(cell: str) -> str:
    """Returns left, middle or right.

    Left middle and right middle lie between the hashes: neither side is surely the wide one there.

    >>> read_hash("L"), read_hash("Mid"), read_hash("right hash"), read_hash("ML")
    ('left', 'middle', 'right', 'middle')
    """
    words = [word for word in _words(cell) if word not in ("hash", "h", "of", "the", "field")]
    if len(words) == 1:
        for side, spelled in (("left", _LEFT), ("right", _RIGHT), ("middle", _MIDDLE)):
            if words[0] in spelled:
                return side
    if len(words) == 1 and words[0] in _BETWEEN:
        return "middle"
    if len(words) == 2 and set(words) & _MIDDLE and set(words) & (_LEFT | _RIGHT):
        return "middle"
    raise CellError("a hash: L, M or R (or ML, MR)", cell)


def read_quarter(cell: str) -> int:
    """Returns a quarter; overtimes count from 5.

    >>> read_quarter("Q3"), read_quarter("OT"), read_quarter("2OT")
    (3, 5, 6)
    """
    words = _words(cell)
    number = next((int(word) for word in words if word.isdigit()), None)
    rest = {word for word in words if not word.isdigit()} - {"q", "qtr", "quarter", "st", "nd", "rd", "th"}
    quarter = 4 + (number or 1) if rest == {"ot"} else number if not rest else None
    if quarter is None or not 1 <= quarter <= 10:
        raise CellError("a quarter from 1 to 4, or OT", cell)
    return quarter


_PARTS = re.compile(r"(?:(\d{1,2})[:.'h ])?(\d{0,2})[:.'m](\d\d)[\"s]?(?:\.\d+)?")


def read_clock(cell: str, style: ClockStyle = ClockStyle.MINUTES_FIRST) -> int:
    """Returns the seconds left in the quarter.

    A spreadsheet keeps 9:05 as nine hours and five minutes: as 9:05:00, 9:05:00 AM, a date with a time, or a part of
    a day. So of three parts that end in :00 the first are minutes, unless the column has real hours (`style`).

    >>> read_clock("9:05"), read_clock("12:34:00"), read_clock(":34"), read_clock("0:14:00"), read_clock("12:14:00 AM")
    (545, 754, 34, 14, 14)
    >>> read_clock("0:14:00", ClockStyle.HOURS_FIRST), read_clock("00:12:34"), read_clock("0.378472222")
    (840, 754, 545)
    """
    text = re.sub(r"^\d{4}-\d\d-\d\d[ t]+", "", cell.casefold().strip())
    noon = re.fullmatch(r"(.*\d)\s*(am|pm|a\.m\.|p\.m\.)", text)
    text = noon[1] if noon else text
    seconds = _clock_seconds(text, style, noon[2][0] if noon else "")
    if seconds is not None and 0 <= seconds <= 15 * 60:
        return seconds
    raise CellError("time left in the quarter, 15:00 to 0:00", cell)


def _clock_seconds(text: str, style: ClockStyle, half_day: str) -> int | None:
    if re.fullmatch(r"0?[.,]\d{3,}", text):  # a part of a day, in minutes of it
        return round(float(text.replace(",", ".")) * 24 * 60)
    if re.fullmatch(r"\d{1,2}\d\d", text):
        text = f"{text[:-2]}:{text[-2:]}"
    match = _PARTS.fullmatch(text)
    if not match or int(match[3]) > 59:
        return None
    if match[1] is None:
        return _noon(int(match[2] or 0), half_day) * 60 + int(match[3])
    hours, minutes, rest = _noon(int(match[1]), half_day), int(match[2] or 0), int(match[3])
    if minutes > 59 or (hours and rest):
        return None
    # No quarter has an hour: the first part of 9:05:00 was typed as minutes.
    return hours * 60 + minutes if rest == 0 and (hours or style is ClockStyle.MINUTES_FIRST) else minutes * 60 + rest


def _noon(hour: int, half_day: str) -> int:
    """Returns the hour of a day's half as it was typed into a spreadsheet: 12 AM was 0, 2 PM was 14."""
    if not half_day:
        return hour
    return hour % 12 + (12 if half_day == "p" else 0)


def guess_clock_style(cells: Iterable[str]) -> ClockStyle:
    """Returns how three parts of a clock column are meant: with real seconds in it, hours come first."""
    real = any(re.search(r"(?:^|\s)0{1,2}:\d\d:(?!00)\d\d$", cell.strip()) for cell in cells)
    return ClockStyle.HOURS_FIRST if real else ClockStyle.MINUTES_FIRST


# --- the offense ----------------------------------------


def read_personnel(cell: str) -> str:
    """Returns two digits (backs, tight ends), or the staff's own word when there is no number in it.

    The engine reads it; of a number with a word beside it, the number.

    >>> read_personnel("1 RB, 1 TE, 3 WR"), read_personnel("1/1"), read_personnel("13 (jumbo)"), read_personnel("Heavy")
    ('11', '11', '13', 'Heavy')
    """
    if not re.search(r"\d", cell):
        return read_words(cell)
    beside = re.fullmatch(r"[^\d,;/&+]{0,12}?(\d{1,2})(?:\.0)?(?:[^\d,;/&+]{0,20})", cell)
    for text in (cell, beside[1] if beside else ""):
        try:
            return parse_personnel(text).code
        except fits.BadRequest:
            continue
    raise CellError("personnel such as 11, 12p or 1 RB, 1 TE, 3 WR (backs and tight ends at most 5)", cell)


# Words for a strength to one side: common practice.
_STRONG_LEFT = _LEFT | _set("liz|lou|lion|lucky|larry")
_STRONG_RIGHT = _RIGHT | _set("rip|roy|ram|ringo|rita")


def read_side(cell: str) -> str:
    """Returns the side of a formation's strength: left, right, field, boundary or balanced.

    >>> read_side("Rt."), read_side("Liz"), read_side("FIB"), read_side("bal")
    ('right', 'left', 'boundary', 'balanced')
    """
    words = set(_words(cell)) - {"strong", "strength", "side", "to", "into", "the", "call"}
    for side, spelled in (
        ("left", _STRONG_LEFT),
        ("right", _STRONG_RIGHT),
        ("field", _set("field|fld|f|wide|ff")),
        ("boundary", _set("boundary|bound|bnd|bdy|short|ib|fib")),
        ("balanced", _set("balanced|bal|even|b|e|none|n|mid|m|middle")),
    ):
        if words and words <= spelled:
            return side
    raise CellError("the side of the formation's strength: L, R, field, boundary or balanced", cell)


def split_formation(cell: str) -> tuple[str, str]:
    """Returns a formation's word without the side at its end, and that side or "".

    >>> split_formation("Trips Rt"), split_formation("Doubles"), split_formation("Ace (Left)")
    (('Trips', 'right'), ('Doubles', ''), ('Ace', 'left'))
    """
    match = re.fullmatch(r"(?i)(.*?\S)[\s_\-/(]+(lt|rt|left|right|l|r)\)?\.?", cell)
    if not match:
        return " ".join(cell.split()), ""
    return " ".join(match[1].split()), "left" if match[2].casefold().startswith("l") else "right"


_BACK = (
    ("empty", {"empty", "none", "no", "zero"}),
    ("both", {"split", "both", "two", "tandem"}),
    ("strong", {"strong", "str", "strength", "near", "closed"}),
    ("weak", {"weak", "wk", "away", "far", "open"}),
    ("left", _LEFT),
    ("right", _RIGHT),
    (
        "behind",
        {"pistol", "i", "behind", "dot", "deep", "home", "stack", "stacked", "ace", "singleback", "single"},
    ),
)


def read_back(cell: str) -> str:
    """Returns left, right, strong, weak, behind, both or empty; "" when the words do not tell.

    >>> read_back("Gun Lt"), read_back("offset weak"), read_back("Pistol"), read_back("Tiger")
    ('left', 'weak', 'behind', '')
    """
    words = set(_words(cell))
    return next((place for place, spelled in _BACK if words & spelled), "")


# --- the play ----------------------------------------

_RUN = {"r", "run", "rush", "ru", "running", "rushing", "designed run", "run play", "keep", "qb run"}
_PASS = _set(
    "p|pass|pa|play action|play-action|sack|scramble|screen|dropback|drop back|boot|"
    "bootleg|passing|quick|sprint out|pass play|complete|incomplete|interception|pass option|sprint|rollout|roll out"
)
_NOT_COUNTED = {
    "a kick": _set(
        "k|ko|kick|kickoff|kick off|punt|fg|field goal|xp|pat|extra pt|extra point|"
        "ko rec|kickoff return|punt return|punt rec|onside kick|onside|special teams|st|fg block|extra points|x pt|"
        "free kick|fake punt|fake fg|pat kick|xpt|kicking"
    ),
    "no play": {"penalty", "no play", "pen", "timeout", "time out", "dead ball", "np"},
    "a kneel or spike": _set("kneel|knee|kneel down|kneeldown|spike|victory|take a knee|qb kneel|qb spike"),
    "a two-point try": _set("2pt|2 pt|two point|two-point|2pt conv|two-point conversion|2 pt conv"),
}


_RUN_WORDS = _set("run|rush|rushing|draw|option|keeper|sweep")
_PASS_WORDS = _set("pass|passing|screen|sack|scramble")


class NotCounted(ValueError):
    """A row that is read but is neither a run nor a pass; the text says what it is."""


def read_play_type(cell: str) -> str:
    """Returns run, pass or rpo. Raises NotCounted for kicks, penalties and kneels, CellError for the rest.

    >>> read_play_type("Rush"), read_play_type("PA"), read_play_type("RPO"), read_play_type("PT Draw/Option")
    ('run', 'pass', 'rpo', 'run')
    """
    text = " ".join(cell.casefold().replace("_", " ").replace(".", "").split())
    for what, spelled in _NOT_COUNTED.items():
        if text in spelled:
            raise NotCounted(what)
    if text in _RUN:
        return "run"
    if text in _PASS:
        return "pass"
    if text in ("rpo", "run-pass option", "run pass option"):
        return "rpo"
    words = set(re.findall(r"[a-z]+", text)) - {"pt", "play", "type"}
    if (words & _RUN_WORDS) and not words & _PASS_WORDS:
        return "run"
    if (words & _PASS_WORDS) and not words & _RUN_WORDS:
        return "pass"
    raise CellError("run or pass (R, P, Run, Pass, RPO, ...)", cell)


def is_pass_word(concept: str) -> bool:
    """Returns whether what stands where a run concept could stand says only that it was a pass.

    >>> is_pass_word("Pass"), is_pass_word("Power")
    (True, False)
    """
    return " ".join(concept.casefold().split()) in _PASS


def play_type_of_result(result: str) -> str:
    """Returns run or pass when the result alone tells it, else ""."""
    words = set(_words(result))
    if words & {
        "complete",
        "incomplete",
        "comp",
        "inc",
        "incomp",
        "sack",
        "sacked",
        "interception",
        "int",
        "dropped",
        "scramble",
    }:
        return "pass"
    return "run" if words & {"rush", "run"} else ""


_DIRECTION = {
    "left": _LEFT,
    "right": _RIGHT,
    "middle": _MIDDLE | {"m", "up the middle"},
    "strong": _set("strong|s|str|st|to strength|strength|te|to te|te side|closed|to the strength|tight"),
    "weak": {"weak", "w", "wk", "away", "away from strength", "open", "away from te", "split", "split side"},
    "to back": {"to back", "to the back", "back", "same side", "back side of set"},
    "away from back": {"away from back", "away from the back", "across", "opposite"},
    "field": _set("field|f|fld|wide|wide side|to field|to the field|field side|into field|into the field"),
    "boundary": _set(
        "boundary|b|bnd|bdy|bound|ib|into bound|into bnd|into the boundary|short|short side|to boundary|into boundary|"
        "to the boundary|boundary side"
    ),
}


def read_direction(cell: str) -> str:
    """Returns left, right, middle, strong, weak, to back, away from back, field or boundary.

    >>> read_direction("Rt"), read_direction("weak"), read_direction("into boundary")
    ('right', 'weak', 'boundary')
    """
    text = " ".join(cell.casefold().replace(".", "").split())
    for direction, spelled in _DIRECTION.items():
        if text in spelled:
            return direction
    words = text.split()
    if words and words[0] in ("left", "right") and words[-1] in ("end", "tackle", "guard"):
        return words[0]
    raise CellError("a direction: left, right, strong, weak, field, boundary, to back, away from back", cell)


# Odd left, even right, from the inside out; 0 over the centre, 9 the far left. Common practice; staffs differ.
_HOLES = {0: "middle", 9: "left D"} | {
    number: f"{'left' if number % 2 else 'right'} {'ABCD'[(number - 1) // 2]}" for number in range(1, 9)
}
_BY_MAN = {"guard": "B", "tackle": "C", "end": "D"}
HOLES = ("left D", "left C", "left B", "left A", "middle", "right A", "right B", "right C", "right D")


def read_hole(cell: str) -> str:
    """Returns a hole of HOLES, or a gap letter alone when the side is not told.

    >>> read_hole("4"), read_hole("Left C"), read_hole("B gap"), read_hole("left tackle")
    ('right B', 'left C', 'B', 'left C')
    """
    number = _whole(cell)
    if number in _HOLES:
        return _HOLES[number]
    words = [word for word in _words(cell) if word not in ("gap", "hole", "the", "off", "around", "up")]
    side = next((name for name, spelled in (("left", _LEFT), ("right", _RIGHT)) if set(words) & spelled), "")
    letter = next((word.upper() for word in words if word in ("a", "b", "c", "d", "e")), "")
    letter = letter or next((_BY_MAN[word] for word in words if word in _BY_MAN), "")
    if words == ["middle"] or words == ["center"] or words == ["centre"]:
        return "middle"
    if letter and len(words) <= 2:
        return f"{side} {'D' if letter == 'E' else letter}".strip()
    raise CellError("a hole from 0 to 9, or a gap such as right B", cell)


def read_gain(cell: str) -> int:
    """Returns whole yards gained; half a yard counts as the whole yards before it.

    >>> read_gain("+4"), read_gain("-2"), read_gain("(3)"), read_gain("no gain"), read_gain("3.5")
    (4, -2, -3, 0, 3)
    """
    text = re.sub(r"\s*(yards|yard|yds|yd)\.?$", "", cell.casefold())
    if text in ("no gain", "ng", "even"):
        return 0
    bracket = re.fullmatch(r"\((\d{1,2})\)", text)
    gain = -int(bracket[1]) if bracket else _half(text)
    if gain is None or not -99 <= gain <= 109:
        raise CellError("yards gained, -99 to 109", cell)
    return int(gain)


def read_points(cell: str) -> int:
    """Returns a team's points."""
    points = _whole(cell)
    if points is None or not 0 <= points <= 150:
        raise CellError("points, 0 to 150", cell)
    return points


def read_margin(cell: str) -> int:
    """Returns how many points the offense is ahead, negative when behind.

    >>> read_margin("+7"), read_margin("-3"), read_margin("14-7"), read_margin("10 : 17"), read_margin("tied")
    (7, -3, 7, -7, 0)
    """
    text = cell.casefold().strip()
    if text in ("tied", "tie", "even", "level"):
        return 0
    both = re.fullmatch(r"(\d{1,3})\s*[-–:/]\s*(\d{1,3})", text)
    margin = int(both[1]) - int(both[2]) if both else _whole(text)
    if margin is None or not -150 <= margin <= 150:
        raise CellError("points ahead such as 7 or −3, or a score such as 14-7", cell)
    return margin


UNITS = {"O": "offense", "D": "defense", "K": "kicking"}
_UNITS = {
    "O": _set("o|off|offense|offence|offensive"),
    "D": _set("d|def|defense|defence|defensive"),
    "K": _set("k|s|st|kick|kicks|kicking|special|special teams|kicking game"),
}


def read_unit(cell: str) -> str:
    """Returns O, D or K: whether the team that charts was on offense, on defense or in the kicking game.

    >>> read_unit("Off."), read_unit("d"), read_unit("ST")
    ('O', 'D', 'K')
    """
    text = " ".join(cell.casefold().replace(".", "").split())
    found = next((unit for unit, spelled in _UNITS.items() if text in spelled), "")
    if not found:
        raise CellError("O, D or K (offense, defense, kicking)", cell)
    return found


def read_words(cell: str) -> str:
    """Returns the staff's words with single spaces, at most 80 characters."""
    text = " ".join(cell.split())
    if len(text) > 80:
        raise CellError("at most 80 characters", cell)
    return text


READERS: dict[str, Callable[[str], object]] = {
    "down": read_down,
    "distance": read_distance,
    "down_distance": read_down_distance,
    "yard_line": lambda cell: read_yard_line(
        cell, YardStyle.FROM_OWN_GOAL if (_whole(cell) or 0) > 50 else YardStyle.SIGNED, team="?"
    ),
    "hash": read_hash,
    "quarter": read_quarter,
    "clock": read_clock,
    "personnel": read_personnel,
    "formation": read_words,
    "strength": read_side,
    "backfield": read_words,
    "motion": read_words,
    "play_type": read_play_type,
    "concept": read_words,
    "direction": read_direction,
    "hole": read_hole,
    "gain": read_gain,
    "result": read_words,
    "our_call": read_words,
    "margin": read_margin,
    "points": read_points,
    "points_against": read_points,
    "game": read_words,
    "unit": read_unit,
    "offense": read_words,
    "half": lambda cell: read_half(cell, "?" if re.fullmatch(r"[A-Za-z]{2,4}", cell) else ""),
}
