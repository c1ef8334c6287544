"""Pages of a single look: pick one, see it whole, ask what if, see what would repair it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_safe

import fits
from playbook import access, web
from playbook.looks import beside, desk, placing, playing, queries
from playbook.looks import repairs as repairing
from playbook.looks.asking import Ask, Setting
from playbook.looks.forms import LookForm, PickForm, PlaceForm
from playbook.looks.specs import surroundings
from playbook.models import Call, Concept, ExpectedLook, Formation
from playbook.notes.places import Place
from playbook.notes.services import open_board
from playbook.system import changes as history
from playbook.system.services import Refused


@require_safe
@access.needs(*access.STAFF)
def start(request: HttpRequest) -> HttpResponse:
    """Goes to the look that was picked, else to the first one of the current week; without one, picks one."""
    if not any(name in request.GET for name in ("call", "formation", "concept")):
        first = desk.first_look(web.week_now(request))
        return web.go(request, first) if first else web.page(request, "looks/start.html", _any_look())
    form = PickForm(request.GET)
    if not form.is_valid():
        return web.invalid(request, "looks/start.html", {"form": form})
    ask = form.ask()
    asked = LookForm(_with_steps_of(request, ask.formation), ask)
    if web.in_place(request):
        return _show(request, ask, asked)
    setting = asked.setting() if asked.is_valid() else None
    return web.go(request, replace(ask, setting=setting).address(asked.view()) if setting else ask.address())


@require_safe
@access.needs(*access.STAFF)
def of_call(request: HttpRequest, pk: int) -> HttpResponse:
    """Goes to a call's look: the first of the current week against it, else one that it can be drawn against."""
    call = get_object_or_404(Call.objects.select_related("system"), pk=pk)
    return web.go(request, desk.look_of_call(call, web.week_now(request)) or reverse("system:edit-call", args=[pk]))


@require_safe
@access.needs(*access.STAFF)
def of_week(request: HttpRequest, pk: int) -> HttpResponse:
    """Goes to a look that a week expects, against the first call of its menu."""
    row = get_object_or_404(
        ExpectedLook.objects.select_related("week__system", "formation", "concept", "motion"), pk=pk
    )
    return web.go(request, desk.first_look(row.week, row) or reverse("week:detail", args=[row.week_id]))


def _with_steps_of(request: HttpRequest, formation: Formation) -> Any:
    """Returns the query without first steps of men whom the formation does not have."""
    query, roles = request.GET.copy(), set(formation.players.values_list("role", flat=True))
    for key in [key for key in query if key.startswith("step-") and key.removeprefix("step-") not in roles]:
        del query[key]
    return query


def _any_look() -> dict[str, Any]:
    """The form with a look that can be run, if there is any."""
    return {"form": PickForm(initial=desk.runnable()), "any_call": Call.objects.exists()}


@require_safe
@access.needs(*access.STAFF)
def detail(request: HttpRequest, call: int, formation: int, concept: int) -> HttpResponse:
    """Shows one look: the sentence that switches it, its drawing, its men with why, the week's looks beside it."""
    ask = _rows(call, formation, concept)
    return _show(request, ask, LookForm(request.GET, ask))


def _show(request: HttpRequest, ask: Ask, form: LookForm) -> HttpResponse:
    ask = _with_setting(ask, form)
    context: dict[str, Any] = {"ask": ask, "form": form}
    if not form.is_valid():
        return web.invalid(request, "looks/detail.html", context, partial="looks/_look.html")
    around, look = surroundings(ask.call.system_id, ask.setting.week), None
    try:
        look = queries.known_look(ask, around)
        context |= desk.shown(ask, form, look, around)
        place = Place(ask.setting.week, ask.formation, ask.concept, ask.call)
        context |= {"board": open_board(access.user_of(request), place), "back": ask.address(form.view())}
        context["repairs"] = repairing.address(ask, [*form.view(), ("state", queries.state(look))])
    except fits.FitsError as error:
        context |= {"refused": str(error), "plain": ask.setting != Setting(week=ask.setting.week)}
    context |= {"sentence": desk.sentence(ask, form, look, around), "desk": desk.ribbon(ask)}
    page = web.page if look else web.invalid
    response = page(request, "looks/detail.html", context, partial="looks/_look.html")
    response["HX-Push-Url"] = ask.address(form.view())
    return response


@require_safe
@access.needs(*access.STAFF)
def meeting(request: HttpRequest, call: int, formation: int, concept: int) -> HttpResponse:
    """Shows one look on a projector, revealed step by step."""
    ask, form = _asked(request, call, formation, concept)
    if not form.is_valid():
        return web.go(request, ask.address())
    try:
        return web.page(request, "looks/meeting.html", desk.on_projector(ask, form))
    except fits.FitsError as error:
        context = {"ask": ask, "refused": str(error), **desk.beside(ask)}
        return web.invalid(request, "looks/meeting.html", context)


