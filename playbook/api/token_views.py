"""Tokens through the API, and the answer to addresses that do not exist."""

from __future__ import annotations

from typing import Any

from django.contrib.auth import authenticate
from drf_spectacular.utils import extend_schema
from rest_framework.exceptions import AuthenticationFailed, NotFound, Throttled
from rest_framework.permissions import BasePermission
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from playbook import access, web
from playbook.api import serializers, tokens
from playbook.api.problems import Problem
from playbook.models import Happening
from playbook.people import log, second
from playbook.people.services import AccessEnded


class TokenView(APIView):
    """The token of the person who asks."""

    def get_authenticators(self) -> list[Any]:
        """Returns how people are recognised: for a new token, only by the password they send."""
        return [] if self.request and self.request.method == "POST" else super().get_authenticators()

    def get_permissions(self) -> list[BasePermission]:
        """Returns who may: anyone who knows a password, and for the rest who is signed in."""
        return [] if self.request and self.request.method == "POST" else [access.SignedIn()]

    def get_authenticate_header(self, request: Request) -> str:
        """Returns how to sign in, so that a wrong password is answered with 401."""
        return "Token"

    @extend_schema(
        request=serializers.LogIn,
        responses={201: serializers.NewToken, 429: Problem},
        auth=[],
        operation_id="token_make",
    )
    def post(self, request: Request) -> Response:
        """Makes a token for a user name and a password, for who needs no second factor."""
        given = serializers.LogIn(data=request.data)
        given.is_valid(raise_exception=True)
        user = authenticate(request._request, **given.validated_data)
        if getattr(request._request, "axes_locked_out", False):
            request._request.axes_locked_out = False  # answered here, as JSON
            raise Throttled(detail="The password was wrong too often. Wait a while.")
        if user is None:
            name, address = given.validated_data["username"], web.client_address(request._request)
            log.write(Happening.REFUSED, None, name=name, address=address)
            raise AuthenticationFailed("The user name and the password do not go together.")
        if second.is_needed(user):  # type: ignore[arg-type]
            raise AuthenticationFailed("The password alone is not enough for this person. Make a token in the browser.")
        try:
            return Response({"token": tokens.make_token(user, "by password")}, status=201)  # type: ignore[arg-type]
        except (AccessEnded, tokens.TooMany) as ended:
            raise AuthenticationFailed(str(ended)) from ended

    @extend_schema(responses={204: None}, operation_id="token_revoke")
    def delete(self, request: Request) -> Response:
        """Takes back the token that asks; in the browser all of the person's."""
        tokens.revoke_tokens(request.user, getattr(request.auth, "pk", None))  # type: ignore[arg-type]
        return Response(status=204)


class Nothing(APIView):
    """Addresses that do not exist."""

    authentication_classes = ()
    permission_classes = ()
    schema = None

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        """Answers at once. Raises NotFound."""
        raise NotFound("There is no such address. Addresses end in a slash; they are listed in /api/schema/.")
