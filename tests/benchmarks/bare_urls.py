"""The program's addresses, and the bare view that its pages are measured against: a session, a user, one query."""

from django.http import HttpRequest, HttpResponse
from django.urls import path

from playbook.models import Week
from playbook.urls import urlpatterns as own


def bare(request: HttpRequest) -> HttpResponse:
    """Answers with who asks and how many weeks there are."""
    return HttpResponse(f"{request.user.pk} {Week.objects.count()}")


urlpatterns = [path("bare", bare), *own]