@require_safe
@access.needs(*access.STAFF)
def compare(request: HttpRequest, call: int, formation: int, concept: int) -> HttpResponse:
    """Shows the look beside the same run against another call, or before and after a change, with who differs."""
    ask, form = _asked(request, call, formation, concept)
    if not form.is_valid():
        return web.go(request, ask.address())
    up, asked = form.cleaned_data["up"], request.GET.get("other", "")
    changes = history.changes_of(ask.call.system)
    change, other = beside.which_change(changes, asked), beside.other_call(ask, asked)
    context: dict[str, Any] = {"ask": ask, "calls": ask.call.system.calls.all(), "change": change, "other": other}
    context["changes"] = [one for at, one in enumerate(changes) if at < beside.OFFERED or one is change]
    try:
        if change:
            context |= beside.before_and_after(ask, change, up)
        elif other:
            context |= beside.two_calls(ask, other, up)
    except Refused as refused:
        context["refused"] = refused.text
    return web.page(request, "looks/compare.html", context)


@require_safe
@access.needs(*access.STAFF)
def place(request: HttpRequest, call: int, formation: int, concept: int) -> HttpResponse:
    """Proposes the rule that puts a man where he was dragged to."""
    ask, form = _asked(request, call, formation, concept)
    moved = PlaceForm(request.GET)
    context: dict[str, Any] = {"ask": ask}
    if not form.is_valid() or not moved.is_valid():
        return web.invalid(request, "looks/place.html", context, partial="looks/_place.html")
    try:
        context |= placing.propose(ask, moved.cleaned_data, form.cleaned_data["up"], ask.address(form.view()))
    except fits.FitsError as error:
        return web.invalid(request, "looks/place.html", context | {"refused": str(error)}, partial="looks/_place.html")
    return web.page(request, "looks/place.html", context, partial="looks/_place.html")


@require_safe
@access.needs(*access.STAFF)
def play(request: HttpRequest, call: int, formation: int, concept: int) -> HttpResponse:
    """Gives where everybody is, a tenth of a second apart, for the drawings of the look's page."""
    ask, form = _asked(request, call, formation, concept)
    if not form.is_valid():
        return JsonResponse({"refused": "Something in the address is not a choice here."}, status=422)
    try:
        then = beside.call_then(ask, request.GET.get("change", ""), request.GET.get("side", ""))
        return JsonResponse(playing.frames(ask, form.cleaned_data["up"], then))
    except fits.FitsError as error:
        return JsonResponse({"refused": str(error)}, status=422)


@require_safe
@access.needs(*access.STAFF)
def repairs(request: HttpRequest, call: int, formation: int, concept: int) -> HttpResponse:
    """Shows the smallest changes that would make the look sound; under a drawing only while it is the same look."""
    ask, form = _asked(request, call, formation, concept)
    if not form.is_valid():
        return web.invalid(request, "looks/repairs.html", {"ask": ask, "form": form}, partial="looks/_repairs.html")
    if web.in_place(request) and queries.state_now(ask) != request.GET.get("state"):
        return web.page(request, "looks/repairs.html", {"changed": True}, partial="looks/_repairs.html", status=409)
    context = {"ask": ask, "address": ask.address(form.view()), **repairing.find(ask, form.view())}
    return web.page(request, "looks/repairs.html", context, partial="looks/_repairs.html")


@require_safe
@access.needs(*access.STAFF)
def repair(request: HttpRequest, call: int, formation: int, concept: int, number: int) -> HttpResponse:
    """Shows what one repair does to the other looks of the call, and the look before and after it."""
    ask, form = _asked(request, call, formation, concept)
    context: dict[str, Any] = {"ask": ask, "form": form}
    if not form.is_valid():
        return web.invalid(request, "looks/repair.html", context, partial="looks/_repair_price.html")
    context = {"ask": ask, "back": repairing.address(ask, form.view())}
    context |= repairing.price(ask, number, request.GET.get("of", ""))
    status = 409 if context.get("changed") else 200
    return web.page(request, "looks/repair.html", context, partial="looks/_repair_price.html", status=status)


def _asked(request: HttpRequest, call: int, formation: int, concept: int) -> tuple[Ask, LookForm]:
    """Returns the question that the address holds, and its form; the plain question where the form is not valid."""
    ask = _rows(call, formation, concept)
    form = LookForm(request.GET, ask)
    return _with_setting(ask, form), form


def _rows(call: int, formation: int, concept: int) -> Ask:
    return Ask(
        get_object_or_404(Call.objects.select_related("system", "front", "coverage"), pk=call),
        get_object_or_404(Formation.objects.select_related("opponent"), pk=formation),
        get_object_or_404(Concept.objects.select_related("opponent"), pk=concept),
    )


def _with_setting(ask: Ask, form: LookForm) -> Ask:
    return queries.in_week(replace(ask, setting=form.setting())) if form.is_valid() else ask
