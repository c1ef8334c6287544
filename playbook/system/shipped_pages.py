"""Pages of what is shipped better than a staff's copy of it."""

from __future__ import annotations

from collections.abc import Callable, Collection

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from playbook import access, web
from playbook.looks import queries as looks
from playbook.looks.specs import surroundings
from playbook.models import System
from playbook.system import impact, services
from playbook.system import shipped as improved

PAGE = "system/shipped.html"


@require_safe
@access.needs(*access.STAFF)
def shipped(request: HttpRequest, pk: int) -> HttpResponse:
    """Lists what may be taken, each as it is here and as it is shipped."""
    system = _system(pk)
    return web.page(request, PAGE, {"system": system, "items": improved.improvements(system)})


@require_POST
@access.needs(*access.STAFF)
def attempt(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows every look that the chosen ones would change; nothing is taken."""
    system, keys = _system(pk), set(request.POST.getlist("take"))
    context = {"system": system, "items": improved.improvements(system), "chosen": keys, "tried": True}
    opponent = looks.next_opponent()
    context["wanted"] = not keys
    try:
        if keys:
            after, rows = improved.with_taken(system, keys), system.calls.select_related("system", "front", "coverage")
            calls = [call for call in rows if call.name in after.calls()]
            context["impact"] = impact.compare(calls, after, looks.menu(opponent), surroundings(system.pk))
    except services.Refused as refused:
        context["refused"] = refused.text
    return web.page(request, PAGE, context, partial="system/_shipped_impact.html")


@require_POST
@access.needs(*access.STAFF)
def take(request: HttpRequest, pk: int) -> HttpResponse:
    """Takes the chosen ones, as one change that can be undone."""
    return _carry_out(request, pk, improved.take, "taken")


@require_POST
@access.needs(*access.STAFF)
def leave(request: HttpRequest, pk: int) -> HttpResponse:
    """Leaves the chosen ones as they are here and offers them no more."""
    return _carry_out(request, pk, improved.leave, "left as they are here")


def _carry_out(request: HttpRequest, pk: int, do: Callable[[System, Collection[str]], int], words: str) -> HttpResponse:
    system, keys = _system(pk), set(request.POST.getlist("take"))
    if not keys:
        messages.error(request, "Choose at least one.")
        return web.go(request, reverse("system:shipped", args=[pk]))
    try:
        count = services.carry_out(system, lambda: do(system, keys))
    except services.Refused as refused:
        messages.error(request, f"Nothing was taken. {refused.text}")
    else:
        messages.success(request, f"{count} {words}.")
    return web.go(request, reverse("system:shipped", args=[pk]))


def _system(pk: int) -> System:
    return get_object_or_404(System.objects.select_related("scheme", "base"), pk=pk)
