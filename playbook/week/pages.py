"""Pages of seasons and weeks, for staff."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from playbook import access, web
from playbook.installation.forms import WeekForm as FirstWeekForm
from playbook.models import (
    Day,
    ExpectedLook,
    FitGrade,
    Group,
    MenuCall,
    PlanEntry,
    Player,
    Position,
    Rights,
    Season,
    StaleVersion,
    Week,
)
from playbook.notes import queries as note_queries
from playbook.notes.places import Place
from playbook.notes.services import open_board
from playbook.people import log
from playbook.publishing import making
from playbook.publishing import services as publishing
from playbook.publishing.queries import history, plan_of
from playbook.publishing.services import NothingToPublish
from playbook.publishing.tasks import make_publication
from playbook.text import whole_number
from playbook.week import forms, queries, services, sheets, standing, state, taken, words

EDIT = require_http_methods(["GET", "HEAD", "POST"])
ROWS: dict[str, type[Any]] = {"look": ExpectedLook, "call": MenuCall, "day": Day, "entry": PlanEntry}
NOUNS = {"look": "a look", "call": "a call", "day": "a day", "entry": "an entry"}
LOOKS_A_PAGE = 50
PARTS = {"look": "looks", "call": "menu", "day": "plan", "entry": "plan"}


@require_safe
@access.needs(*access.STAFF)
def week_list(request: HttpRequest) -> HttpResponse:
    """Lists the seasons and their weeks."""
    return web.page(request, "week/list.html", {"seasons": queries.seasons()})


@require_POST
@access.needs(*access.STAFF, writes=access.STAFF)
def switch(request: HttpRequest) -> HttpResponse:
    """Makes a week the one that this coach's pages open on, and opens it."""
    week = _week(whole_number(request.POST.get("week", "")))
    web.switch_week(request, week)
    return web.go(request, reverse("week:detail", args=[week.pk]))


@EDIT
@access.needs(*access.STAFF)
def season_add(request: HttpRequest) -> HttpResponse:
    """Adds a season."""
    form = forms.SeasonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        form.save()
        return web.go(request, reverse("week:list"))
    answer = web.invalid if request.method == "POST" else web.page
    return answer(request, "week/season_edit.html", {"form": form})


@EDIT
@access.needs(*access.STAFF)
def season_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Changes a season and its contact limits."""
    season = get_object_or_404(Season, pk=pk)
    form = forms.SeasonForm(request.POST or None, instance=season)
    if request.method != "POST":
        return web.page(request, "week/season_edit.html", {"form": form, "season": season})
    if not form.is_valid():
        return web.invalid(request, "week/season_edit.html", {"form": form, "season": season})
    try:
        services.save_season(Season(pk=pk), form.cleaned_data["version"], form.changes)
    except StaleVersion as stale:
        return _conflict(request, form, stale, request.path, f"the season {season}")
    return web.go(request, reverse("week:list"))


@EDIT
@access.needs(*access.STAFF)
def add(request: HttpRequest) -> HttpResponse:
    """Adds a week; the first one with its season, as in the first visit."""
    if not Season.objects.exists():
        return _first(request)
    form = forms.NewWeekForm(request.POST or None, initial=queries.next_week())
    if request.method == "POST" and form.is_valid():
        week = services.add_week(form.changes, form.cleaned_data["start_from"])
        return web.go(request, reverse("week:detail", args=[week.pk]))
    answer = web.invalid if request.method == "POST" else web.page
    return answer(request, "week/edit.html", {"form": form})


def _first(request: HttpRequest) -> HttpResponse:
    form = FirstWeekForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        form.keep()
        week = Week.objects.order_by("pk").last()
        return web.go(request, reverse("week:detail", args=[week.pk]) if week else reverse("week:list"))
    answer = web.invalid if request.method == "POST" else web.page
    return answer(request, "week/edit.html", {"form": form})


@EDIT
@access.needs(*access.STAFF)
def edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Changes a week's opponent, system, date and notes."""
    week = _week(pk)
    form = forms.WeekForm(request.POST or None, instance=_week(pk))
    context = {"form": form, "week": week}
    if request.method != "POST":
        return web.page(request, "week/edit.html", context)
    if form.is_valid():
        try:
            services.change_week(week, form.cleaned_data["version"], form.changes)
            return web.go(request, reverse("week:detail", args=[pk]))
        except StaleVersion as stale:
            return _conflict(request, form, stale, request.path, str(week))
        except services.KeepsSystem as kept:
            form.add_error("system", str(kept))
    return web.invalid(request, "week/edit.html", context)


