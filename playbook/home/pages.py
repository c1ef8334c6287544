"""The first screen, and the health check."""

from django.db import connection
from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from playbook import access, web
from playbook.home import queries


@access.needs(*access.EVERYONE)
def start(request: HttpRequest) -> HttpResponse:
    """Shows what this is and what to open first, for the role that looks."""
    staff = access.is_staff(request.user)
    week = queries.week_now(timezone.localdate(), released_only=not staff)
    context = {"week": week, "front": queries.a_front(week) if staff else None}
    return web.page(request, "home/start.html", context)


def alive(request: HttpRequest) -> HttpResponse:
    """Answers "ok" when the database answers; for health checks, so it needs no log-in and tells nothing else."""
    with connection.cursor() as cursor:
        cursor.execute("select 1")
    return HttpResponse("ok", content_type="text/plain")
