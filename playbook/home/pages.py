"""The first screen, and the health check."""

from django.db import connection
from django.http import HttpRequest, HttpResponse

from playbook import access, web


@access.needs(*access.EVERYONE)
def start(request: HttpRequest) -> HttpResponse:
    """Shows what this is and what to open first, for the role that looks."""
    return web.page(request, "home/start.html")


def alive(request: HttpRequest) -> HttpResponse:
    """Answers "ok" when the database answers; for health checks, so it needs no log-in and tells nothing else."""
    with connection.cursor() as cursor:
        cursor.execute("select 1")
    return HttpResponse("ok", content_type="text/plain")
