"""The roster: who plays where, and how fast."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from playbook import access, web
from playbook.models import Player, RosterSpot, StaleVersion, System
from playbook.roster import queries, services
from playbook.roster.forms import PlayerForm


@require_safe
@access.needs(*access.STAFF)
def roster_list(request: HttpRequest) -> HttpResponse:
    """Lists the men, filtered by name, number or position."""
    words, everyone = request.GET.get("q", ""), bool(request.GET.get("all"))
    context = {
        "players": queries.roster(words, everyone),
        "words": words,
        "everyone": everyone,
        "systems": queries.own_systems(),
    }
    return web.page(request, "roster/list.html", context, partial="roster/_players.html")


@require_http_methods(["GET", "HEAD", "POST"])
@access.needs(*access.STAFF)
def add(request: HttpRequest) -> HttpResponse:
    """Adds a man."""
    return _player_form(request, Player())


@require_http_methods(["GET", "HEAD", "POST"])
@access.needs(*access.STAFF)
def edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Changes a man."""
    return _player_form(request, get_object_or_404(Player, pk=pk))


def _player_form(request: HttpRequest, player: Player) -> HttpResponse:
    form = PlayerForm(request.POST or None, instance=player)
    context = {"form": form, "player": player}
    if request.method != "POST":
        return web.page(request, "roster/edit.html", context)
    if not form.is_valid():
        return web.invalid(request, "roster/edit.html", context)
    try:
        saved = services.save_player(player, form.cleaned_data["version"], form.row_fields(), form.positions())
    except StaleVersion as stale:
        return _conflict(request, player, stale.current)
    messages.success(request, f"{saved} is saved.")
    return web.go(request, reverse("roster:list"))


def _conflict(request: HttpRequest, mine: Player, theirs: Player | None) -> HttpResponse:
    context = {
        "what": str(mine),
        "mine": _as_text(mine),
        "theirs": _as_text(theirs) if theirs else "",
        "back": reverse("roster:edit", args=[mine.pk]) if theirs else reverse("roster:list"),
    }
    return web.conflict(request, context)


def _as_text(player: Player) -> str:
    lines = [("Name", player), ("Number", player.number), ("Class", player.class_year)]
    lines += [("10 yards, s", player.ten_yd_s), ("40 yards, s", player.forty_yd_s)]
    lines += [("Log-in", player.user), ("On the roster now", "yes" if player.active else "no")]
    return "\n".join(f"{label}: {'' if value is None else value}" for label, value in lines)


@require_safe
@access.needs(*access.STAFF)
def depth(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows each position of a system with its men in order."""
    found = get_object_or_404(System, pk=pk)
    context = {"system": found, "lines": queries.depth_chart(found), "systems": queries.own_systems()}
    return web.page(request, "roster/depth.html", context, partial="roster/_depth.html")


@require_POST
@access.needs(*access.STAFF)
def move_up(request: HttpRequest, pk: int) -> HttpResponse:
    """Puts a man one place up at a position."""
    spot = get_object_or_404(RosterSpot.objects.select_related("position__system"), pk=pk, player__active=True)
    services.move_spot_up(spot)
    system = spot.position.system
    if web.in_place(request):
        context = {"system": system, "lines": queries.depth_chart(system)}
        return web.page(request, "roster/depth.html", context, partial="roster/_depth.html")
    return web.go(request, reverse("roster:depth", args=[system.pk]))
