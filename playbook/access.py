"""Every decision about who may do what.

All of the staff read all of the staff's work. Admins and coordinators change it; a position coach plans for and grades
his own groups; every coach charts, writes notes, makes documents and has a week of his own to look at.

A page says which roles it is for with `@needs(...)`, and which of them may send its form where that is not the usual.
Someone who is not signed in is sent to the log-in page; to anyone else a page that is not his does not exist (404).
Decisions about single objects are the functions below.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import wraps
from typing import Any, cast
from urllib.parse import urlsplit

from django.conf import settings
from django.contrib.auth.models import AnonymousUser
from django.contrib.auth.views import redirect_to_login
from django.db.models import Exists, OuterRef, Q, QuerySet
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render, resolve_url
from rest_framework.permissions import SAFE_METHODS, BasePermission
from rest_framework.request import Request

from playbook.models import (
    AlignRule,
    Call,
    Concept,
    Coverage,
    Day,
    ExpectedLook,
    Export,
    FitRule,
    ForceRule,
    Formation,
    Front,
    KeyRule,
    MenuCall,
    Motion,
    Opponent,
    Option,
    PlanEntry,
    Player,
    Position,
    Rights,
    RosterSpot,
    Season,
    System,
    TakeRule,
    TechniqueScheme,
    User,
    Week,
)

Person = User | AnonymousUser
Page = Callable[..., HttpResponseBase]

EVERYONE = tuple(Rights)
STAFF = (Rights.ADMIN, Rights.COORDINATOR, Rights.POSITION, Rights.ASSISTANT)
LEADS = (Rights.ADMIN, Rights.COORDINATOR)
ADMINS = (Rights.ADMIN,)


def role_of(person: Person) -> Rights | None:
    """Returns the role of someone signed in, else none."""
    if not person.is_authenticated or not person.is_active:
        return None
    return Rights(person.role)  # type: ignore[union-attr]


def user_of(request: HttpRequest) -> User:
    """Returns who asks; for pages with `needs`, which nobody else gets to see."""
    return cast(User, request.user)


def is_staff(person: Person) -> bool:
    """Returns whether the person coaches (admins included)."""
    return role_of(person) in STAFF


def is_admin(person: Person) -> bool:
    """Returns whether the person runs this installation."""
    return role_of(person) in ADMINS


def is_lead(person: Person) -> bool:
    """Returns whether the person changes the staff's work: system, opponents, weeks, roster."""
    return role_of(person) in LEADS


def plans_for(person: Person, group: str) -> bool:
    """Returns whether the person writes the plan of a group; what is for everybody is the coordinators'."""
    return is_lead(person) or (role_of(person) == Rights.POSITION and group in cast(User, person).coaches)


def grades(person: Person, players: QuerySet[Player]) -> QuerySet[Player]:
    """Returns those of the players whom the person grades: a position coach the men of his groups."""
    if is_lead(person):
        return players
    groups = cast(User, person).coaches if role_of(person) == Rights.POSITION else []
    return players.filter(pk__in=RosterSpot.objects.filter(position__group__in=groups).values("player"))


def needs(*roles: Rights, writes: tuple[Rights, ...] = ()) -> Callable[[Page], Page]:
    """Returns a decorator that lets only these roles see the page.

    Of a page for the staff only admins and coordinators send the form, unless `writes` says who does: anybody else is
    told so (403), and nothing is changed.
    """
    writers = writes or (LEADS if roles == STAFF else roles)

    def decorate(page: Page) -> Page:
        @wraps(page)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
            role = role_of(request.user)
            if role is None:
                return _to_log_in(request)
            if role not in roles:
                raise Http404
            if role not in writers and request.method not in SAFE_METHODS:
                return reads_only(request)
            return page(request, *args, **kwargs)

        guarded.roles, guarded.writers = roles, writers  # type: ignore[attr-defined]
        return guarded

    return decorate


def reads_only(request: HttpRequest) -> HttpResponse:
    """Returns what somebody is told who may read this but not change it."""
    where = "errors/_reads_only.html" if request.htmx else "errors/reads_only.html"  # type: ignore[attr-defined]
    response = render(request, where, status=403)
    response["HX-Retarget"], response["HX-Reswap"] = "#messages", "innerHTML show:window:top"
    return response


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
    roles: tuple[Rights, ...]


NAV = [
    NavItem("My week", "player:week", (Rights.PLAYER,)),
    NavItem("Quiz", "quiz:mine", (Rights.PLAYER,)),
    NavItem("Systems", "system:list", STAFF),
    NavItem("Opponents", "opponent:list", STAFF),
    NavItem("Fit board", "board:show", STAFF),
    NavItem("Looks", "looks:start", STAFF),
    NavItem("Weeks", "week:list", STAFF),
    NavItem("Roster", "roster:list", STAFF),
    NavItem("Scouting", "charts:start", STAFF),
    NavItem("Documents", "exports:list", STAFF),
    NavItem("People", "people:list", ADMINS),
    NavItem("Installation", "installation:show", ADMINS),
]


