"""Systems as TOML text: one rule a line, so that a person can read, reorder and compare them."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Mapping
from typing import Any

from fits.errors import FileError


def read_toml(text: str, where: str) -> dict[str, Any]:
    """The tables of a TOML text. Raises FileError with the line."""
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
