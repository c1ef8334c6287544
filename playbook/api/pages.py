"""The page on which a person makes and takes back his own tokens, and the one on which admins take back anybody's."""

from __future__ import annotations

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from playbook import access, web
from playbook.api import tokens
from playbook.models import ApiToken
from playbook.people.services import AccessEnded


class TokenForm(forms.Form):
    """What a new token is for, how long, and whether it changes anything."""

    label = forms.CharField(label="What for", max_length=60, required=False)
    days = forms.TypedChoiceField(
        label="Good for", choices=[(days, f"{days} days") for days in tokens.DAYS], coerce=int,
        empty_value=tokens.USUAL_DAYS, required=False, initial=tokens.USUAL_DAYS,
    )  # fmt: skip
    writes = forms.BooleanField(label="It also changes what I may change", required=False)


@require_safe
@access.needs(*access.EVERYONE)
def detail(request: HttpRequest) -> HttpResponse:
    """Lists one's tokens, and offers to make one."""
    return _page(request, TokenForm())


@require_POST
@access.needs(*access.EVERYONE)
@never_cache
def make(request: HttpRequest) -> HttpResponse:
    """Makes a token and shows it, this once."""
    user, form = access.user_of(request), TokenForm(request.POST)
    if not form.is_valid():
        return _page(request, form, status=422)
    try:
        secret = tokens.make_token(user, **form.cleaned_data)
    except AccessEnded:
        return web.go(request, reverse("people:log-in"))
    except tokens.TooMany as reason:
        form.add_error(None, str(reason))
        return _page(request, form, status=422)
    return _page(request, TokenForm(), secret)


@require_POST
@access.needs(*access.EVERYONE)
def revoke(request: HttpRequest, pk: int) -> HttpResponse:
    """Takes one of one's own tokens back."""
    if tokens.revoke_tokens(access.user_of(request), pk):
        messages.success(request, "This token is no longer good.")
    return web.go(request, reverse("token:detail"))


@require_safe
@access.needs(*access.ADMINS)
def token_list(request: HttpRequest) -> HttpResponse:
    """Lists everybody's tokens."""
    return web.page(request, "token/list.html", {"tokens": tokens.all_tokens()})


@require_POST
@access.needs(*access.ADMINS)
def take_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Takes somebody's token back."""
    token = get_object_or_404(ApiToken.objects.select_related("user"), pk=pk)
    tokens.revoke_tokens(token.user, pk)
    messages.success(request, f"The token of {token.user} is no longer good.")
    return web.go(request, reverse("token:list"))


def _page(request: HttpRequest, form: TokenForm, secret: str = "", status: int = 200) -> HttpResponse:
    context = {"form": form, "secret": secret, "tokens": tokens.tokens_of(access.user_of(request))}
    return web.page(request, "token/detail.html", context, status=status)
