"""Pages of a system's history."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from playbook import access, web
from playbook.models import System
from playbook.system import changes as history
from playbook.system import services


@require_safe
@access.needs(*access.STAFF)
def changes(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows who changed what and when, before and after."""
    system = get_object_or_404(System, pk=pk)
    context = {"system": system, "changes": history.changes_of(system), "shown": history.SHOWN}
    return web.page(request, "system/changes.html", context)


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