@require_safe
@access.needs(*access.STAFF)
def detail(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows where a week stands, what to do next, and the looks to expect."""
    week = _week(pk)
    return web.page(request, "week/detail.html", _looks_tab(request, week))


@require_safe
@access.needs(*access.STAFF)
def week_state(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows where a week stands, with every look worked out; asked for by a tab that did not wait for them."""
    if not web.in_place(request):
        return web.go(request, reverse("week:detail", args=[pk]))
    context = _desk(request, _week(pk), "looks" if request.GET.get("tab") == "looks" else "", derive=True)
    response = web.part(request, "week/_state.html", context)
    if context["tab"] == "looks" and not context["pending"]:
        response["HX-Refresh"] = "true"  # the looks stand there without their verdicts
    return response


@require_safe
@access.needs(*access.STAFF)
def menu(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows the call menu, for one situation when one is asked for."""
    week = _week(pk)
    context = _menu(request, week)
    answer = web.page if context["situation"].is_valid() else web.invalid
    if not web.in_place(request):
        context |= _desk(request, week, "menu")
    return answer(request, "week/menu.html", context, partial="week/_menu.html")


@require_safe
@access.needs(*access.STAFF)
def plan(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows the install plan, for one position group when one is asked for."""
    week = _week(pk)
    group = request.GET.get("group", "")
    if group not in ("", *queries.Group.values):
        raise Http404
    context = _plan(request, week, group)
    if not web.in_place(request):
        context |= _desk(request, week, "plan")
    return web.page(request, "week/plan.html", context, partial="week/_plan.html")


@require_safe
@never_cache
@access.needs(*access.STAFF)
def notes(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows what the staff wrote in a week, on its looks, calls and days and on itself; or only that on one day."""
    week, asked = _week(pk), whole_number(request.GET.get("day", ""))
    context = _desk(request, week, "notes")
    context["day"] = get_object_or_404(Day, pk=asked, week=week) if "day" in request.GET else None
    context["board"] = open_board(access.user_of(request), Place(week, day=context["day"]))
    return web.page(request, "week/notes.html", context)


@require_safe
@access.needs(*access.STAFF)
def position_sheets(request: HttpRequest, pk: int) -> HttpResponse:
    """Lists the positions' sheets, who plays there, who has opened his and how much of it he knows."""
    week = _week(pk)
    context = _desk(request, week, "sheets") | {"lines": queries.sheet_lines(week), "published": history(week)}
    context["address"] = request.build_absolute_uri(reverse("player:week"))
    return web.page(request, "week/sheets.html", context)


@require_POST
@access.needs(*access.STAFF)
def release(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows the week to the players, or withdraws it."""
    week = _week(pk)
    seen, shown = whole_number(request.POST.get("version", ""), -1), request.POST.get("released") == "yes"
    group = request.POST.get("group", "")
    if seen < 0 or (group and group not in Group.values):
        return web.invalid(request, "week/detail.html", _looks_tab(request, week))
    try:
        if shown:
            made = publishing.start(week, seen, group, access.user_of(request))
            make_publication.defer(pk=made.pk)
            messages.success(request, f"It is being made for {made.whom}: they see it in a moment.")
        else:
            publishing.withdraw(week, seen)
            messages.success(request, "Withdrawn. Players are told so.")
    except StaleVersion:
        messages.error(request, "Somebody changed this week since you opened it. Look at it, then publish it.")
    except NothingToPublish as nothing:
        messages.error(request, f"Not published. {nothing}")
    return web.go(request, reverse("week:detail", args=[pk]))


@EDIT
@access.needs(*access.STAFF, writes=access.STAFF)
def row_add(request: HttpRequest, pk: int, kind: str) -> HttpResponse:
    """Adds a look, a call, a day or an entry to the week."""
    week = _week(pk)
    form = _form(kind)(request.POST or None, week=week, initial=_initial(request, week))
    context = _row_context(request, form, week, kind)
    if request.method != "POST":
        return web.page(request, "week/row.html", context, partial="week/_editing.html")
    if not _may_change(request, kind):
        return access.reads_only(request)
    row = form.instance
    if kind != "entry":
        row.week = week
    if not form.is_valid():
        return _still_editing(request, context)
    if not _may_change(request, kind, form.instance):
        return access.reads_only(request)
    services.add_row(form.save(commit=False))
    return _part(request, week, kind, form.instance.pk)


@EDIT
@access.needs(*access.STAFF, writes=access.STAFF)
def row_edit(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """Changes a row of the week."""
    row, week = _row(kind, pk)
    form = _form(kind)(request.POST or None, instance=_row(kind, pk)[0], week=week)
    context = _row_context(request, form, week, kind, row)
    if request.method != "POST":
        return web.page(request, "week/row.html", context, partial="week/_editing.html")
    if not _may_change(request, kind):
        return access.reads_only(request)
    if not form.is_valid():
        return _still_editing(request, context)
    if not _may_change(request, kind, row, form.instance):
        return access.reads_only(request)
    try:
        services.change_row(row, form.cleaned_data["version"], form.changes)
    except StaleVersion as stale:
        response = _conflict(request, form, stale, _tab(week, kind), str(row))
        response["HX-Retarget"], response["HX-Reswap"] = "#messages", "innerHTML show:window:top"
        return response
    return _part(request, week, kind, row.pk)


@require_POST
@access.needs(*access.STAFF, writes=access.STAFF)
def row_move(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """Moves a row up or down in its list."""
    row, week = _row(kind, pk)
    if not _may_change(request, kind, row):
        return access.reads_only(request)
    services.move_row(row, -1 if request.POST.get("to") == "up" else 1)
    return _part(request, week, kind, row.pk)


@require_POST
@access.needs(*access.STAFF, writes=access.STAFF)
def row_delete(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """Deletes a row of the week, if it is still as it was seen."""
    row, week = _row(kind, pk)
    if not _may_change(request, kind, row):
        return access.reads_only(request)
    try:
        services.delete_row(row, _seen(request))
    except StaleVersion as stale:
        return _not_deleted(request, stale, _tab(week, kind), str(row))
    return _part(request, week, kind)


@require_safe
@never_cache
@access.needs(*access.STAFF)
def sheet(request: HttpRequest, pk: int, position: int) -> HttpResponse:
    """Shows a position's sheet as the players of that position see it."""
    week = _week(pk)
    row = get_object_or_404(Position, pk=position, system__in=queries.own_systems(week))
    made = making.make_sheets(week, [row.name])
    one = next((one for one in made if one.role == request.GET.get("as", made[0].role)), None) if made else None
    plan = plan_of(one.content, request.GET.get("call", "")) if one else None
    if one is None or plan is None:
        raise Http404
    making.draw_cards(one, plan)
    context = {"week": week, "sheet": one.content, "plan": plan, "position": row.name, "preview": True}
    context |= {"caution": words.CAUTION, "roles": [(other.role, other.content["said"]) for other in made]}
    return web.page(request, "week/sheet.html", context)


@EDIT
@access.needs(*access.STAFF, writes=access.STAFF)
def grades(request: HttpRequest, pk: int) -> HttpResponse:
    """Lists the grades of the game and adds one."""
    week = _week(pk)
    men = access.grades(access.user_of(request), queries.players_of(week))
    if request.method == "POST" and access.role_of(request.user) == Rights.ASSISTANT:
        return access.reads_only(request)
    form = forms.GradeForm(request.POST or None, week=week, men=men)
    if request.method == "POST" and form.is_valid():
        grade = form.save(commit=False)
        grade.week = week
        services.add_grade(grade)
        messages.success(request, f"The grade for {grade.player} is saved.")
        return web.go(request, reverse("week:grades", args=[pk]))
    found = list(queries.grades(week))
    context = _desk(request, week, "grades") | {"form": form, "grades": found, "sums": queries.grade_sums(found)}
    answer = web.invalid if request.method == "POST" else web.page
    return answer(request, "week/grades.html", context, partial="week/_grades.html")


@require_POST
@access.needs(*access.STAFF, writes=access.STAFF)
def grade_delete(request: HttpRequest, pk: int) -> HttpResponse:
    """Takes back a grade, if it is still as it was seen."""
    grade = get_object_or_404(FitGrade, pk=pk)
    back = reverse("week:grades", args=[grade.week_id])
    if not access.grades(access.user_of(request), Player.objects.filter(pk=grade.player_id)).exists():
        return access.reads_only(request)
    try:
        services.delete_row(grade, _seen(request))
    except StaleVersion as stale:
        return _not_deleted(request, stale, back, "this grade")
    return web.go(request, back)


@require_POST
@access.needs(*access.STAFF)
def bring_back(request: HttpRequest, pk: int, change: UUID) -> HttpResponse:
    """Brings back what somebody took off."""
    week, tab = _week(pk), request.POST.get("tab", "")
    if tab not in taken.OF_TAB:
        raise Http404
    try:
        taken.bring_back(week, change)
    except taken.CannotComeBack as reason:
        messages.error(request, str(reason))
    else:
        messages.success(request, "It is back.")
    return web.go(request, reverse({"looks": "week:detail"}.get(tab, f"week:{tab}"), args=[pk]))


def _may_change(request: HttpRequest, kind: str, *rows: Any) -> bool:
    """Returns whether who asks may change the rows: a position coach only what is planned for his groups."""
    user = access.user_of(request)
    own = kind == "entry" and access.role_of(user) == Rights.POSITION
    return access.is_lead(user) or (own and all(access.plans_for(user, row.group) for row in rows))


def _seen(request: HttpRequest) -> int:
    return whole_number(request.POST.get("version", ""), -1)


def _not_deleted(request: HttpRequest, stale: StaleVersion, back: str, what: str) -> HttpResponse:
    """Says that somebody changed first what was to go, and shows it as it is now."""
    now: Any = stale.current
    shown = [(f.verbose_name, getattr(now, f.name)) for f in now._meta.concrete_fields if f.editable] if now else []
    theirs = "\n".join(f"{label}: {value}" for label, value in shown if value not in (None, ""))
    response = web.conflict(request, {"mine": "To be taken off", "theirs": theirs, "back": back, "what": what})
    response["HX-Retarget"], response["HX-Reswap"] = "#messages", "innerHTML show:window:top"
    return response


def _week(pk: int) -> Week:
    return get_object_or_404(queries.weeks(), pk=pk)


def _form(kind: str) -> type[forms.RowForm]:
    if kind not in forms.FORMS:
        raise Http404
    return forms.FORMS[kind]


def _row(kind: str, pk: int) -> tuple[Any, Week]:
    if kind not in ROWS:
        raise Http404
    row = get_object_or_404(ROWS[kind], pk=pk)
    return row, _week(row.day.week_id if kind == "entry" else row.week_id)


def _initial(request: HttpRequest, week: Week) -> dict[str, Any]:
    return {name: request.GET[name] for name in ("day", "group", "look", "call") if request.GET.get(name)}


def _desk(request: HttpRequest, week: Week, tab: str, *, derive: bool = False) -> dict[str, Any]:
    """Returns what stands on every tab of a week: where it stands, what to do next, and which tab it is."""
    log.opened_plan(access.user_of(request), str(week), web.client_address(request))
    fresh = 0 if tab == "notes" else note_queries.unread(access.user_of(request)).filter(week=week).count()
    others = Week.objects.select_related("season", "opponent").order_by("-season__year", "-number")
    gone = taken.taken_off(week, tab) if tab in taken.OF_TAB else []
    context = {"tab": tab, "new_notes": fresh, "others": others, "taken": gone, "groups": Group.choices}
    return standing.of_week(week, derive=derive) | context


def _looks_tab(request: HttpRequest, week: Week) -> dict[str, Any]:
    context = _desk(request, week, "looks", derive=True)
    return context | _looks(week, request.GET, context)


def _looks(week: Week, asked: Any, desk: Mapping[str, Any]) -> dict[str, Any]:
    """Returns what the tab of looks shows: a page of them, all or only those that some call does not hold.

    While they are worked out elsewhere they stand there without their verdicts.
    """
    names = [] if desk["pending"] else desk["calls"]
    rows = queries.look_rows(week, []) if desk["pending"] else desk["rows"]
    calls = {call.name: call for call in week.system.calls.filter(name__in=names)}
    show = "unsound" if asked.get("show") == "unsound" else ""
    wrong = [row for row in rows if any(standing.result.state not in state.HOLDS for standing in row.states)]
    pages = Paginator(wrong if show else rows, LOOKS_A_PAGE)
    return {
        "week": week,
        "looks": pages.get_page(asked.get("page")),
        "all_looks": len(rows),
        "calls": [calls[name] for name in names if name in calls],
        "trouble": sheets.system_trouble(week),
        "unsound": len(wrong),
        "show": show,
    }


def _menu(request: HttpRequest, week: Week) -> dict[str, Any]:
    form = forms.SituationForm(request.GET or None)
    asked = form.cleaned_data if form.is_bound and form.is_valid() else {}
    found = queries.menu_for(week, **asked) if asked else list(queries.menu(week))
    shown = form if form.is_bound else forms.SituationForm({})
    return {"week": week, "situation": shown, "menu": queries.by_situation(found), "zones": forms.ZONES, "asked": asked}


def _plan(request: HttpRequest, week: Week, group: str = "") -> dict[str, Any]:
    context = {"week": week, "plan": queries.plan(week, group), "group": group, "groups": queries.Group.choices}
    return context | {"notes_by_day": note_queries.by_day(access.user_of(request), week)}


def _tab(week: Week, kind: str) -> str:
    """Returns the address of the tab where rows of that kind stand."""
    return reverse({"looks": "week:detail"}.get(PARTS[kind], f"week:{PARTS[kind]}"), args=[week.pk])


def _part(request: HttpRequest, week: Week, kind: str, changed: int | None = None) -> HttpResponse:
    """Returns the list that was changed, and where the week stands now; without htmx the tab."""
    if not web.in_place(request):
        return web.go(request, _tab(week, kind))
    context = _desk(request, week, PARTS[kind], derive=kind == "look") | {
        "part": f"week/_{PARTS[kind]}.html",
        "changed": changed,
        "changed_kind": kind,
    }
    if kind == "look":
        context |= _looks(week, request.POST, context)
    else:
        context |= _menu(request, week) if kind == "call" else _plan(request, week)
    return web.page(request, "week/_part.html", context, partial="week/_part.html")


def _row_context(request: HttpRequest, form: Any, week: Week, kind: str, row: Any = None) -> dict[str, Any]:
    """Returns what a row's form needs; `cells` is how wide a table it stands in."""
    context = {"form": form, "week": week, "kind": kind, "noun": NOUNS[kind], "row": row, "zones": forms.ZONES}
    context |= {"part": PARTS[kind], "tab_address": _tab(week, kind), "cells": len(queries.menu_call_names(week)) + 4}
    given = request.POST if request.method == "POST" else request.GET
    return context | {name: given.get(name, "") for name in ("page", "show")}


def _still_editing(request: HttpRequest, context: dict[str, Any]) -> HttpResponse:
    """Returns the form with its errors, where it stands."""
    response = web.invalid(request, "week/row.html", context, partial="week/_editing.html")
    row = context["row"]
    response["HX-Retarget"] = f"#editing-{context['kind']}-{row.pk if row else 'new'}"
    response["HX-Reswap"] = "outerHTML"
    return response


def _conflict(request: HttpRequest, form: Any, stale: StaleVersion, back: str, what: str) -> HttpResponse:
    theirs = (
        type(form)(instance=stale.current, **({"week": form.week} if hasattr(form, "week") else {})).as_text
        if stale.current
        else ""
    )
    return web.conflict(request, {"mine": form.as_text, "theirs": theirs, "back": back, "what": what})
