"""Lists of rows and single rows: read by everyone as far as it is theirs, written by staff."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.http import Http404
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import viewsets
from rest_framework.decorators import action
from rest_framework.exceptions import ValidationError
from rest_framework.request import Request
from rest_framework.response import Response

from playbook import access
from playbook.api import queries, serializers, services
from playbook.api.params import LARGEST, Param, read_params
from playbook.api.problems import writing
from playbook.system.services import carry_out

VERSION = Param("version", int, "The version you read.", required=True, least=0)
ID = OpenApiParameter("id", {"type": "integer", "minimum": 1, "maximum": LARGEST}, OpenApiParameter.PATH)


def parameter(param: Param) -> OpenApiParameter:
    """Returns the parameter for drf-spectacular."""
    schema = param.schema()
    return OpenApiParameter(
        param.name, schema["schema"], OpenApiParameter.QUERY, required=param.required, description=param.description
    )


class Reads(viewsets.GenericViewSet):
    """Rows to read."""

    rows: Any = None
    filters: tuple[Param, ...] = ()
    inner: tuple[tuple[type[Any], str], ...] = ()
    lock_field = "version"

    def get_queryset(self) -> Any:
        """Returns the rows this person may read."""
        if getattr(self, "swagger_fake_view", False):
            return self.rows.all()
        return access.visible(self.request.user, self.rows.all())

    def get_object(self) -> Any:
        """Returns the row. Raises Http404."""
        if not self.kwargs["pk"].isascii() or not self.kwargs["pk"].isdigit() or int(self.kwargs["pk"]) > LARGEST:
            raise Http404
        return super().get_object()

    def list(self, request: Request) -> Response:
        """Answers with a page of rows."""
        page = self.paginate_queryset(self.filter_queryset(self.get_queryset()))
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    @extend_schema(parameters=[ID])
    def retrieve(self, request: Request, pk: str) -> Response:
        """Answers with one row."""
        return Response(self.get_serializer(self.get_object()).data)

    @extend_schema(parameters=[ID], responses=serializers.Happening(many=True), filters=False)
    @action(detail=True, filter_backends=[], permission_classes=[access.StaffOnly])
    def history(self, request: Request, pk: str) -> Response:
        """Answers with every kept change of a row, newest first; of a deleted one too."""
        if not pk.isascii() or not pk.isdigit() or int(pk) > LARGEST:
            raise Http404
        found = queries.history(self.rows.model, int(pk), self.inner)
        if not found:
            raise Http404
        page = self.paginate_queryset(found)
        return self.get_paginated_response(serializers.Happening(page, many=True).data)


class Rows(Reads):
    """Rows to read and write."""

    parents: tuple[str, ...] = ()
    locks = True

    def keep(self, row: Any, values: dict[str, Any], write: Callable[[], Any]) -> Any:
        """Carries out a write, whole or not at all."""
        with writing():
            return write()

    def add(self, values: dict[str, Any]) -> Any:
        """Makes a row."""
        return services.add(self.rows.model, values, self.parents)

    def change(self, row: Any, seen: int, values: dict[str, Any]) -> Any:
        """Changes a row."""
        services.change(row, seen, values, self.parents)
        return row

    def remove(self, row: Any, seen: int) -> None:
        """Deletes a row."""
        services.remove(row, seen, self.lock_field)

    def create(self, request: Request) -> Response:
        """Adds a row."""
        serializer = self.get_serializer(data=request.data)
        serializer.is_valid(raise_exception=True)
        values = serializer.validated_data
        made = self.keep(None, values, lambda: self.add(values))
        return Response(self.get_serializer(self.rows.get(pk=made.pk)).data, status=201)

    @extend_schema(parameters=[ID])
    def partial_update(self, request: Request, pk: str) -> Response:
        """Changes a row, if nobody did since `version`."""
        row = self.get_object()
        seen = _version(request.data)
        serializer = self.get_serializer(row, data=request.data, partial=True)
        serializer.is_valid(raise_exception=True)
        values = serializer.validated_data
        self.keep(row, values, lambda: self.change(row, seen, values))
        return Response(self.get_serializer(self.rows.get(pk=row.pk)).data)

    @extend_schema(parameters=[ID, parameter(VERSION)], responses={204: None})
    def destroy(self, request: Request, pk: str) -> Response:
        """Deletes a row, if nobody changed it since `version`."""
        row = self.get_object()
        seen = read_params(request, [VERSION])["version"]
        self.keep(row, {}, lambda: self.remove(row, seen))
        return Response(status=204)


def _version(data: Any) -> int:
    seen = data.get("version") if isinstance(data, dict) else None
    if isinstance(seen, float) and seen % 1 == 0:
        seen = int(seen)
    if isinstance(seen, bool) or not isinstance(seen, int) or not 0 <= seen <= LARGEST:
        raise ValidationError({"version": ["Expected the version you read, a whole number."]}, code="invalid")
    return seen


class SystemRows(Rows):
    """Rows of a system: the engine must be able to read the system after every write."""

    parents = ("system",)

    def keep(self, row: Any, values: dict[str, Any], write: Callable[[], Any]) -> Any:
        """Carries out a write if the engine takes the system it makes."""
        with writing():
            return carry_out(self.system_of(row, values), write)

    def system_of(self, row: Any, values: dict[str, Any]) -> Any:
        """Returns the system that a row is or will be in."""
        return row.system if row is not None else values["system"]


class RuleRows(SystemRows):
    """Rules of fronts and coverages."""

    parents = ("front", "coverage")

    def system_of(self, row: Any, values: dict[str, Any]) -> Any:
        """Returns the system that a rule is or will be in."""
        owners = [getattr(row, name, None) if row is not None else values.get(name) for name in self.parents]
        return next(owner for owner in owners if owner is not None).system


class EntryRows(Rows):
    """Entries of the offense, written whole and proven by the engine."""

    lock_field = "revision"

    def add(self, values: dict[str, Any]) -> Any:
        """Makes an entry."""
        return services.add_entry(self.rows.model, values)

    def change(self, row: Any, seen: int, values: dict[str, Any]) -> Any:
        """Changes an entry."""
        return services.change_entry(row, seen, values)
