"""Pages of the documents, for admins."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.text import slugify
from django.views.decorators.http import require_POST, require_safe

from playbook import access, web
from playbook.exports import queries, services
from playbook.exports.forms import FORMS, PickWeek
from playbook.models import Export, ExportState, Week


@require_safe
@access.needs(*access.ADMINS)
def export_list(request: HttpRequest) -> HttpResponse:
    """Offers the documents of a week, and lists what was made."""
    week = web.week_now(request)
    if "week" in request.GET:
        pick = PickWeek(request.GET)
        if not pick.is_valid():
            return web.invalid(request, "exports/list.html", _context(pick, week))
        week = pick.cleaned_data["week"]
    pick = PickWeek(initial={"week": week})
    return web.page(request, "exports/list.html", _context(pick, week), partial="exports/_made.html")


@require_POST
@access.needs(*access.ADMINS)
def add(request: HttpRequest, week: int, document: str) -> HttpResponse:
    """Asks for a document."""
    if document not in FORMS:
        raise Http404
    chosen = get_object_or_404(queries.weeks(), pk=week)
    form = FORMS[document](request.POST, week=chosen)
    if not form.is_valid():
        context = _context(PickWeek(initial={"week": chosen}), chosen)
        context["forms"] = [form if form.document == other.document else other for other in context["forms"]]
        return web.invalid(request, "exports/list.html", context)
    export = services.ask_for(document, chosen, form.cleaned_data, form.title, request.user)  # type: ignore[arg-type]
    return web.go(request, reverse("exports:detail", args=[export.pk]))


@require_safe
@access.needs(*access.ADMINS)
def detail(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows how far a document is, and hands out its download."""
    export = get_object_or_404(queries.exports(), pk=pk)
    running = export.state in (ExportState.WAITING, ExportState.WORKING)
    context = {"export": export, "running": running}
    return web.page(request, "exports/detail.html", context, partial="exports/_state.html")


@require_safe
@access.needs(*access.ADMINS)
def file(request: HttpRequest, pk: int) -> HttpResponse:
    """Hands out the document."""
    export = get_object_or_404(Export, pk=pk, state=ExportState.DONE)
    response = HttpResponse(bytes(export.content or b""), content_type="application/pdf")
    response["Content-Disposition"] = f'attachment; filename="{slugify(export.title) or "document"}.pdf"'
    response["Cache-Control"] = "private, no-store"
    return response


@require_POST
@access.needs(*access.ADMINS)
def delete(request: HttpRequest, pk: int) -> HttpResponse:
    """Deletes a document."""
    services.delete(get_object_or_404(queries.exports(), pk=pk))
    return web.go(request, reverse("exports:list"))


def _context(pick: PickWeek, week: Week | None) -> dict[str, object]:
    forms = [form(week=week) for form in FORMS.values()] if week else []
    return {"pick": pick, "week": week, "forms": forms, "exports": queries.exports()[:100]}
