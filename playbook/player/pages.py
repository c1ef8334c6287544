"""A player's pages: my week and its drawings."""

from __future__ import annotations

from django.core.cache import cache
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.cache import add_never_cache_headers, patch_cache_control
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

import fits
from playbook import access, web
from playbook.models import Rights, Week
from playbook.people import log
from playbook.player import queries, services
from playbook.tendencies.queries import scouting_sheet
from playbook.week import queries as week_queries
from playbook.week import sheets, words

KEEP_S = 24 * 3600
CHANGED = ("This look has changed", "since your page", "was loaded.", "Load the page again.")
WITHDRAWN = ("Your coaches", "withdrew this week.", "Load the page again.")


@require_safe
@never_cache
@access.needs(Rights.PLAYER)
def week(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """Shows the player's week: his rules, and one card for every look."""
    asked = sheets.digest(pk, request.GET.get("call"), request.GET.get("as"))
    name = f"sheet-{queries.fingerprint(request.user.pk)}-{asked}"
    shown = cache.get(name)
    if shown is None:
        try:
            mine = _mine(request, pk)
        except queries.NoSheet as nothing:
            return _nothing(request, nothing)
        shown = _shown(mine)
        cache.set(name, shown, KEEP_S)
        services.note_opening(mine.player_id, mine.week.pk)
    log.opened_plan(access.user_of(request), shown["heading"], web.client_address(request))
    return web.page(request, "player/week.html", shown)


@require_safe
@never_cache
@access.needs(Rights.PLAYER)
def scouting(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows what the opponent of a released week does, on one page."""
    try:
        week = queries.released_week(access.user_of(request), pk)
    except queries.Withdrawn as withdrawn:
        return _nothing(request, withdrawn, status=410)
    except Week.DoesNotExist as missing:
        raise Http404 from missing
    sheet = scouting_sheet(week.opponent) if week.opponent else None
    return web.page(request, "player/scouting.html", {"week": week, "opponent": week.opponent, "sheet": sheet})


@require_safe
@access.needs(*access.EVERYONE)
def drawing(request: HttpRequest, week: int, look: int, digest: str) -> HttpResponse:
    """Shows one look from behind the defense, a man and his key in front.

    The address names one state of the card. Of any other state there is a picture that says so (410), never a drawing:
    it would stand under words that it does not belong to.
    """
    role = request.GET.get("as", "")
    try:
        shown, call = _drawn_week(request, week, request.GET.get("call", ""), role)
    except Week.DoesNotExist as missing:
        raise Http404 from missing
    except queries.Withdrawn:
        return _refused(request, WITHDRAWN)
    play = sheets.find_play(shown, look, call) if call else None
    card = sheets.card_of(play, role) if play else None
    if play is None or card is None or card.digest != digest:
        return _refused(request, CHANGED)
    response = HttpResponse(sheets.draw_play(play, role, dark="dark" in request.GET), content_type="image/svg+xml")
    patch_cache_control(response, private=True, max_age=KEEP_S, immutable=True)
    return response


def _nothing(request: HttpRequest, nothing: queries.NoSheet, status: int = 200) -> HttpResponse:
    if not isinstance(nothing, queries.Withdrawn):
        return web.page(request, "player/nothing.html", {"why": str(nothing)})
    context = {"gone": nothing.gone, "others": nothing.others}
    return web.page(request, "player/withdrawn.html", context, partial="player/_withdrawn.html", status=status)


def _refused(request: HttpRequest, lines: tuple[str, ...]) -> HttpResponse:
    response = render(request, "player/refused.svg", {"lines": lines}, content_type="image/svg+xml", status=410)
    add_never_cache_headers(response)
    return response


def _mine(request: HttpRequest, pk: int | None) -> queries.MyWeek:
    me = queries.mine(access.user_of(request))
    try:
        return queries.my_week(me, pk, request.GET.get("call", ""), request.GET.get("as", ""))
    except Week.DoesNotExist as missing:
        raise Http404 from missing


def _shown(mine: queries.MyWeek) -> dict[str, str]:
    context = {
        "week": mine.week,
        "others": mine.others,
        "withdrawn": mine.withdrawn,
        "newest": mine.first,
        "over": mine.week.game_on is not None and mine.week.game_on < timezone.localdate(),
        "sheet": queries.my_sheet(mine),
        "calls": mine.calls,
        "roles": mine.roles,
        "corrections": mine.week.corrections,  # type: ignore[attr-defined]
        "caution": words.CAUTION,
        "sides": words.sides_note(mine.week.system),
    }
    return {"heading": f"{mine.role}, {mine.week}", "body": render_to_string("player/_week.html", context)}


def _drawn_week(request: HttpRequest, pk: int, name: str, role: str) -> tuple[Week, fits.Call | None]:
    week = week_queries.weeks().get(pk=pk)
    if not access.sees_week(request.user, week.released):
        if week.withdrawn_at:  # type: ignore[attr-defined]
            raise queries.Withdrawn(queries.gone(week), ())
        raise Week.DoesNotExist
    call = sheets.calls_of(week).get(name)
    position = next((r.position for r in call.roles if r.name == role), "") if call else ""
    own = () if access.is_staff(request.user) else queries.mine(access.user_of(request)).at(week)
    if call and not access.sees_position(request.user, position, own):
        raise Week.DoesNotExist
    return week, call
