"""Bodies of requests: JSON, measured before it is parsed."""

from __future__ import annotations

import re
from io import BytesIO
from typing import Any

from django.conf import settings
from rest_framework.exceptions import ParseError
from rest_framework.parsers import JSONParser

from playbook.system.services import Refused
from playbook.text import trouble_with

MOST_DEEP = 12  # the deepest body there is, a concept's cast, has 4
MOST_VALUES = 50_000
_STRING = re.compile(r'"(?:[^"\\]|\\.)*+"?', re.S)


class MeasuredJSON(JSONParser):
    """JSON that is not too long, too deep or too many values, in text that can be kept."""

    def parse(self, stream: Any, media_type: str | None = None, parser_context: Any = None) -> Any:
        """Returns the values. Raises ParseError, before anything is built of a body that is too much; Refused."""
        most = settings.DATA_UPLOAD_MAX_MEMORY_SIZE
        raw = stream.read(most + 1)
        if len(raw) > most:
            raise ParseError(f"Expected at most {most:,} bytes.")
        try:
            text = raw.decode((parser_context or {}).get("encoding", "utf-8"))
        except (UnicodeDecodeError, LookupError) as error:
            raise ParseError(f"Expected JSON in UTF-8 ({error}).") from error
        _measure(text)
        found = super().parse(BytesIO(raw), media_type, parser_context)
        _refuse_text(found)
        return found


def _measure(text: str) -> None:
    bare = _STRING.sub("", text)
    values = bare.count(",") + bare.count("[") + bare.count("{")
    if values > MOST_VALUES:
        raise ParseError(f"Expected at most {MOST_VALUES:,} values.")
    deep = 0
    for mark in re.findall(r"[\[\]{}]", bare):
        deep += 1 if mark in "[{" else -1
        if deep > MOST_DEEP:
            raise ParseError(f"Expected lists and objects at most {MOST_DEEP} deep.")


def _refuse_text(value: Any, key: str = "") -> None:
    """Raises Refused for text that cannot be kept, beside its key, such as cast[0].part."""
    if isinstance(value, str) and (trouble := trouble_with(value)):
        raise Refused(f"Expected {trouble}.", key)
    if isinstance(value, dict):
        for name, inner in value.items():
            _refuse_text(name, key)
            _refuse_text(inner, f"{key}.{name}" if key else name)
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            _refuse_text(inner, f"{key}[{number}]")
