"""How lists are cut into pages."""

from __future__ import annotations

from typing import Any

from rest_framework.pagination import PageNumberPagination
from rest_framework.request import Request

from playbook.api.params import Param, read_params


class Pages(PageNumberPagination):
    """Fifty to a page, `?page_size=` up to two hundred."""

    page_size = 50
    page_size_query_param = "page_size"
    max_page_size = 200
    params = (
        Param("page", int, "Which page, from 1.", most=1_000_000),
        Param("page_size", int, "Rows to a page.", most=max_page_size),
    )

    def get_page_size(self, request: Request) -> int:
        """Returns how many rows make a page. Raises ValidationError."""
        allowed = (*getattr(request.parser_context["view"], "filters", ()), *self.params)
        return read_params(request, allowed).get("page_size", self.page_size)  # type: ignore[no-any-return]

    def get_schema_operation_parameters(self, view: Any) -> list[dict[str, Any]]:
        """Returns the paging parameters as OpenAPI has them."""
        return [param.schema() for param in self.params]
