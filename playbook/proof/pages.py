"""Pages of a week: looks to expect, the weighed proof, repairs, two plans, a menu; for staff."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

import fits
from playbook import access, web
from playbook.looks import queries as look_queries
from playbook.models import Call, MenuCall, StaleVersion, System, Week
from playbook.proof import expected as looks
from playbook.proof import expecting, mending, studies
from playbook.proof import weighing as proof
from playbook.proof.forms import CompareForm, SayForm, TakeForm
from playbook.text import whole_number
from playbook.week import queries as week_queries
from playbook.week import services as week_services

MARKS = {
    "add": looks.add_look,
    "drop": looks.drop_look,
    "bring-back": looks.bring_back,
    "pin": lambda week, name: looks.pin_look(week, name, True),
    "unpin": lambda week, name: looks.pin_look(week, name, False),
}


@require_safe
@access.needs(*access.STAFF)
def expected(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows the looks that the charts say, beside those in the week."""
    week = _week(pk)
    return web.page(request, "proof/looks.html", _expected(week), partial="proof/_looks.html")


@require_POST
@access.needs(*access.STAFF)
def take(request: HttpRequest, pk: int) -> HttpResponse:
    """Brings the counted looks into the week."""
    week = _week(pk)
    form = TakeForm(request.POST)
    if not form.is_valid():
        return web.invalid(request, "proof/looks.html", _expected(week) | {"form": form})
    new, changed = looks.take_looks(week, form.cleaned_data["at_least"], form.cleaned_data["guesses"])
    messages.success(
        request, f"{new} looks are new in the week, {changed} shares are counted again; none was taken out."
    )
    return web.go(request, reverse("proof:looks", args=[pk]))


@require_POST
@access.needs(*access.STAFF)
def mark(request: HttpRequest, pk: int) -> HttpResponse:
    """Adds, drops, pins or brings back one look."""
    week = _week(pk)
    change = MARKS.get(request.POST.get("mark", ""))
    if change is None:
        raise Http404
    try:
        change(week, request.POST.get("look", ""))
    except looks.NoSuchLook as error:
        return web.invalid(request, "proof/looks.html", _expected(week) | {"trouble": str(error)})
    if not web.in_place(request):
        return web.go(request, reverse("proof:looks", args=[pk]) + "#looks")
    return web.page(request, "proof/looks.html", _expected(week), partial="proof/_looks.html")


