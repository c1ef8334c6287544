"""Pages of opponents and of the library."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from playbook import access, web
from playbook.models import Concept, Formation, Motion, Opponent, StaleVersion
from playbook.opponent import forms, queries, services

FORM_METHODS = ["GET", "HEAD", "POST"]


@require_safe
@access.needs(*access.STAFF)
def opponent_list(request: HttpRequest) -> HttpResponse:
    """Lists the opponents."""
    return web.page(request, "opponent/list.html", {"opponents": queries.opponents()})


@require_safe
@access.needs(*access.STAFF)
def library(request: HttpRequest) -> HttpResponse:
    """Shows the staff's own formations, runs and motions, which every opponent's menu can use."""
    return web.page(request, "opponent/library.html", queries.library())


@require_safe
@access.needs(*access.STAFF)
def detail(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows what an opponent carries into a game."""
    opponent = get_object_or_404(Opponent, pk=pk)
    context = {
        "opponent": opponent,
        "formations": queries.carried(Formation, opponent),
        "concepts": queries.carried(Concept, opponent),
        "motions": queries.carried(Motion, opponent),
        "options": opponent.own_options.all(),
        "weeks": opponent.weeks.select_related("season"),
    }
    return web.page(request, "opponent/detail.html", context)


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def add(request: HttpRequest) -> HttpResponse:
    """Adds an opponent."""
    form = forms.OpponentForm(request.POST or None)
    if request.method != "POST":
        return web.page(request, "opponent/form.html", {"form": form, "title": "Add an opponent"})
    if form.is_valid():
        opponent = form.save()
        return web.go(request, reverse("opponent:menu", args=[opponent.pk]))
    return web.invalid(request, "opponent/form.html", {"form": form, "title": "Add an opponent"})


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Changes an opponent's name and note."""
    opponent = get_object_or_404(Opponent, pk=pk)
    form = forms.OpponentForm(request.POST or None, instance=opponent, initial={"version": opponent.version})
    return _opponent_form(request, pk, form, "opponent/form.html", services.save_opponent)


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def menu(request: HttpRequest, pk: int) -> HttpResponse:
    """Chooses what of the library an opponent carries."""
    opponent = get_object_or_404(Opponent, pk=pk)
    form = forms.MenuForm(request.POST or None, instance=opponent, initial={"version": opponent.version})
    return _opponent_form(request, pk, form, "opponent/menu.html", services.save_menu)


def _opponent_form(request: HttpRequest, pk: int, form: Any, template: str, save: Any) -> HttpResponse:
    opponent = Opponent.objects.get(pk=pk)
    context = {"form": form, "title": f"Change {opponent}", "opponent": opponent}
    if request.method != "POST":
        return web.page(request, template, context)
    if form.is_valid():
        values = {name: form.cleaned_data[name] for name in form.Meta.fields}
        back = reverse("opponent:detail", args=[pk])
        try:
            save(opponent, form.cleaned_data["version"] or 0, values)
        except StaleVersion as stale:
            return web.conflict(request, _both(values, stale.current, request.path, opponent))
        messages.success(request, f"{opponent} is saved.")
        return web.go(request, back)
    return web.invalid(request, template, context)


def _both(values: dict[str, Any], current: Any, back: str, what: object) -> dict[str, Any]:
    def words(value: Any) -> str:
        rows = value.all() if hasattr(value, "all") else value
        return rows if isinstance(rows, str) else ", ".join(str(row) for row in rows) or "none"

    mine = "\n".join(f"{name}: {words(value)}" for name, value in values.items())
    theirs = "\n".join(f"{name}: {words(getattr(current, name))}" for name in values) if current else ""
    return {"mine": mine, "theirs": theirs, "back": back, "what": what}


@require_POST
@access.needs(*access.STAFF)
def delete(request: HttpRequest, pk: int) -> HttpResponse:
    """Deletes an opponent that no week uses."""
    opponent = get_object_or_404(Opponent, pk=pk)
    try:
        services.delete(opponent)
    except services.Refused as refused:
        messages.error(request, str(refused))
        return web.go(request, reverse("opponent:detail", args=[pk]))
    messages.success(request, f"{opponent} is deleted.")
    return web.go(request, reverse("opponent:list"))
