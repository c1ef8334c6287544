"""The first screen, and the health check."""

from django.db import connection
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone

from playbook import access, web
from playbook.backups import nightly
from playbook.home import queries
from playbook.installation import queries as installation
from playbook.notes import queries as note_queries
from playbook.player import queries as player_queries
from playbook.roster import queries as roster
from playbook.week import queries as week_queries
from playbook.week import standing


@access.needs(*access.EVERYONE)
def start(request: HttpRequest) -> HttpResponse:
    """Shows staff where the week stands and what to do next; a player goes on to his week, or is told of none."""
    today = timezone.localdate()
    if not access.is_staff(request.user):
        week = week_queries.for_players(today).first()
        if week and week.released:
            return redirect("player:week")
        return web.page(request, "home/start.html", {"gone": player_queries.gone(week) if week else None})
    week = queries.with_state(web.week_now(request))
    left = installation.left() if access.is_admin(request.user) else []
    context = {
        "front": queries.a_front(week),
        "left": left,
        "steps": installation.STEPS,
        "asking": roster.asking().count(),
    }
    if access.is_admin(request.user):
        context["no_backup"] = nightly.is_old(access.user_of(request).date_joined)
    context |= standing.of_week(week) if week else {}
    context["fresh"], context["fresh_count"] = note_queries.fresh(access.user_of(request))
    return web.page(request, "home/start.html", context)


def alive(request: HttpRequest) -> HttpResponse:
    """Answers "ok" when the database answers; for health checks, so it needs no log-in and tells nothing else."""
    with connection.cursor() as cursor:
        cursor.execute("select 1")
    return HttpResponse("ok", content_type="text/plain")
