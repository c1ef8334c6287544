"""What the API answers when it cannot do what was asked: one shape, a sentence, and the keys it is about.

400 the request does not have the shape of the schema; 422 it has, but the engine or the database refuses what it says;
409 somebody saved first (`current` is the row as it is now); 401, 403, 404 as usual.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.apps import apps
from django.core.exceptions import SuspiciousOperation
from django.db import DataError, IntegrityError, models, transaction
from django.db.models import ProtectedError
from rest_framework import serializers
from rest_framework.exceptions import ErrorDetail, ValidationError
from rest_framework.response import Response
from rest_framework.views import exception_handler

import fits
from playbook.models import StaleVersion
from playbook.system.services import Refused

OF_SHAPE = {
    "required", "null", "invalid", "max_length", "min_length", "max_value", "min_value", "invalid_choice", "not_a_list",
    "not_a_dict", "empty", "incorrect_type", "parse_error", "unknown", "not_a_string",
}  # fmt: skip


class Problem(serializers.Serializer):
    """What went wrong."""

    detail = serializers.CharField(help_text="A sentence for a person.")
    errors = serializers.DictField(
        child=serializers.ListField(child=serializers.CharField()),
        required=False,
        help_text="What was expected, by key.",
    )
    current = serializers.JSONField(
        required=False, help_text="With 409: the row as somebody else saved it, null when it was deleted."
    )


def handle(error: Exception, context: dict[str, Any]) -> Response | None:
    """Returns the answer to an error, or none for a fault of ours."""
    if isinstance(error, StaleVersion):
        return _conflict(error, context)
    if isinstance(error, Refused):
        return _refused(error.text, error.field)
    if isinstance(error, fits.FileError):
        came = f", got {error.came}" if error.came else ""
        return _refused(f"{error.key}: expected {error.expected}{came}", error.key)
    if isinstance(error, fits.FitsError):
        return _refused(str(error))
    if isinstance(error, SuspiciousOperation):  # such as a body that is too big to read
        return Response({"detail": str(error)}, status=400)
    response = exception_handler(error, context)
    if response is not None and isinstance(error, ValidationError):
        response = _invalid(error, response)
    return response


def _conflict(error: StaleVersion, context: dict[str, Any]) -> Response:
    current = context["view"].get_serializer(error.current).data if error.current else None
    return Response({"detail": "Somebody else changed this since you read it.", "current": current}, status=409)


def _refused(text: str, key: str = "") -> Response:
    return Response({"detail": text, "errors": {key: [text]} if key else {}}, status=422)


def _invalid(error: ValidationError, response: Response) -> Response:
    errors = dict(_flat(error.detail))
    codes = {getattr(item, "code", "invalid") for items in errors.values() for item in items}
    told = "; ".join(f"{key}: {items[0]}" if key else str(items[0]) for key, items in errors.items())
    response.data = {"detail": told, "errors": {key: [str(item) for item in items] for key, items in errors.items()}}
    response.status_code = 400 if codes & OF_SHAPE else 422
    return response


def _flat(detail: Any, key: str = "") -> Iterator[tuple[str, list[ErrorDetail]]]:
    """Yields each key, such as players[3].x, with its errors."""
    if isinstance(detail, dict):
        for name, inner in detail.items():
            place = f"[{name}]" if isinstance(name, int) else (f".{name}" if key else str(name))
            yield from _flat(inner, key if name == "non_field_errors" else f"{key}{place}")
    elif isinstance(detail, list) and any(isinstance(item, dict | list) for item in detail):
        for at, inner in enumerate(detail):
            yield from _flat(inner, f"{key}[{at}]")
    elif isinstance(detail, list):
        if detail:
            yield key, detail
    else:
        yield key, [detail]


@contextmanager
def writing() -> Iterator[None]:
    """Makes all writes inside stand or fall together. Raises Refused with words for what the database refuses."""
    try:
        with transaction.atomic():
            yield
    except ProtectedError as error:
        names = ", ".join(sorted({str(row) for row in error.protected_objects}))
        raise Refused(f"It is still used by {names}. Take it out there first.") from error
    except IntegrityError as error:
        raise Refused(*_database_words(error)) from error
    except DataError as error:
        raise Refused("A value is out of the range that can be kept.") from error


def _database_words(error: IntegrityError) -> tuple[str, str]:
    """Returns a sentence and the field it is about."""
    name = str(getattr(getattr(error.__cause__, "diag", None), "constraint_name", "") or "")
    for model in apps.get_app_config("playbook").get_models():
        for constraint in model._meta.constraints:
            if constraint.name == name:
                return _constraint_words(model, constraint)
    return f"The database refuses this ({name.replace('_', ' ') or 'no reason given'}).", ""


def _constraint_words(model: type[models.Model], constraint: models.BaseConstraint) -> tuple[str, str]:
    if isinstance(constraint, models.UniqueConstraint):
        return f"There is one already with the same {', '.join(constraint.fields)}.", constraint.fields[-1]
    field = next((f.name for f in model._meta.fields if re.search(rf"_{f.name}(_|$)", constraint.name)), "")
    return f"The database refuses this: {constraint.name.replace('_', ' ')}.", field