@require_safe
@access.needs(*access.STAFF)
def weighed(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows each call against the expected runs, and what to fix first."""
    week = _week(pk)
    proofs = proof.prove_week(week)
    on_menu = proof.menu_names(week)
    only = on_menu if request.GET.get("calls") == "menu" else []
    fixes = proof.fix_first(proofs, only)
    context = {"week": week, "proofs": proofs, "fixes": fixes, "on_menu": on_menu, "only": only}
    context["calls"] = dict(week.system.calls.values_list("name", "pk"))
    context["covered"] = proof.week_covered(week, proofs)
    return web.page(request, "proof/weighed.html", context)


@require_safe
@access.needs(*access.STAFF)
def repairs(request: HttpRequest, pk: int, look: int, call: int) -> HttpResponse:
    """Shows the proven repairs of one look, each with everything that it changes."""
    week = _week(pk)
    row = _call(week, call)
    context: dict[str, Any] = {"week": week, "call": row, "look": look}
    context["row"] = get_object_or_404(week.expected_looks.select_related("formation", "concept"), pk=look)
    try:
        context["found"] = mending.find_repairs(week, row.name, look)
        context["sound"] = not context["found"] and mending.is_sound(week, row.name, look)
    except (mending.NoRepair, fits.FitsError) as error:
        context["trouble"] = str(error)
    return web.page(request, "proof/repairs.html", context, partial="proof/_repairs.html")


@require_safe
@access.needs(*access.STAFF)
def repair(request: HttpRequest, pk: int, look: int, call: int, number: int) -> HttpResponse:
    """Shows what one repair does to the other looks of the week, and the look before and after it."""
    week = _week(pk)
    row = _call(week, call)
    context: dict[str, Any] = {"week": week, "call": row, "look": look}
    context["row"] = get_object_or_404(week.expected_looks.select_related("formation", "concept"), pk=look)
    try:
        context["cost"] = mending.weigh_repair(week, row.name, look, number, request.GET.get("text", ""))
    except (mending.NoRepair, fits.FitsError) as error:
        context["trouble"] = str(error)
    status = 409 if "trouble" in context else 200
    return web.page(request, "proof/repair.html", context, partial="proof/_repair_price.html", status=status)


@require_POST
@access.needs(*access.STAFF)
def apply(request: HttpRequest, pk: int, look: int, call: int) -> HttpResponse:
    """Applies one repair to the week's variant, and shows every look that changed."""
    week = _week(pk)
    name = _call(week, call).name
    number, text = whole_number(request.POST.get("number", ""), -1), request.POST.get("text", "")
    form = SayForm(request.POST)
    if not form.is_valid():
        trouble = "; ".join(error for errors in form.errors.values() for error in errors)
        return web.invalid(request, "proof/applied.html", {"week": week, "trouble": trouble})
    try:
        done = mending.apply_repair(week, name, look, number, text, form.says)
    except (mending.NoRepair, fits.FitsError, week_services.KeepsSystem, StaleVersion) as error:
        return web.invalid(request, "proof/applied.html", {"week": week, "trouble": str(error)})
    return web.page(request, "proof/applied.html", {"week": week, "done": done, "text": text})


@require_safe
@access.needs(*access.STAFF)
def compare(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows two plans side by side against the week's looks."""
    week = _week(pk)
    first = {"left": week.system.base or week.system, "right": week.system}
    form = CompareForm(request.GET or None, initial=first)
    context: dict[str, Any] = {"week": week, "form": form}
    if form.is_bound and not form.is_valid():
        return web.invalid(request, "proof/compare.html", context)
    chosen: dict[str, System] = form.cleaned_data if form.is_bound else first
    sides = proof.compare_plans(week, chosen["left"], chosen["right"]) if week.expected_looks.exists() else []
    context |= {"sides": sides, "covered": proof.looks_covered(week, proof.weigh_looks(week)), **chosen}
    return web.page(request, "proof/compare.html", context, partial="proof/_compare.html")


@require_safe
@access.needs(*access.STAFF)
def suggest(request: HttpRequest, pk: int) -> HttpResponse:
    """Suggests a call for each situation, with reasons."""
    week = _week(pk)
    proofs, plays = proof.prove_week(week), proof.week_plays(week)
    found = proof.suggest_menu(week, proofs, plays)
    covered = proof.count_covered([look for look, _ in proofs[0].against], plays) if proofs else None
    return web.page(request, "proof/suggest.html", {"week": week, "suggestions": found, "covered": covered})


@require_POST
@access.needs(*access.STAFF)
def put_on_menu(request: HttpRequest, pk: int) -> HttpResponse:
    """Puts one suggested call on the week's menu."""
    week = _week(pk)
    found = proof.suggest_menu(week, proof.prove_week(week))
    chosen = next((s for s in found if s.situation == request.POST.get("situation")), None)
    names = chosen.offered if chosen else ()
    name = request.POST.get("call", "") or (names[0] if len(names) == 1 else "")
    row = proof.call_row(week, name) if name in names else None
    if chosen is None or row is None:
        messages.error(request, "That suggestion is not the same any more.")
    else:
        week_services.add_row(MenuCall(week=week, call=row, note=chosen.reason[:300], **chosen.menu))
        messages.success(request, f"{row} is on the menu for {chosen.situation}.")
    return web.go(request, reverse("proof:suggest", args=[pk]))


def _call(week: Week, pk: int) -> Call:
    """Returns a call of the week's system, or of the one that it varies."""
    return get_object_or_404(Call, pk=pk, system__in=week_queries.own_systems(week))


def _week(pk: int) -> Week:
    return get_object_or_404(Week.objects.select_related("season", "opponent", "system", "system__base"), pk=pk)


def _expected(week: Week) -> dict[str, Any]:
    counted = looks.count_week(week)
    once = all(line.expected.count < 2 for line in counted.lines)  # in a short chart every look is
    often = 1 if counted.lines and once else 2
    form = TakeForm(initial={"at_least": often})
    return {"week": week, "counted": counted, "form": form, "prior": expecting.PRIOR_WORDS}


@require_safe
@access.needs(*access.STAFF)
def study(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows the whole menu of the opponent against every call: how far it is proven, and how each call fares."""
    return web.page(request, "proof/study.html", _study(_week(pk)), partial="proof/_study.html")


@require_POST
@access.needs(*access.STAFF, writes=access.STAFF)
def study_start(request: HttpRequest, pk: int) -> HttpResponse:
    """Asks the workers to prove the opponent's whole menu."""
    week = _week(pk)
    menu = look_queries.menu(week.opponent)
    studies.start_study(week.system, menu.formations, menu.concepts, who=str(request.user), week=week)
    if web.in_place(request):
        return web.page(request, "proof/study.html", _study(week), partial="proof/_study.html")
    return web.go(request, reverse("proof:study", args=[pk]))


def _study(week: Week) -> dict[str, Any]:
    menu = look_queries.menu(week.opponent)
    looks_asked = week.system.calls.count() * len(menu.formations) * len(menu.concepts) * len(studies.SIDES)
    context: dict[str, Any] = {"week": week, "menu": menu, "looks_asked": looks_asked}
    found = studies.studies_of(week.system).first()
    if found:
        context |= {"study": found, "progress": studies.progress_of(found), "lines": studies.lines_of(found)}
        if context["progress"].finished:
            context["covered"] = proof.menu_covered(week, menu.formations, menu.concepts)
        context["current"] = studies.is_current(found, menu.formations, menu.concepts)
    return context
