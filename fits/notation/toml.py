"""Systems as TOML text: one rule a line, so that a person can read, reorder and compare them."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

from fits.errors import FileError

# The shipped files have up to 25,000 characters, no dotted keys, and rows two deep.
MOST_CHARACTERS = 1_000_000
MOST_DEEP = 8  # brackets within brackets
MOST_DOTS = 2  # in one key
MOST_DOTTED = 1_000  # dotted keys in a file: the parser pays about a kilobyte for every part of one
MOST_KEYS = 40_000
MOST_TABLES = 20_000

_MARKS = re.compile(
    r"""
    \"{3}(?:[^\\"]|\\.|"(?!""))*+(?:"{3})?  |  '{3}(?:[^']|'(?!''))*+(?:'{3})?
    | "(?:[^\\"\n]|\\.)*+"?  |  '[^'\n]*+'?  |  \#[^\n]*+
    | (?P<long>[\w+-]{400})  | (?P<mark>[\[\]{}=,.\n])
    """,
    re.VERBOSE | re.DOTALL,
)


def measure_toml(text: str, where: str) -> None:
    """Nothing, for a text that is fit to be parsed: not too long, too deep or in too many parts.

    Only within these limits do time and memory of parsing grow with the text's length: endless dotted keys cost the
    parser the square of their number. Raises FileError with the line.
    """
    if len(text) > MOST_CHARACTERS:
        raise FileError(where, "file", f"at most {MOST_CHARACTERS:,} characters", len(text))
    deep = dots = dotted = keys = tables = 0

    def refuse(expected: str) -> FileError:
        return FileError(where, "syntax", expected, line=text.count("\n", 0, found.start()) + 1)

    for found in _MARKS.finditer(text):
        mark = found["mark"]
        if found["long"]:
            raise refuse("keys and numbers of at most 400 characters")
        if mark == ".":
            dots += 1
            at = found.start()
            dotted += not (dots == 1 and text[at - 1 : at].isdigit() and text[at + 1 : at + 2].isdigit())  # a number
            if dots > MOST_DOTS or dotted > MOST_DOTTED:
                raise refuse(f"keys with at most {MOST_DOTS} dots, and {MOST_DOTTED:,} dotted keys")
        elif mark:
            dots = 0
            if mark in "[{":
                deep += 1
                tables += 1
            elif mark in "]}":
                deep -= 1
            keys += mark == "="
            if deep > MOST_DEEP:
                raise refuse(f"lists and tables at most {MOST_DEEP} deep")
            if keys > MOST_KEYS or tables > MOST_TABLES:
                raise refuse(f"at most {MOST_KEYS:,} keys and {MOST_TABLES:,} lists and tables")


def read_toml(text: str, where: str) -> dict[str, Any]:
    """The tables of a TOML text. Raises FileError with the line."""
    import tomllib  # slow to import, and only for who reads a file

    measure_toml(text, where)
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        found = re.search(r"\(at line (\d+)", str(error))
        line = int(found[1]) if found else text.count("\n") + 1
        raise FileError(where, "syntax", "a readable TOML file", str(error), line) from None
    except (ValueError, RecursionError) as error:  # a number too long to read, brackets too deep
        raise FileError(where, "syntax", f"a readable TOML file ({error})") from None


def with_line(error: FileError, text: str) -> FileError:
    """The same error with the line its value stands on, when that can be found."""
    if error.line is not None:
        return error
    rows = text.splitlines()
    wanted = [re.escape(json.dumps(str(error.got), ensure_ascii=False))] if isinstance(error.got, str) else []
    name = re.search(r"'([^']+)'", error.key)
    start = 0
    if name:
        quoted = json.dumps(name[1], ensure_ascii=False)
        start = next((i for i, r in enumerate(rows) if r.strip().startswith("name") and quoted in r), 0)
    for pattern in wanted:
        for i, row in enumerate(rows[start:], start + 1):
            if re.search(pattern, row):
                return FileError(error.where, error.key, error.expected, error.got, i)
    return FileError(error.where, error.key, error.expected, error.got, start + 1) if start else error


def format_toml(data: Mapping[str, Any]) -> str:
    """TOML text of tables, arrays of tables and lists of rows; `read_toml` gives the same data back."""
    out: list[str] = []
    for key, value in data.items():
        if isinstance(value, Mapping):
            out += [f"[{key}]", *_table(value), ""]
        else:
            for item in value:
                out += [f"[[{key}]]", *_table(item), ""]
    return "\n".join(out)


def _table(item: Mapping[str, Any]) -> list[str]:
    out = []
    for key, value in item.items():
        if isinstance(value, list) and value and isinstance(value[0], Mapping):
            out.append(f"{key} = [")
            out += ["  { " + ", ".join(f"{k} = {_value(v)}" for k, v in row.items()) + " }," for row in value]
            out.append("]")
        else:
            out.append(f"{key} = {_value(value)}")
    return out


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, list):
        return "[" + ", ".join(_value(v) for v in value) + "]"
    return repr(value)
