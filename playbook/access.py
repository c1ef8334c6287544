"""Every decision about who may do what.

A page says which roles it is for with `@needs(...)`. Someone who is not signed in is sent to the log-in page; to anyone
else a page that is not his does not exist (404). Decisions about single objects are the functions below.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.contrib.auth.models import AnonymousUser
from django.contrib.auth.views import redirect_to_login
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import resolve_url
from rest_framework.permissions import SAFE_METHODS, BasePermission
from rest_framework.request import Request

from playbook.models import Role, User

Person = User | AnonymousUser
Page = Callable[..., HttpResponseBase]

EVERYONE = (Role.ADMIN, Role.STAFF, Role.PLAYER)
STAFF = (Role.ADMIN, Role.STAFF)
ADMINS = (Role.ADMIN,)


def role_of(person: Person) -> Role | None:
    """Returns the role of someone signed in, else none."""
    if not person.is_authenticated or not person.is_active:
        return None
    return Role(person.role)  # type: ignore[union-attr]


def is_staff(person: Person) -> bool:
    """Returns whether the person coaches (admins included)."""
    return role_of(person) in STAFF


def is_admin(person: Person) -> bool:
    """Returns whether the person runs this installation."""
    return role_of(person) in ADMINS


def needs(*roles: Role) -> Callable[[Page], Page]:
    """Returns a decorator that lets only these roles see the page."""

    def decorate(page: Page) -> Page:
        @wraps(page)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
            role = role_of(request.user)
            if role is None:
                return _to_log_in(request)
            if role not in roles:
                raise Http404
            return page(request, *args, **kwargs)

        guarded.roles = roles  # type: ignore[attr-defined]
        return guarded

    return decorate


def _to_log_in(request: HttpRequest) -> HttpResponse:
    if request.htmx:  # type: ignore[attr-defined]
        back = urlsplit(request.htmx.current_url_abs_path or "/").path  # type: ignore[attr-defined]
        response = HttpResponse(status=204)
        response["HX-Redirect"] = redirect_to_login(back, resolve_url(settings.LOGIN_URL)).url
        return response
    return redirect_to_login(request.get_full_path(), resolve_url(settings.LOGIN_URL))


@dataclass(frozen=True, slots=True)
class NavItem:
    """One entry of the navigation: its words, the page it leads to, and who sees it."""

    label: str
    url_name: str
    roles: tuple[Role, ...]


NAV = [
    NavItem("People", "people:list", ADMINS),
]


class SignedIn(BasePermission):
    """API: anyone signed in."""

    def has_permission(self, request: Request, view: Any) -> bool:
        """Returns whether the person is signed in."""
        return role_of(request.user) is not None


class StaffWritesAllRead(BasePermission):
    """API: everyone signed in reads, staff write."""

    def has_permission(self, request: Request, view: Any) -> bool:
        """Returns whether the person may do this kind of request."""
        role = role_of(request.user)
        return role in STAFF or (role is not None and request.method in SAFE_METHODS)


class StaffOnly(BasePermission):
    """API: only staff, reading included (opponents' charts, other people's data)."""

    def has_permission(self, request: Request, view: Any) -> bool:
        """Returns whether the person coaches."""
        return is_staff(request.user)
