"""The page on which a person makes and takes back his own token."""

from __future__ import annotations

from typing import cast

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from playbook import access, web
from playbook.api import tokens
from playbook.models import User


@require_safe
@access.needs(*access.EVERYONE)
def detail(request: HttpRequest) -> HttpResponse:
    """Says what the token is for, and whether there is one."""
    return web.page(request, "token/detail.html", {"token": tokens.token_of(cast(User, request.user))})


@require_POST
@access.needs(*access.EVERYONE)
@never_cache
def make(request: HttpRequest) -> HttpResponse:
    """Makes a token and shows it, this once."""
    user = cast(User, request.user)
    secret = tokens.make_token(user)
    return web.page(request, "token/detail.html", {"token": tokens.token_of(user), "secret": secret})


@require_POST
@access.needs(*access.EVERYONE)
def revoke(request: HttpRequest) -> HttpResponse:
    """Takes the token back."""
    if tokens.revoke_token(cast(User, request.user)):
        messages.success(request, "Your token is no longer good.")
    return web.go(request, reverse("token:detail"))
