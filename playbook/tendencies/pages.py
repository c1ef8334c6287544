"""Pages of tendencies, for staff."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from playbook import access, web
from playbook.charts.queries import Choice, plays_of
from playbook.charts.words import aliases_of, vocabulary_of
from playbook.models import Opponent
from playbook.tendencies import queries
from playbook.tendencies.forms import ChoiceForm


@require_safe
@access.needs(*access.STAFF)
def opponent(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows what the opponent does, with n and interval."""
    return web.page(request, "tendencies/opponent.html", _tendencies(request, pk), partial="tendencies/_opponent.html")


@require_safe
@access.needs(*access.STAFF)
def opponent_print(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows the same for paper."""
    return web.page(request, "tendencies/print.html", _tendencies(request, pk))


def _tendencies(request: HttpRequest, pk: int) -> dict[str, Any]:
    found = get_object_or_404(Opponent, pk=pk)
    form = ChoiceForm(request.GET or None, opponent=found)
    vocabulary = vocabulary_of(found)
    choice = form.choice if form.is_bound else Choice()
    plays = vocabulary.said(plays_of(found, choice, aliases_of(found, vocabulary)))
    return {"opponent": found, "form": form, "t": queries.tendencies(plays), "query": request.GET.urlencode()}


@require_safe
@access.needs(*access.STAFF)
def own(request: HttpRequest) -> HttpResponse:
    """Shows what our own calls give away."""
    return web.page(request, "tendencies/own.html", {"own": queries.own_calls()})
