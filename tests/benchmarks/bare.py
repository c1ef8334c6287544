"""The program's addresses plus one bare view with session, user and one query, to measure against."""

from django.http import HttpResponse
from django.urls import path

from playbook.models import Week
from playbook.urls import handler403, handler404, handler500
from playbook.urls import urlpatterns as own

__all__ = ["handler403", "handler404", "handler500", "urlpatterns"]


def bare(request):
    """Answers with the user's name and one count."""
    return HttpResponse(f"{request.user}: {Week.objects.filter(released=True).count()}")


urlpatterns = [path("bare", bare), *own]
