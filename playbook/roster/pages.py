"""The roster: who plays where, and how fast."""

from collections import Counter
from datetime import timedelta
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from playbook import access, web
from playbook.models import Player, Rights, RosterSpot, StaleVersion, System
from playbook.people import services as people
from playbook.roster import queries, services, taking
from playbook.roster.forms import PlayerForm, TakeForm
from playbook.serving import network
from playbook.text import whole_number

MEN_A_PAGE = 100


@require_safe
@access.needs(*access.STAFF)
def roster_list(request: HttpRequest) -> HttpResponse:
    """Lists the men, filtered by name, number or position."""
    words, everyone = request.GET.get("q", ""), bool(request.GET.get("all"))
    context = {
        "players": Paginator(queries.roster(words, everyone), MEN_A_PAGE).get_page(request.GET.get("page")),
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


@require_http_methods(["GET", "HEAD", "POST"])
@access.needs(*access.STAFF)
def take(request: HttpRequest) -> HttpResponse:
    """Takes in many men from a file or typed lines: first what would change, then all of it at once."""
    form = TakeForm(request.POST or None, request.FILES or None)
    if request.method != "POST":
        return web.page(request, "roster/take.html", {"form": form})
    if not form.is_valid():
        return web.invalid(request, "roster/take.html", {"form": form})
    system, log_ins = form.cleaned_data["system"], form.cleaned_data["log_ins"]
    proposals = taking.propose(form.cleaned_data["rows"], system)
    if "save" in request.POST and not form.cleaned_data["file"]:
        try:
            taken, made = taking.take(proposals, system, log_ins)
        except StaleVersion as stale:
            form.add_error(
                None, f"{stale.current or 'A man'} was changed or taken away meanwhile. Check the list again."
            )
            return web.invalid(request, "roster/take.html", {"form": form})
        said = f"{taken} {'man' if taken == 1 else 'men'} taken in"
        messages.success(request, f"{said}, {made} log-in{'' if made == 1 else 's'} made." if made else f"{said}.")
        return web.go(request, reverse("roster:links") if made else reverse("roster:list"))
    shown = TakeForm(initial={"system": system, "text": form.cleaned_data["text"], "log_ins": log_ins})
    context = {"form": shown, "proposals": proposals, "counts": Counter(one.state for one in proposals)}
    return web.page(request, "roster/take.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@access.needs(*access.STAFF, writes=access.STAFF)
@never_cache
def links(request: HttpRequest) -> HttpResponse:
    """Lists who has a log-in; when posted, one-time links of the chosen men with QR codes, to print and cut."""
    context: dict[str, Any] = {"men": queries.log_ins(request.GET.get("q", "")), "words": request.GET.get("q", "")}
    if request.method != "POST":
        return web.page(request, "roster/links.html", context, partial="roster/_links.html")
    chosen = queries.log_ins().filter(pk__in=[whole_number(pk) for pk in request.POST.getlist("man")])
    if not chosen:
        return web.invalid(request, "roster/links.html", context | {"trouble": "Choose at least one man."})
    cards = []
    for man in chosen:
        address = request.build_absolute_uri(
            reverse("people:welcome", args=people.log_in_path(people.make_log_in(man)))
        )
        cards.append({"man": man, "address": address, "qr": people.qr_image(address)})
    days = timedelta(seconds=settings.PASSWORD_RESET_TIMEOUT)
    context = {"cards": cards, "until": timezone.localtime() + days, "host": request.get_host()}
    context["only_here"] = network.only_here(urlsplit(cards[0]["address"]).hostname or "")
    return web.page(request, "roster/cards.html", context)


@require_POST
@access.needs(*access.STAFF, writes=access.STAFF)
def shut_out(request: HttpRequest, pk: int) -> HttpResponse:
    """Signs a man out everywhere at once, as when his phone is lost."""
    man = get_object_or_404(Player, pk=pk, user__role=Rights.PLAYER)
    assert man.user is not None
    people.shut_out(man.user)
    messages.success(request, f"{man} is signed out everywhere. He needs a new link to sign in.")
    return web.go(request, reverse("roster:edit", args=[pk]))


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
