"""The page on which a person makes and takes back his own token, and the one on which admins take back anybody's."""

from __future__ import annotations

from typing import cast

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from playbook import access, web
from playbook.api import tokens
from playbook.models import User
from playbook.people.services import AccessEnded


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
    try:
        secret = tokens.make_token(user)
    except AccessEnded:
        return web.go(request, reverse("people:log-in"))
    return web.page(request, "token/detail.html", {"token": tokens.token_of(user), "secret": secret})


@require_POST
@access.needs(*access.EVERYONE)
def revoke(request: HttpRequest) -> HttpResponse:
    """Takes the token back."""
    if tokens.revoke_token(cast(User, request.user)):
        messages.success(request, "Your token is no longer good.")
    return web.go(request, reverse("token:detail"))


@require_safe
@access.needs(*access.ADMINS)
def token_list(request: HttpRequest) -> HttpResponse:
    """Lists everybody's tokens."""
    return web.page(request, "token/list.html", {"tokens": tokens.all_tokens()})


@require_POST
@access.needs(*access.ADMINS)
def take_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Takes a person's token back."""
    person = get_object_or_404(User, pk=pk)
    if tokens.revoke_token(person):
        messages.success(request, f"The token of {person} is no longer good.")
    else:
        messages.info(request, f"{person} has no token.")
    return web.go(request, reverse("token:list"))
