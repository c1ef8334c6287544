"""Pages of systems: lists, fronts and coverages with their rules, calls, positions, files."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.text import slugify
from django.views.decorators.http import require_http_methods, require_POST, require_safe

import fits
from playbook import access, convert, web
from playbook.models import Call, StaleVersion, System
from playbook.notes.places import Place
from playbook.notes.services import open_board
from playbook.system import forms, lists, queries, services, shipped, vocabulary
from playbook.system.rules import Owner, noun

FORM_METHODS = ["GET", "HEAD", "POST"]


@require_safe
@access.needs(*access.STAFF)
def system_list(request: HttpRequest) -> HttpResponse:
    """Lists the systems."""
    context = {"systems": queries.systems(), "left_out": convert.shipped_left_out()}
    return web.page(request, "system/list.html", context)


@require_POST
@access.needs(*access.STAFF)
def take_whole(request: HttpRequest) -> HttpResponse:
    """Takes a shipped system that was deleted into the list again."""
    name = request.POST.get("name", "")
    if name not in convert.shipped_left_out():
        messages.info(request, "That system is in the list already, or none of that name is shipped.")
        return web.go(request, reverse("system:list"))
    system = convert.write_shipped(name)
    messages.success(request, f"{system} is taken in.")
    return web.go(request, reverse("system:detail", args=[system.pk]))


@require_safe
@access.needs(*access.STAFF)
def detail(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows a system's fronts, coverages, calls and positions."""
    system = get_object_or_404(System.objects.select_related("scheme", "base"), pk=pk)
    context: dict[str, Any] = {"system": system, "calls": system.calls.select_related("front", "coverage")}
    context["pressures"] = [{**row, "label": lists.label_of(row)} for row in system.pressures]
    try:
        services.proven(system)
        context["improved"] = len(shipped.improvements(system))
    except services.Refused as refused:
        context["broken"] = refused.text
    return web.page(request, "system/detail.html", context)


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Changes a system's label, source and words for sides."""
    system = get_object_or_404(System, pk=pk)
    form = forms.SystemForm(request.POST or None, instance=system, initial={"version": system.version})
    return _row_form(request, system, system, form, f"{system}", reverse("system:detail", args=[pk]))


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def variant(request: HttpRequest, pk: int) -> HttpResponse:
    """Makes a variant of a system: the same rules, to change for one opponent."""
    system = get_object_or_404(System.objects.select_related("scheme", "base"), pk=pk)
    form = forms.VariantForm(request.POST or None)
    context = {"form": form, "system": system, "title": f"A variant of {system}"}
    if request.method != "POST":
        return web.page(request, "system/form.html", context)
    if form.is_valid():
        try:
            made = services.copy_system(system, form.cleaned_data["label"])
        except services.Refused as refused:
            form.add_error("label", refused.text)
        else:
            messages.success(request, f"{made} is made.")
            return web.go(request, reverse("system:detail", args=[made.pk]))
    return web.invalid(request, "system/form.html", context)


@require_POST
@access.needs(*access.STAFF)
def delete(request: HttpRequest, pk: int) -> HttpResponse:
    """Deletes a system that no week uses."""
    system = get_object_or_404(System, pk=pk)
    try:
        services.delete_system(system)
    except services.Refused as refused:
        messages.error(request, refused.text)
        return web.go(request, reverse("system:detail", args=[pk]))
    messages.success(request, f"{system} is deleted.")
    return web.go(request, reverse("system:list"))


