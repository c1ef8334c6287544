"""Cells of a chart read as values: every usual spelling, and a reason when a cell cannot be read.

Spellings are common practice. A cell that says nothing ("", "-", "n/a", "null") reads as None.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from enum import Enum
from functools import lru_cache

from .errors import CellError


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split("|"))


_BLANK = _set("|-|--|---|–|—|?|??|n/a|na|#n/a|null|(null)|nan|nil|none|\\n|#value!|#ref!|.|tbd|unknown")


class YardStyle(Enum):
    """How a bare number in the yard-line column is meant."""

    SIGNED = "signed"  # -35 is their own 35, 35 is our 35
    FROM_OWN_GOAL = "from own goal"  # 1 to 99
    TO_GOAL = "to goal"  # 99 to 1


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

    >>> read_distance("10+"), read_distance("inches"), read_distance("G")
    (10, 1, 0)
    """
    text = cell.casefold().rstrip(".+ ")
    if text in ("g", "goal", "gl", "to goal"):
        return GOAL
    if text in ("inches", "inch", "in", "<1", "1/2", "½"):
        return 1
    distance = _whole(re.sub(r"\s*(yards|yard|yds|yd)$", "", text))
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
    r"(\d{1,2})(?:[.,]0+)?\s*(own|opp|yd|yard|yards)?(?:\s*line)?"
)


def read_yard_line(cell: str, style: YardStyle = YardStyle.SIGNED) -> int:
    """Returns yards from the offense's own goal line, 1 to 99.

    >>> read_yard_line("-35"), read_yard_line("opp 20"), read_yard_line("+20")
    (35, 80, 80)
    >>> read_yard_line("72", YardStyle.FROM_OWN_GOAL)
    72
    """
    text = cell.casefold().strip()
    match = _YARD_LINE.fullmatch(text)
    number = int(match[2]) if match else 0
    side = (match[1] or match[3] or "") if match else ""
    if side in ("own", "o", "my", "minus", "-", "−", "–") and 1 <= number <= 50:
        return number
    if side in ("opp", "opponent", "opponents", "their", "theirs", "plus", "+") and 1 <= number <= 50:
        return 100 - number
    bare = side in ("", "yd", "yard", "yards", "+")
    if bare and style is YardStyle.SIGNED and 1 <= number <= 50:
        return 100 - number
    if bare and style is YardStyle.FROM_OWN_GOAL and 1 <= number <= 99:
        return number
    if bare and style is YardStyle.TO_GOAL and 1 <= number <= 99:
        return 100 - number
    wanted = {
        YardStyle.SIGNED: "a yard line: −1 to −49 own, 50, 49 to 1 theirs (or own 35, opp 20)",
        YardStyle.FROM_OWN_GOAL: "a yard line from 1 to 99, counted from their own goal",
        YardStyle.TO_GOAL: "a yard line from 99 to 1, counted to the goal they attack",
    }
    raise CellError(wanted[style], cell)


def guess_yard_style(cells: list[str]) -> YardStyle:
    """Returns how bare numbers of a yard-line column are most likely meant."""
    numbers = [number for cell in cells if (number := _whole(cell)) is not None]
    if any(number < 0 for number in numbers) or not any(number > 50 for number in numbers):
        return YardStyle.SIGNED
    return YardStyle.FROM_OWN_GOAL


_LEFT, _RIGHT = _set("l|lt|left|lft|lh"), _set("r|rt|right|rgt|rh")
_MIDDLE = _set("m|mid|middle|c|center|centre|mof|mm")


def read_hash(cell: str) -> str:
    """Returns left, middle or right.

    >>> read_hash("L"), read_hash("Mid"), read_hash("right hash")
    ('left', 'middle', 'right')
    """
    words = [word for word in _words(cell) if word not in ("hash", "h", "of", "the", "field")]
    if len(words) == 1:
        for side, spelled in (("left", _LEFT), ("right", _RIGHT), ("middle", _MIDDLE)):
            if words[0] in spelled:
                return side
    raise CellError("a hash: L, M or R", cell)


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


def read_clock(cell: str) -> int:
    """Returns the seconds left in the quarter.

    >>> read_clock("9:05"), read_clock("12:34:00"), read_clock(":34")
    (545, 754, 34)
    """
    match = re.fullmatch(r"(?:0{1,2}:)?(\d{0,2}):(\d\d)(?::00)?", cell) or re.fullmatch(r"(\d{1,2})(\d\d)", cell)
    if match:
        minutes, seconds = int(match[1] or 0), int(match[2])
        if seconds < 60 and minutes * 60 + seconds <= 15 * 60:
            return minutes * 60 + seconds
    raise CellError("time left in the quarter, 15:00 to 0:00", cell)


# --- the offense ----------------------------------------

_COUNTED = {
    "back": r"(?:rbs?|hbs?|tbs?|backs?|running backs?|b)",
    "fullback": r"(?:fbs?|fullbacks?)",
    "tight end": r"(?:tes?|tight ends?|t)",
    "receiver": r"(?:wrs?|wideouts?|wide receivers?|receivers?|w)",
    "line": r"(?:ols?|linemen|offensive linemen)",
    "quarterback": r"(?:qbs?|quarterbacks?)",
}


