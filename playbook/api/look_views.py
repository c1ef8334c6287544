"""Looks derived on demand: as the engine's JSON, and as a drawing."""

from __future__ import annotations

from django.http import HttpResponse
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

import fits
from fits.draw.svg import draw_look
from playbook import access
from playbook.api import queries
from playbook.api.look_shape import LOOK
from playbook.api.params import Param, read_params
from playbook.api.row_views import parameter
from playbook.looks.queries import derive, known_look
from playbook.looks.specs import surroundings

LOOK_PARAMS = (
    Param("call", required=True, description="A call by name."),
    Param("formation", required=True, description="A formation by name."),
    Param("concept", required=True, description="A run concept by name."),
    Param("system", description="The call's system by name; needed when several have a call of that name."),
    Param("opponent", int, "Whose own formations, concepts, motions and options come before the library's."),
    Param("to", choices=("left", "right"), description="Left out, the concept's own rule decides."),
    Param("flip", bool, "Mirror the formation."),
    Param("hash", choices=("left", "middle", "right"), description="Where the ball is; the middle when left out."),
    Param("motion", description="A motion or shift by name."),
    Param("back", choices=("strong", "weak"), description="Where the only back stands; as drawn when left out."),
    Param("yard_line", int, "Yards to the goal line they attack; midfield when left out.", most=99),
    Param("pressure", description="A pressure of the call's system by name."),
    Param("week", int, "Whose looks may come as well, and whose season's rule book goes; the latest that expects it."),
    Param("with", many=True, description="An option by name; repeatable."),
    Param("first_step", many=True, description="ROLE=STEP, such as RG=in: another first step of that man; repeatable."),
)
DRAW_PARAMS = (
    *LOOK_PARAMS,
    Param("role", description="The man who comes first in the drawing, with his key."),
    Param("up", choices=("offense", "defense"), description="The unit that plays up the page."),
)


class DeriveLook(APIView):
    """A look, derived and proven now from the rules as they are."""

    permission_classes = (access.StaffOnly,)
    derives = True

    @extend_schema(
        operation_id="looks_derive",
        parameters=[parameter(p) for p in LOOK_PARAMS],
        responses={200: LOOK},
        tags=["looks"],
    )
    def get(self, request: Request) -> Response:
        """Answers with the look. What cannot be lined up or run is 422, with the reason."""
        ask = queries.ask(read_params(request, LOOK_PARAMS))
        return Response(fits.look_json(known_look(ask, surroundings(ask.call.system_id, ask.setting.week))))


class DrawLook(APIView):
    """The same look as a drawing."""

    permission_classes = (access.StaffOnly,)
    derives = True

    @extend_schema(
        operation_id="looks_draw",
        parameters=[parameter(p) for p in DRAW_PARAMS],
        responses={(200, "image/svg+xml"): {"type": "string"}},
        tags=["looks"],
    )
    def get(self, request: Request) -> HttpResponse:
        """Answers with the drawing, as SVG."""
        given = read_params(request, DRAW_PARAMS)
        ask = queries.ask(given)
        around = surroundings(ask.call.system_id, ask.setting.week)
        svg = draw_look(derive(ask, around), given.get("role"), given.get("up", "offense"), around.book)
        return HttpResponse(svg, content_type="image/svg+xml")
