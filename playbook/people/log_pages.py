"""The log of who signed in, changed access, and took or opened what, for admins."""

from __future__ import annotations

from django import forms
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from playbook import access, web
from playbook.models import AccessEntry, Happening

A_PAGE = 100


class LogForm(forms.Form):
    """Of whom, and what."""

    name = forms.CharField(label="User name", max_length=150, required=False)
    what = forms.ChoiceField(choices=[("", "everything"), *Happening.choices], required=False)


@require_safe
@access.needs(*access.ADMINS)
def show(request: HttpRequest) -> HttpResponse:
    """Lists the log, newest first."""
    form = LogForm(request.GET or None)
    rows = AccessEntry.objects.all()
    if form.is_bound and not form.is_valid():
        return web.invalid(request, "people/log.html", {"form": form})
    if form.is_bound:
        asked = {"name__iexact": form.cleaned_data["name"], "what": form.cleaned_data["what"]}
        rows = rows.filter(**{name: value for name, value in asked.items() if value})
    page = Paginator(rows, A_PAGE).get_page(request.GET.get("page"))
    return web.page(request, "people/log.html", {"form": form, "entries": page})
