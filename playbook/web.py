"""Page or partial: what every page answers with."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import Any, cast

from django.conf import settings
from django.db import InterfaceError, OperationalError
from django.http import HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.cache import patch_cache_control, patch_vary_headers
from django.utils.functional import SimpleLazyObject

from playbook import access
from playbook.installation import queries as installation
from playbook.models import Week
from playbook.week.current import Switched, current_week, usual_week

SWITCHED = "week"  # of the session


def in_place(request: HttpRequest) -> bool:
    """Returns whether htmx asks, for a part of the page that is open."""
    return bool(request.htmx)  # type: ignore[attr-defined]


def page(
    request: HttpRequest,
    template: str,
    context: dict[str, Any] | None = None,
    *,
    partial: str = "",
    status: int = 200,
) -> HttpResponse:
    """Returns the page, or only the partial template when htmx asks for a part of it."""
    htmx = request.htmx  # type: ignore[attr-defined]
    part = bool(partial) and bool(htmx) and not htmx.boosted and not htmx.history_restore_request
    response = render(request, partial if part else template, context or {}, status=status)
    patch_vary_headers(response, ["HX-Request"])
    return response


def part(request: HttpRequest, template: str, context: dict[str, Any]) -> HttpResponse:
    """Returns only a part, for a request of htmx that names the place it is for; boosted links included."""
    response = render(request, template, context)
    patch_vary_headers(response, ["HX-Request", "HX-Target"])
    return response


def invalid(request: HttpRequest, template: str, context: dict[str, Any], *, partial: str = "") -> HttpResponse:
    """Returns the page or partial with its form's errors, as 422."""
    return page(request, template, context, partial=partial, status=422)


def conflict(request: HttpRequest, context: dict[str, Any], *, template: str = "errors/conflict.html") -> HttpResponse:
    """Returns 409, somebody saved first. The context has `mine`, `theirs` (both as text) and `back` (an address)."""
    return page(request, template, context, partial="errors/_conflict.html", status=409)


def go(request: HttpRequest, address: str) -> HttpResponse:
    """Returns a redirect that both a browser and htmx follow as a whole new page."""
    if in_place(request):
        return HttpResponse(status=204, headers={"HX-Redirect": address})
    return HttpResponse(status=303, headers={"Location": address})


def week_now(request: HttpRequest) -> Week | None:
    """Returns the week that this person works on, read once for each request; none before there is any."""
    if not hasattr(request, "week_now"):
        kept = request.session.get(SWITCHED)
        request.week_now = current_week(timezone.localdate(), Switched(*kept) if kept else None)  # type: ignore[attr-defined]
    return cast("Week | None", request.week_now)  # type: ignore[attr-defined]


def switch_week(request: HttpRequest, week: Week) -> None:
    """Makes that week the one this person works on, until the next usual week comes or he switches back."""
    usual = usual_week(timezone.localdate())
    if usual is None or usual.pk == week.pk:
        request.session.pop(SWITCHED, None)
    else:
        request.session[SWITCHED] = [week.pk, usual.pk]


def navigation(request: HttpRequest) -> dict[str, Any]:
    """Returns what base.html needs: the navigation of this role, and which entry is current."""
    user = getattr(request, "user", None)
    role = access.role_of(user) if user is not None else None
    items = []
    for item in access.NAV if role else []:
        if role in item.roles:
            address = reverse(item.url_name)
            items.append({"label": item.label, "address": address, "current": request.path.startswith(address)})
    return {
        "program": SimpleLazyObject(installation.program),
        "nav_items": items,
        "role": role,
        "week_now": SimpleLazyObject(lambda: week_now(request)) if role in access.STAFF else None,
        "is_staff": role in access.STAFF,
        "is_admin": role in access.ADMINS,
    }


def client_address(request: HttpRequest) -> str:
    """Returns the client's address, read past the proxies that are trusted and no further."""
    forwarded = [part.strip() for part in request.META.get("HTTP_X_FORWARDED_FOR", "").split(",") if part.strip()]
    if settings.PROXIES and len(forwarded) >= settings.PROXIES:
        return forwarded[-settings.PROXIES]
    return str(request.META.get("REMOTE_ADDR", ""))


def refuse_null(get_response: Callable[[HttpRequest], HttpResponseBase]) -> Callable[[HttpRequest], HttpResponseBase]:
    """Returns middleware that refuses an address with the NUL character in it: no text that is kept has one.

    Forms refuse it beside their field, the API beside its key.
    """

    def middleware(request: HttpRequest) -> HttpResponseBase:
        query = request.META.get("QUERY_STRING", "")
        told = request.path.startswith("/api/")  # the API says it in its own way
        if not told and ("%00" in query or "\0" in query):
            return render(request, "errors/null.html", status=400)
        return get_response(request)

    return middleware


def keep_private(get_response: Callable[[HttpRequest], HttpResponseBase]) -> Callable[[HttpRequest], HttpResponseBase]:
    """Returns middleware that lets nobody keep a page, unless the page says for how long: they are for one person."""

    def middleware(request: HttpRequest) -> HttpResponseBase:
        response = get_response(request)
        if not response.has_header("Cache-Control"):
            patch_cache_control(response, private=True, no_store=True)
        return response

    return middleware


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """Returns the page for what does not exist, or not for this person."""
    return render(request, "errors/404.html", status=404)


def bad_request(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """Returns the page for a request that cannot be answered: most often by a name that is not this installation's."""
    return HttpResponse(_BAD, status=400)


def server_error(request: HttpRequest) -> HttpResponse:
    """Returns the page for a fault of ours, or for a database that does not answer (503); it uses no database."""
    if not isinstance(sys.exc_info()[1], OperationalError | InterfaceError):
        return HttpResponse(_FAULT, status=500)
    head = {"Retry-After": "5", "Cache-Control": "no-store"}
    if request.path.startswith("/api/"):
        return JsonResponse({"detail": "The database does not answer just now. Try again."}, status=503, headers=head)
    return HttpResponse(_AWAY, status=503, headers=head)


_BAD = (
    "<!doctype html><html lang=en><meta charset=utf-8><title>Not here</title><h1>This cannot be answered</h1>"
    "<p>Open the address that your staff gave you. Whoever runs this installation: the names it answers to are given "
    "when it is started (--site NAME, or LANEPROOF_HOSTS).</p>"
)

_AWAY = (
    "<!doctype html><html lang=en><meta charset=utf-8><title>Just a moment</title><h1>Just a moment</h1>"
    "<p>The database does not answer just now: it is being started again, or its disk is full. What you saved before "
    "is kept; what you were just sending is not saved. Go back, keep what you typed, and try again in some seconds. If "
    "it goes on, tell whoever runs this installation.</p>"
)

_FAULT = (
    "<!doctype html><html lang=en><meta charset=utf-8><title>Something broke</title>"
    "<h1>Something broke on our side</h1><p>Nothing you saved before is lost. Go back and try again; if it happens "
    "again, tell whoever runs this installation what you did.</p>"
)


def unindexed(get_response: Callable[[HttpRequest], HttpResponseBase]) -> Callable[[HttpRequest], HttpResponseBase]:
    """Returns middleware that keeps every page out of search engines and of what they keep of it."""

    def middleware(request: HttpRequest) -> HttpResponseBase:
        response = get_response(request)
        response["X-Robots-Tag"] = "noindex, nofollow, noarchive, nosnippet"
        return response

    return middleware
