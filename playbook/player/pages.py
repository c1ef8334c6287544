"""A player's pages: what was published to him of the week, and its pictures."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.cache import patch_cache_control
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from playbook import access, web
from playbook.models import PublishedPicture, Rights, Week
from playbook.people import log
from playbook.player import queries
from playbook.publishing import queries as published
from playbook.publishing import services
from playbook.tendencies.queries import scouting_sheet
from playbook.text import whole_number
from playbook.week import words

KEEP_S = 24 * 3600


@require_safe
@never_cache
@access.needs(Rights.PLAYER)
def week(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """Shows the player's sheet: where he lines up, whom he reads, his ladder, and a card for each picture."""
    try:
        mine = _mine(request, pk)
    except queries.NoSheet as nothing:
        return _nothing(request, nothing)
    services.note_opening(mine.player_id, mine.sheet.publication, mine.sheet.role)
    content = mine.sheet.content
    plan = published.plan_of(content, request.GET.get("call", ""))
    if plan is None:
        raise Http404
    first = published.pictures(mine.sheet.publication, plan["pictures"][:1])
    services.draw(mine.sheet.publication, first)
    context = {
        "week": mine.week,
        "others": mine.others,
        "withdrawn": mine.withdrawn,
        "newest": mine.first,
        "over": mine.week.game_on is not None and mine.week.game_on < timezone.localdate(),
        "publication": mine.sheet.publication,
        "sheet": content,
        "plan": plan,
        "first": first[0] if first else None,
        "roles": mine.roles,
        "changes": mine.changes,
        "corrections": mine.week.corrections,  # type: ignore[attr-defined]
        "caution": words.CAUTION,
        "name": str(request.user),
    }
    log.opened_plan(access.user_of(request), f"{content['label']}, {mine.week}", web.client_address(request))
    return web.page(request, "player/week.html", context)


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
@never_cache
@access.needs(Rights.PLAYER)
def news(request: HttpRequest, pk: int) -> HttpResponse:
    """Tells an open page whether what it shows is still what is published: nothing, a note, or to load itself again."""
    try:
        mine = _mine(request, pk)
    except (queries.NoSheet, Http404):
        response = HttpResponse(status=204)
        response["HX-Refresh"] = "true"
        return response
    if mine.sheet.publication_id == whole_number(request.GET.get("seen", "")):
        return HttpResponse(status=204)
    address = f"{reverse('player:week-of', args=[pk])}?as={mine.sheet.role}"
    return web.part(request, "player/_news.html", {"address": address})


@require_safe
@access.needs(*access.EVERYONE)
def picture(request: HttpRequest, pk: int, state: str) -> HttpResponse:
    """Shows one card's drawing, large, with its steps; only the drawing for the place that htmx asks for."""
    found = _picture(request, pk, state)
    services.draw(found.publication, [found])
    context = {"picture": found}
    if "card" in request.GET and web.in_place(request):
        response = web.part(request, "player/_drawing.html", context)
    else:
        response = web.page(request, "player/picture.html", context, partial="player/_picture.html")
    if found.svg:
        patch_cache_control(response, private=True, max_age=KEEP_S)
    return response


@require_safe
@access.needs(*access.EVERYONE)
def steps(request: HttpRequest, pk: int, state: str) -> HttpResponse:
    """Says how everybody moves in a drawing."""
    found = _picture(request, pk, state)
    if found.steps is None:
        raise Http404
    response = JsonResponse(found.steps)
    patch_cache_control(response, private=True, max_age=KEEP_S)
    return response


def _picture(request: HttpRequest, pk: int, state: str) -> PublishedPicture:
    found = published.picture(pk, state)
    if found is None or not access.sees_week(request.user, found.publication.withdrawn_at is None):
        raise Http404
    if not access.is_staff(request.user):
        own = queries.mine(access.user_of(request)).at(found.publication.week)
        if not access.sees_position(request.user, found.position, own):
            raise Http404
    return found


def _nothing(request: HttpRequest, nothing: queries.NoSheet, status: int = 200) -> HttpResponse:
    if not isinstance(nothing, queries.Withdrawn):
        return web.page(request, "player/nothing.html", {"why": str(nothing)})
    context = {"gone": nothing.gone, "others": nothing.others}
    return web.page(request, "player/withdrawn.html", context, partial="player/_withdrawn.html", status=status)


def _mine(request: HttpRequest, pk: int | None) -> queries.MySheet:
    me, role = queries.mine(access.user_of(request)), request.GET.get("as", "")
    try:
        try:
            return queries.my_sheet(me, pk, role)
        except queries.NotPublished as never:
            services.ensure(never.week)
            return queries.my_sheet(me, pk, role)
    except Week.DoesNotExist as missing:
        raise Http404 from missing
