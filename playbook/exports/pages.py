"""Pages of the documents: for coaches, and for a player the one page of his own week."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.text import slugify
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from playbook import access, web
from playbook.exports import own, queries, services
from playbook.exports.forms import FORMS, DocumentForm, PickWeek
from playbook.models import Export, ExportState, Happening, Paper, Rights, Week
from playbook.people import log

PAPER = "paper"  # of the session: what was printed on last


@require_safe
@access.needs(*access.STAFF)
def export_list(request: HttpRequest) -> HttpResponse:
    """Offers the documents of a week, and lists what was made. The address may name a document and its choices."""
    week = web.week_now(request)
    if "week" in request.GET:
        pick = PickWeek(request.GET)
        if not pick.is_valid():
            return web.invalid(request, "exports/list.html", _context(request, pick, week))
        week = pick.cleaned_data["week"]
    pick = PickWeek(initial={"week": week})
    return web.page(request, "exports/list.html", _context(request, pick, week), partial="exports/_made.html")


@require_POST
@access.needs(*access.STAFF, writes=access.STAFF)
def add(request: HttpRequest, week: int, document: str) -> HttpResponse:
    """Asks for a document."""
    if document not in FORMS:
        raise Http404
    chosen = get_object_or_404(queries.weeks(), pk=week)
    form = FORMS[document](request.POST, week=chosen)
    if not form.is_valid():
        return web.invalid(
            request, "exports/list.html", _context(request, PickWeek(initial={"week": chosen}), chosen, form)
        )
    request.session[PAPER] = form.cleaned_data[PAPER]
    export = services.ask_for(document, chosen, form.cleaned_data, form.title, access.user_of(request))
    log.write(Happening.DOCUMENT, access.user_of(request), about=export.title, address=web.client_address(request))
    return web.go(request, reverse("exports:detail", args=[export.pk]))


@require_safe
@access.needs(*access.STAFF)
def detail(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows how far a document is, and hands out its download."""
    export = get_object_or_404(queries.exports(), pk=pk)
    running = export.state in (ExportState.WAITING, ExportState.WORKING)
    context = {"export": export, "running": running, "may_delete": access.deletes_document(request.user, export)}
    return web.page(request, "exports/detail.html", context, partial="exports/_state.html")


@require_safe
@access.needs(*access.STAFF)
def file(request: HttpRequest, pk: int) -> HttpResponse:
    """Hands out the document."""
    export = get_object_or_404(Export, pk=pk, state=ExportState.DONE)
    log.write(Happening.DOWNLOAD, access.user_of(request), about=export.title, address=web.client_address(request))
    return _pdf(bytes(export.content or b""), export.title)


@require_POST
@access.needs(*access.STAFF, writes=access.STAFF)
def delete(request: HttpRequest, pk: int) -> HttpResponse:
    """Deletes a document: one's own, an admin anybody's."""
    export = get_object_or_404(queries.exports(), pk=pk)
    if not access.deletes_document(request.user, export):
        raise Http404
    services.delete(export)
    return web.go(request, reverse("exports:list"))


@require_safe
@never_cache
@access.needs(Rights.PLAYER)
def my_week(request: HttpRequest, pk: int) -> HttpResponse:
    """Hands out the player's own week on one page, made at once."""
    paper = request.GET.get("paper", Paper.LETTER)
    if paper not in Paper.values:
        raise Http404
    try:
        made = own.page_of(access.user_of(request), pk, request.GET.get("as", ""), paper)
    except (own.NothingToPrint, Week.DoesNotExist) as nothing:
        raise Http404 from nothing
    log.write(Happening.DOWNLOAD, access.user_of(request), about=f"My week {pk}", address=web.client_address(request))
    return _pdf(made, f"My week {pk}")


def _pdf(content: bytes, title: str) -> HttpResponse:
    response = HttpResponse(content, content_type="application/pdf")
    response["Content-Disposition"] = f'attachment; filename="{slugify(title) or "document"}.pdf"'
    response["Cache-Control"] = "private, no-store"
    return response


def _context(
    request: HttpRequest, pick: PickWeek, week: Week | None, asked: DocumentForm | None = None
) -> dict[str, object]:
    paper, wanted = {PAPER: request.session.get(PAPER, Paper.LETTER)}, request.GET.get("document", "")
    start = paper | {name: request.GET[name] for name in ("look", "call", "position") if name in request.GET}
    forms = [form(week=week, start=start) for form in FORMS.values()] if week else []
    if asked:
        forms = [asked if asked.document == form.document else form for form in forms]
    first = asked.document if asked else wanted
    forms.sort(key=lambda form: form.document != first)
    return {"pick": pick, "week": week, "forms": forms, "first": first, "exports": queries.exports()[:100]}
