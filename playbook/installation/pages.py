"""The first visit: first admin, then step by step, each of which can be left out and taken up again."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth import login
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from playbook import access, web
from playbook.backups import nightly
from playbook.installation import forms, queries, services
from playbook.people import sessions

FORM_METHODS = ["GET", "HEAD", "POST"]
MADE = {"opponent": "opponent:list", "week": "week:list"}  # made already, it is changed where it stands


@require_http_methods(FORM_METHODS)
def first(request: HttpRequest) -> HttpResponse:
    """Makes the first admin of an empty installation, for whoever has the code that the server printed."""
    if queries.has_admin():
        return redirect("home:start")
    form = forms.FirstAdminForm(request.POST or None)
    if request.method != "POST":
        return web.page(request, "installation/first.html", {"form": form})
    if not form.is_valid():
        return web.invalid(request, "installation/first.html", {"form": form})
    data = form.cleaned_data
    try:
        admin = services.add_first_admin(data["username"], data["first_name"], data["last_name"], data["password1"])
    except services.Taken:
        return redirect("people:log-in")
    login(request, admin, backend="django.contrib.auth.backends.ModelBackend")
    sessions.signed_in(request, admin, web.client_address(request), "as the first admin")
    return web.go(request, reverse("installation:step", args=["name"]))


@require_http_methods(FORM_METHODS)
@access.needs(*access.ADMINS)
def step(request: HttpRequest, step: str) -> HttpResponse:
    """Shows one step, keeps it or leaves it out, and goes on to the next."""
    if step not in queries.STEPS:
        raise Http404
    if request.method == "POST" and "later" in request.POST:
        services.finish(step)
        return web.go(request, _after(step))
    if request.method != "POST" and step in MADE and queries.is_there(step):
        return web.go(request, reverse(MADE[step]))
    given = {"instance": queries.installation()} if step == "name" else {}
    form = forms.FORMS[step](request.POST or None, **given)
    context = {"form": form, "step": step, "title": queries.STEPS[step], "steps": queries.STEPS, "left": queries.left()}
    if request.method != "POST":
        return web.page(request, "installation/step.html", context)
    if not form.is_valid():
        return web.invalid(request, "installation/step.html", context)
    form.keep()
    return web.go(request, _after(step))


def _after(step: str) -> str:
    left, names = queries.left(), list(queries.STEPS)
    after = [name for name in left if names.index(name) > names.index(step)]
    return reverse("installation:step", args=[after[0]]) if after else reverse("installation:show")


@require_http_methods(FORM_METHODS)
@access.needs(*access.ADMINS)
def keep(request: HttpRequest) -> HttpResponse:
    """Asks how long things are kept."""
    form = forms.KeepForm(request.POST or None, instance=queries.installation())
    if request.method == "POST" and form.is_valid():
        services.keep_for(**form.cleaned_data)
        messages.success(request, "From the next night on that is kept so long.")
        return web.go(request, reverse("installation:keep"))
    return (web.invalid if request.method == "POST" else web.page)(request, "installation/keep.html", {"form": form})


@require_safe
@access.needs(*access.ADMINS)
def show(request: HttpRequest) -> HttpResponse:
    """Shows the installation to its admin: its name, its system, what is still to do, and whether it has HTTPS."""
    context = {"row": queries.installation(), "left": queries.left(), "steps": queries.STEPS,
               "put_off": queries.put_off(), "secure": request.is_secure()}  # fmt: skip
    context |= {"backed_up_at": nightly.last_good(), "backups": nightly.folder(), "backups_kept": nightly.KEPT}
    return web.page(request, "installation/show.html", context)