@require_safe
@access.needs(*access.STAFF)
def export(request: HttpRequest, pk: int) -> HttpResponse:
    """Gives the whole system as one file."""
    system = get_object_or_404(System.objects.select_related("scheme"), pk=pk)
    try:
        text = convert.export_system(system)
    except fits.FitsError as error:
        messages.error(request, str(error))
        return web.go(request, reverse("system:detail", args=[pk]))
    response = HttpResponse(text, content_type="application/toml; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="{slugify(system.name) or "system"}.toml"'
    return response


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def import_file(request: HttpRequest) -> HttpResponse:
    """Takes in a system file; a file that is wrong changes nothing and is told where it is wrong."""
    form = forms.FileForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        try:
            system = convert.import_system(form.text(), form.cleaned_data["file"].name)
        except UnicodeDecodeError as error:
            form.add_error("file", f"Expected text in UTF-8; byte {error.start + 1} is not. Nothing was changed.")
        except (fits.FitsError, convert.InUse) as error:
            form.add_error("file", f"{error} Nothing was changed.")
        else:
            messages.success(request, f"{system} is taken in.")
            return web.go(request, reverse("system:detail", args=[system.pk]))
    page = web.invalid if request.method == "POST" else web.page
    return page(request, "system/import.html", {"form": form})


@require_safe
@access.needs(*access.STAFF)
def phrasebook(request: HttpRequest) -> HttpResponse:
    """Shows every phrase that a rule may use, with what it means."""
    context = {"lists": vocabulary.phrasebook(), "leverages": vocabulary.leverages()}
    return web.page(request, "system/phrasebook.html", context)


# Fronts, coverages, calls


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def add_front(request: HttpRequest, pk: int) -> HttpResponse:
    """Adds a front."""
    return _add_part(request, get_object_or_404(System, pk=pk), "front")


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def add_coverage(request: HttpRequest, pk: int) -> HttpResponse:
    """Adds a coverage."""
    return _add_part(request, get_object_or_404(System, pk=pk), "coverage")


def _add_part(request: HttpRequest, system: System, what: str) -> HttpResponse:
    kind, parts = (forms.FrontForm, system.fronts) if what == "front" else (forms.CoverageForm, system.coverages)
    add = services.add_front if what == "front" else services.add_coverage
    form, copy = kind(request.POST or None), forms.CopyFrom(request.POST or None, parts=parts.all())
    context = {"form": form, "more": copy, "system": system, "title": f"A new {what} of {system}"}
    if request.method != "POST":
        return web.page(request, "system/form.html", context)
    if form.is_valid() and copy.is_valid():
        values = {name: form.cleaned_data[name] for name in form.Meta.fields}
        try:
            made = services.carry_out(system, lambda: add(system, values, copy.cleaned_data["copy"]))
        except services.Refused as refused:
            services.tell(form, refused)
        else:
            return web.go(request, reverse(f"system:{what}", args=[made.pk]))
    return web.invalid(request, "system/form.html", context)


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def edit_front(request: HttpRequest, pk: int) -> HttpResponse:
    """Changes a front's name, label and strength."""
    return _edit_part(request, queries.owner("front", pk), forms.FrontForm)


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def edit_coverage(request: HttpRequest, pk: int) -> HttpResponse:
    """Changes a coverage's name, label and shell."""
    return _edit_part(request, queries.owner("coverage", pk), forms.CoverageForm)


def _edit_part(request: HttpRequest, part: Owner, kind: Any) -> HttpResponse:
    form = kind(request.POST or None, instance=part, initial={"version": part.version})
    back = reverse(f"system:{noun(part)}", args=[part.pk])
    return _row_form(request, part.system, part, form, f"{noun(part)} {part}", back)


@require_POST
@access.needs(*access.STAFF)
def delete_front(request: HttpRequest, pk: int) -> HttpResponse:
    """Deletes a front that no call uses."""
    return _delete_part(request, queries.owner("front", pk))


@require_POST
@access.needs(*access.STAFF)
def delete_coverage(request: HttpRequest, pk: int) -> HttpResponse:
    """Deletes a coverage that no call uses."""
    return _delete_part(request, queries.owner("coverage", pk))


def _delete_part(request: HttpRequest, part: Any) -> HttpResponse:
    try:
        services.carry_out(part.system, lambda: services.delete_row(part))
    except services.Refused as refused:
        messages.error(request, refused.text)
    else:
        messages.success(request, f"{part} is deleted.")
    return web.go(request, reverse("system:detail", args=[part.system_id]))


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def add_call(request: HttpRequest, pk: int) -> HttpResponse:
    """Adds a call."""
    system = get_object_or_404(System, pk=pk)
    form = forms.CallForm(request.POST or None, system=system)
    context = {"form": form, "system": system, "title": f"A new call of {system}"}
    if request.method != "POST":
        return web.page(request, "system/form.html", context)
    if form.is_valid():
        values = {name: form.cleaned_data[name] for name in form.Meta.fields}
        try:
            services.carry_out(system, lambda: services.add_call(system, values))
        except services.Refused as refused:
            services.tell(form, refused)
        else:
            return web.go(request, reverse("system:detail", args=[pk]))
    return web.invalid(request, "system/form.html", context)


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def edit_call(request: HttpRequest, pk: int) -> HttpResponse:
    """Changes a call."""
    call = get_object_or_404(Call.objects.select_related("system", "front", "coverage"), pk=pk)
    form = forms.CallForm(request.POST or None, instance=call, system=call.system, initial={"version": call.version})
    notes = {"board": open_board(access.user_of(request), Place(web.week_now(request), call=call))}
    back = reverse("system:detail", args=[call.system_id])
    return _row_form(request, call.system, call, form, f"call {call}", back, notes)


@require_POST
@access.needs(*access.STAFF)
def delete_call(request: HttpRequest, pk: int) -> HttpResponse:
    """Deletes a call that no week uses."""
    return _delete_part(request, get_object_or_404(Call.objects.select_related("system"), pk=pk))


def _row_form(
    request: HttpRequest, system: System, row: Any, form: Any, what: str, back: str, more: dict[str, Any] | None = None
) -> HttpResponse:
    """Shows or saves the form of a row that counts its versions; `more` is what else its page shows."""
    context = {"form": form, "system": system, "title": f"Change {what}", **(more or {})}
    if request.method != "POST":
        return web.page(request, "system/form.html", context)
    before = type(row).objects.get(pk=row.pk)
    if form.is_valid():
        values = {name: form.cleaned_data[name] for name in form.Meta.fields}
        try:
            services.carry_out(system, lambda: services.change_row(before, form.cleaned_data["version"] or 0, values))
        except StaleVersion as stale:
            return web.conflict(request, _two_texts(values, stale.current, back, what))
        except services.Refused as refused:
            services.tell(form, refused)
        else:
            messages.success(request, f"{what[0].upper()}{what[1:]} is saved.")
            return web.go(request, back)
    return web.invalid(request, "system/form.html", context)


def _two_texts(values: dict[str, Any], current: Any, back: str, what: str) -> dict[str, Any]:
    def text(get: Any) -> str:
        return "\n".join(f"{name}: {get(name)}" for name in values)

    theirs = text(lambda name: getattr(current, name)) if current else ""
    return {"mine": text(values.get), "theirs": theirs, "back": back, "what": what}