def read_personnel(cell: str) -> str:
    """Returns two digits (backs, tight ends), or the staff's own word when there is no number in it.

    >>> read_personnel("1 RB, 1 TE, 3 WR"), read_personnel("12p"), read_personnel("Heavy")
    ('11', '12', 'Heavy')
    """
    text = cell.casefold()
    if not re.search(r"\d", text):
        return cell
    counted = dict.fromkeys(_COUNTED, 0)
    spelled = re.sub(r"[,;/&+()]| and ", " ", text)
    for kind, pattern in _COUNTED.items():
        for match in re.finditer(rf"(\d)\s*{pattern}(?![a-z])", spelled):
            counted[kind] += int(match[1])
    if counted["back"] + counted["fullback"] + counted["tight end"] + counted["receiver"] > 1:
        return _counted_personnel(counted, spelled, cell)
    match = re.match(r"\D{0,12}?(\d{1,2})(?:\.0)?(?!\d)", text)
    # A spreadsheet drops the first 0 of 01 and 00.
    digits = f"{int(match[1]):02}" if match and len(re.findall(r"\d+", text.replace(".0", ""))) == 1 else ""
    if not digits or int(digits[0]) + int(digits[1]) > 5 or int(digits[0]) > 3:
        raise CellError("personnel such as 11, 12p or 1 RB, 1 TE, 3 WR (backs and tight ends at most 5)", cell)
    return digits


def _counted_personnel(counted: dict[str, int], spelled: str, cell: str) -> str:
    backs, ends = counted["back"] + counted["fullback"], counted["tight end"]
    extra = max(0, counted["line"] - 5)
    told_receivers = re.search(r"\d\s*(?:w|rec)", spelled) is not None
    total = backs + ends + counted["receiver"] + extra
    if (told_receivers and total + max(0, counted["quarterback"] - 1) != 5) or backs + ends > 5:
        raise CellError(f"five backs, tight ends and receivers in all, counted {total}", cell)
    return f"{backs}{ends}"


def read_side(cell: str) -> str:
    """Returns the side of a formation's strength: left, right or balanced."""
    words = set(_words(cell)) - {"strong", "strength", "side"}
    for side, spelled in (
        ("left", _LEFT),
        ("right", _RIGHT),
        ("balanced", {"balanced", "bal", "even", "b", "e"}),
    ):
        if words and words <= spelled:
            return side
    raise CellError("the side of the formation's strength: L, R or balanced", cell)


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
    "bootleg|passing|quick|sprint out|pass play|complete|incomplete|interception"
)
_NOT_COUNTED = {
    "a kick": _set(
        "k|ko|kick|kickoff|kick off|punt|fg|field goal|xp|pat|extra pt|extra point|"
        "ko rec|kickoff return|punt return|punt rec|onside kick|special teams|st|fg block"
    ),
    "no play": {"penalty", "no play", "pen", "timeout", "time out", "dead ball", "np"},
    "a kneel or spike": _set("kneel|knee|kneel down|kneeldown|spike|victory|take a knee|qb kneel|qb spike"),
    "a two-point try": _set("2pt|2 pt|two point|two-point|2pt conv|two-point conversion|2 pt conv"),
}


class NotCounted(ValueError):
    """A row that is read but is neither a run nor a pass; the text says what it is."""


def read_play_type(cell: str) -> str:
    """Returns run, pass or rpo. Raises NotCounted for kicks, penalties and kneels, CellError for the rest.

    >>> read_play_type("Rush"), read_play_type("PA"), read_play_type("RPO")
    ('run', 'pass', 'rpo')
    """
    text = " ".join(cell.casefold().replace("_", " ").split())
    for what, spelled in _NOT_COUNTED.items():
        if text in spelled:
            raise NotCounted(what)
    if text in _RUN:
        return "run"
    if text in _PASS:
        return "pass"
    if text in ("rpo", "run-pass option", "run pass option"):
        return "rpo"
    words = set(re.findall(r"[a-z]+", text))
    if (words & {"run", "rush"}) and not words & {"pass"}:
        return "run"
    if (words & {"pass", "screen", "sack"}) and not words & {"run", "rush"}:
        return "pass"
    raise CellError("run or pass (R, P, Run, Pass, RPO, ...)", cell)


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
    "field": {"field", "f", "fld", "wide", "wide side", "to field", "to the field", "field side"},
    "boundary": _set("boundary|b|bnd|bdy|short|short side|to boundary|into boundary|to the boundary|boundary side"),
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
    """Returns yards gained.

    >>> read_gain("+4"), read_gain("-2"), read_gain("(3)"), read_gain("no gain")
    (4, -2, -3, 0)
    """
    text = re.sub(r"\s*(yards|yard|yds|yd)\.?$", "", cell.casefold())
    if text in ("no gain", "ng", "even"):
        return 0
    bracket = re.fullmatch(r"\((\d{1,2})\)", text)
    gain = -int(bracket[1]) if bracket else _whole(text)
    if gain is None or not -99 <= gain <= 109:
        raise CellError("whole yards gained, -99 to 109", cell)
    return gain


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
        cell, YardStyle.FROM_OWN_GOAL if _whole(cell) and _whole(cell) > 50 else YardStyle.SIGNED
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
    "game": read_words,
}