def sees_week(person: Person, released: bool) -> bool:
    """Returns whether the person sees a week: players only what is released to them."""
    return is_staff(person) or (role_of(person) is not None and released)


def sees_position(person: Person, position: str, own: Iterable[str]) -> bool:
    """Returns whether the person sees a position's cards: players only their own positions."""
    return is_staff(person) or (role_of(person) is not None and position in set(own))


def visible(person: Person, rows: QuerySet[Any]) -> QuerySet[Any]:
    """Returns the rows that the person may read: staff all, players what was released to them and is about them."""
    if is_staff(person):
        return rows
    condition = _PLAYER_READS.get(rows.model) if role_of(person) else None
    return rows.filter(condition(person)) if condition else rows.none()


def deletes_document(person: Person, export: Export) -> bool:
    """Returns whether the person may delete a document: coaches their own, admins any."""
    return is_admin(person) or (is_staff(person) and export.made_by_id == person.pk)


def sees_notes(person: Person) -> bool:
    """Returns whether the person reads what coaches note for themselves."""
    return is_staff(person)


def _systems(person: Person) -> Q:
    """The systems of released weeks, seen from the system."""
    return Q(pk__in=Week.objects.filter(released=True).values("system"))


def _in_systems(person: Person) -> Q:
    return Q(system__in=System.objects.filter(_systems(person)))


def _spots(person: Person) -> QuerySet[Any]:
    return RosterSpot.objects.filter(player__user=person, player__active=True)


def _positions(person: Person) -> Q:
    """His positions, those of the same name in variants of the system included."""
    same_name = _spots(person).filter(position__system=OuterRef("system__base"), position__name=OuterRef("name"))
    return Q(pk__in=_spots(person).values("position")) | (_in_systems(person) & Q(Exists(same_name)))


def _rules_of(*owners: str) -> Callable[[Person], Q]:
    """The rules of released weeks' systems that name one of his positions."""

    def condition(person: Person) -> Q:
        names: dict[int, set[str]] = defaultdict(set)
        for position in Position.objects.filter(_positions(person)):
            names[position.system_id].add(position.name)
        found = Q(pk__in=[])
        for system in System.objects.filter(_systems(person), pk__in=names):
            who = rf"(^|,)\s*((left|right) )?({'|'.join(re.escape(name) for name in sorted(names[system.pk]))})\s*(,|$)"
            for owner in owners:
                found |= Q(**{f"{owner}__system": system, "who__regex": who})
        return found

    return condition


def _library_and_opponents(person: Person) -> Q:
    return Q(opponent=None) | Q(opponent__in=Opponent.objects.filter(_opponents(person)))


def _opponents(person: Person) -> Q:
    return Q(pk__in=Week.objects.filter(released=True, opponent__isnull=False).values("opponent"))


def _groups(person: Person) -> Q:
    groups = _spots(person).values("position__group")
    return Q(day__week__released=True) & (Q(group="") | Q(group__in=groups))


def _everything(person: Person) -> Q:
    return Q()


def _released(person: Person) -> Q:
    return Q(week__released=True)


_PLAYER_READS: dict[type[Any], Callable[[Person], Q]] = {
    TechniqueScheme: _everything,
    System: _systems,
    Position: _positions,
    Front: _in_systems,
    Coverage: _in_systems,
    Call: _in_systems,
    AlignRule: _rules_of("front", "coverage"),
    KeyRule: _rules_of("front", "coverage"),
    FitRule: _rules_of("front", "coverage"),
    TakeRule: _rules_of("coverage"),
    ForceRule: _rules_of("coverage"),
    Formation: _library_and_opponents,
    Concept: _library_and_opponents,
    Option: _library_and_opponents,
    Motion: _library_and_opponents,
    Opponent: _opponents,
    Season: _everything,
    Week: lambda person: Q(released=True),
    Day: _released,
    MenuCall: _released,
    ExpectedLook: _released,
    PlanEntry: _groups,
    Player: lambda person: Q(user=person),
    RosterSpot: lambda person: Q(pk__in=_spots(person)),
}


class SignedIn(BasePermission):
    """API: anyone signed in."""

    def has_permission(self, request: Request, view: Any) -> bool:
        """Returns whether the person is signed in."""
        return role_of(request.user) is not None


class LeadsWriteAllRead(BasePermission):
    """API: everyone signed in reads, admins and coordinators write."""

    def has_permission(self, request: Request, view: Any) -> bool:
        """Returns whether the person may do this kind of request."""
        role = role_of(request.user)
        return role in LEADS or (role is not None and request.method in SAFE_METHODS)


class StaffOnly(BasePermission):
    """API: only staff, reading included (opponents' charts, other people's data)."""

    def has_permission(self, request: Request, view: Any) -> bool:
        """Returns whether the person coaches."""
        return is_staff(request.user)
