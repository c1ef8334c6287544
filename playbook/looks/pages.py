"""Pages of a single look: pick one, see it whole, ask what if, see what would repair it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

import fits
from playbook import access, web
from playbook.looks import queries
from playbook.looks import repairs as repairing
from playbook.looks.asking import Ask, Setting
from playbook.looks.forms import LookForm, PickForm, step_choices
from playbook.looks.specs import surroundings
from playbook.models import Call, Concept, Formation


@require_safe
@access.needs(*access.STAFF)
def start(request: HttpRequest) -> HttpResponse:
    """Picks a look, or goes to the one that was picked."""
    picked = request.GET.get("formation") or request.GET.get("concept")
    form = PickForm(request.GET) if picked else PickForm(initial={"call": request.GET.get("call")})
    if form.is_bound:
        if form.is_valid():
            return web.go(request, form.ask().address())
        return web.invalid(request, "looks/start.html", {"form": form})
    return web.page(request, "looks/start.html", {"form": form, "any_call": Call.objects.exists()})


@require_safe
@access.needs(*access.STAFF)
def detail(request: HttpRequest, call: int, formation: int, concept: int) -> HttpResponse:
    """Shows one look: drawing, every man with why, findings, margins, and what if."""
    ask, form = _asked(request, call, formation, concept)
    context: dict[str, Any] = {"ask": ask, "form": form}
    if not form.is_valid():
        return web.invalid(request, "looks/detail.html", context, partial="looks/_look.html")
    try:
        context |= _shown(ask, form)
    except fits.FitsError as error:
        refused = {"ask": ask, "refused": str(error), "plain": ask.setting != Setting()}
        return web.invalid(request, "looks/detail.html", context | refused, partial="looks/_look.html")
    response = web.page(request, "looks/detail.html", context, partial="looks/_look.html")
    response["HX-Push-Url"] = context["address"]
    return response


@require_safe
@access.needs(*access.STAFF)
def repairs(request: HttpRequest, call: int, formation: int, concept: int) -> HttpResponse:
    """Shows the smallest changes that would make the look sound; under a drawing only while it is the same look."""
    ask, form = _asked(request, call, formation, concept)
    if not form.is_valid():
        return web.invalid(request, "looks/repairs.html", {"ask": ask, "form": form}, partial="looks/_repairs.html")
    if request.htmx and queries.state_now(ask) != request.GET.get("state"):  # type: ignore[attr-defined]
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
    ask = Ask(
        get_object_or_404(Call.objects.select_related("system", "front", "coverage"), pk=call),
        get_object_or_404(Formation.objects.select_related("opponent"), pk=formation),
        get_object_or_404(Concept.objects.select_related("opponent"), pk=concept),
    )
    form = LookForm(request.GET, ask)
    return (queries.in_week(replace(ask, setting=form.setting())) if form.is_valid() else ask), form


def _shown(ask: Ask, form: LookForm) -> dict[str, Any]:
    around = surroundings(ask.call.system_id, ask.setting.week)
    look = queries.known_look(ask, around)
    role, up = form.cleaned_data["role"], form.cleaned_data["up"]
    others = [(word, label, _view(ask, role, word)) for word, label in form.fields["up"].choices]  # type: ignore[attr-defined]
    return {
        "ask": ask,
        "look": look,
        "verdict": queries.sum_up(look),
        "svg": queries.drawing(look, role, up, around.book),
        "men": [(man, _view(ask, "" if man.role == role else man.role, up)) for man in look.defenders],
        "eyes_of": role,
        "chosen": next((man for man in look.defenders if man.role == role), None),
        "turns": others,
        "up": up,
        "everyone": _view(ask, "", up),
        "address": ask.address(form.view()),
        "steps": step_choices(look),
        "repairs": repairing.address(ask, [*form.view(), ("state", queries.state(look))]),
    }


def _view(ask: Ask, role: str, up: str) -> str:
    view = [("role", role)] if role else []
    return ask.address(view + ([("up", up)] if up != "offense" else []))
