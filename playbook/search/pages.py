"""The search page."""

from __future__ import annotations

from django import forms
from django.http import HttpRequest, HttpResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from playbook import access, web
from playbook.search import queries


class FindForm(forms.Form):
    """Some words; all of them must be in what is found."""

    q = forms.CharField(
        label="Search",
        max_length=200,
        required=False,
        widget=forms.TextInput(attrs={"type": "search", "autofocus": True, "autocomplete": "off"}),
    )


@require_safe
@never_cache
@access.needs(*access.EVERYONE)
def results(request: HttpRequest) -> HttpResponse:
    """Shows what this person may see that is called so, by kind."""
    form = FindForm(request.GET)
    if not form.is_valid():
        return web.invalid(request, "search/results.html", {"form": form}, partial="search/_found.html")
    asked = form.cleaned_data["q"]
    groups = queries.find(access.user_of(request), asked)
    context = {"form": form, "asked": asked, "groups": groups, "found": sum(group.count for group in groups)}
    return web.page(request, "search/results.html", context, partial="search/_found.html")
