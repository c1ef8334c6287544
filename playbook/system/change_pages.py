"""Pages of a system's history."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from playbook import access, web
from playbook.looks import beside
from playbook.models import System
from playbook.system import changes as history
from playbook.system import knowing, services


@require_safe
@access.needs(*access.STAFF)
def changes(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows who changed what and when, before and after."""
    system = get_object_or_404(System, pk=pk)
    context = {"system": system, "changes": history.changes_of(system), "shown": history.SHOWN}
    return web.page(request, "system/changes.html", context)


@require_safe
@access.needs(*access.STAFF)
def drawn(request: HttpRequest, pk: int, change: UUID) -> HttpResponse:
    """Goes to a look that the change made another, before and after it beside each other."""
    system = get_object_or_404(System, pk=pk)
    week = knowing.week_with(pk, web.week_now(request))
    try:
        ask, differs = beside.first_that_differs(system, change, week)
    except services.Refused as refused:
        messages.error(request, f"Not drawn: {refused.text}")
        return web.go(request, reverse("system:changes", args=[pk]))
    if ask is None:
        messages.info(request, "There is no look to draw it on yet: it takes a call, a formation and a run.")
        return web.go(request, reverse("system:changes", args=[pk]))
    if not differs:
        messages.info(request, "No look of this week is another by that change.")
    return web.go(request, ask.part("compare", [("other", str(change))]))


@require_POST
@access.needs(*access.STAFF)
def undo(request: HttpRequest, pk: int, change: UUID) -> HttpResponse:
    """Takes one change back, as a new change."""
    system = get_object_or_404(System, pk=pk)
    try:
        services.carry_out(system, lambda: history.undo(system, change))
    except services.Refused as refused:
        messages.error(request, f"Not undone: {refused.text}")
    else:
        messages.success(request, "That change is taken back. Undo this undoing here too, if you want it again.")
    return web.go(request, reverse("system:changes", args=[pk]))
