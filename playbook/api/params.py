"""Query parameters: declared once, read strictly, and written into the schema."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet
from rest_framework.exceptions import ValidationError
from rest_framework.filters import BaseFilterBackend
from rest_framework.request import Request

LARGEST = 2**63 - 1


@dataclass(frozen=True, slots=True)
class Param:
    """A query parameter. `kind` is int, bool or str; `choices` limits text; `many` lets it stand several times."""

    name: str
    kind: type = str
    description: str = ""
    choices: tuple[str, ...] = ()
    required: bool = False
    many: bool = False
    least: int = 1
    most: int = LARGEST
    lookup: str = ""

    def schema(self) -> dict[str, Any]:
        """Returns the parameter as OpenAPI has it."""
        value: dict[str, Any] = {"type": {int: "integer", bool: "boolean", str: "string"}[self.kind]}
        if self.kind is int:
            value |= {"minimum": self.least, "maximum": self.most}
        if self.choices:
            value["enum"] = list(self.choices)
        if self.kind is str and not self.choices:
            value |= {"minLength": 1, "maxLength": 200, "pattern": r"^[^\x00]*$"}
        if self.many:
            value = {"type": "array", "items": value}
        out = {"name": self.name, "in": "query", "required": self.required, "schema": value}
        return out | {"description": self.description} if self.description else out

    def read(self, text: str) -> Any:
        """Returns the value. Raises ValidationError."""
        if self.kind is int:
            if not re.fullmatch(r"-?[0-9]{1,19}", text) or not self.least <= int(text) <= self.most:
                raise self._expected(f"a whole number from {self.least} to {self.most}", text)
            return int(text)
        if self.kind is bool:
            if text not in ("true", "false"):
                raise self._expected("true or false", text)
            return text == "true"
        if self.choices and text not in self.choices:
            raise self._expected(f"one of {', '.join(self.choices)}", text)
        if not 1 <= len(text) <= 200 or "\0" in text:
            raise self._expected("text of 1 to 200 characters", text)
        return text

    def _expected(self, what: str, came: str) -> ValidationError:
        return ValidationError({self.name: [f"Expected {what}, got {came[:80]!r}."]}, code="invalid")


def read_params(request: Request, params: Iterable[Param]) -> dict[str, Any]:
    """Returns the values that were given, by name. Raises ValidationError, for names that are not declared too."""
    known = {param.name: param for param in params}
    for name in request.query_params:
        if name not in known:
            told = f"Expected one of {', '.join(known)}." if known else "No parameters are expected here."
            raise ValidationError({name: [f"This parameter is not known. {told}"]}, code="unknown")
    out: dict[str, Any] = {}
    for name, param in known.items():
        given = request.query_params.getlist(name)
        if param.required and not given:
            raise ValidationError({name: ["This parameter is required."]}, code="required")
        if len(given) > 1 and not param.many:
            raise ValidationError({name: ["Expected once."]}, code="invalid")
        if given:
            values = [param.read(text) for text in given]
            out[name] = values if param.many else values[0]
    return out


class Filters(BaseFilterBackend):
    """Filters a list by the view's `filters`, a tuple of Param; `lookup` is the field when it has another name."""

    def filter_queryset(self, request: Request, queryset: QuerySet[Any], view: Any) -> QuerySet[Any]:
        """Returns the rows asked for. Raises ValidationError."""
        if view.action != "list":
            return queryset
        params = {param.name: param for param in view.filters}
        given = read_params(request, (*view.filters, *view.paginator.params))
        wanted = {params[name].lookup or name: value for name, value in given.items() if name in params}
        return queryset.filter(**wanted)

    def get_schema_operation_parameters(self, view: Any) -> list[dict[str, Any]]:
        """Returns the filters as OpenAPI has them."""
        return [param.schema() for param in getattr(view, "filters", ())]
