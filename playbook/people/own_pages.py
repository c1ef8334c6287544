"""Where one is signed in, and the second factor."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe
from django_otp import login as verified

from playbook import access, web
from playbook.models import Happening, User
from playbook.people import log, second, services, sessions
from playbook.people.forms import CodeForm

EDIT = require_http_methods(["GET", "HEAD", "POST"])


@require_safe
@access.needs(*access.EVERYONE)
def sign_ins(request: HttpRequest) -> HttpResponse:
    """Lists where one is signed in."""
    user = access.user_of(request)
    context = {"person": user, "sessions": sessions.sessions_of(user), "here": request.session.session_key}
    context |= {"may_have_second": access.is_staff(user), "required": second.is_needed(user) and not user.second_factor}
    return web.page(request, "people/sign_ins.html", context)


@require_POST
@access.needs(*access.EVERYONE)
def sign_out_elsewhere(request: HttpRequest) -> HttpResponse:
    """Ends all log-ins of one's own but this one."""
    user = access.user_of(request)
    count = sessions.sign_out(user, keep=request.session.session_key or "")
    log.write(Happening.SIGNED_OUT, user, about=f"{count} elsewhere", address=web.client_address(request))
    messages.success(request, "You are signed in here and nowhere else.")
    return web.go(request, reverse("people:sign-ins"))


@require_POST
@access.needs(*access.ADMINS)
def sign_out_person(request: HttpRequest, pk: int) -> HttpResponse:
    """Signs a person out everywhere."""
    person = get_object_or_404(User, pk=pk)
    count = sessions.sign_out(person)
    log.write(Happening.SIGNED_OUT, access.user_of(request), about=f"{person.username}, {count} log-ins",
              address=web.client_address(request))  # fmt: skip
    messages.success(request, f"{person} is signed out everywhere.")
    return web.go(request, reverse("people:edit", args=[pk]))


@EDIT
@never_cache
@access.needs(*access.STAFF, writes=access.STAFF)
def ask_code(request: HttpRequest) -> HttpResponse:
    """Asks for the code of the phone, after the password."""
    user = access.user_of(request)
    if not user.second_factor or user.is_verified():  # type: ignore[attr-defined]
        return redirect("home:start")
    form = CodeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        device = second.right_code(user, form.cleaned_data["code"])
        if device is not None:
            verified(request, device)
            return web.go(request, reverse("home:start"))
        log.write(Happening.REFUSED, user, about="second factor", address=web.client_address(request))
        form.add_error("code", "This code is not good, or was used already. After wrong ones it waits a while.")
    return _form(request, "people/second.html", {"form": form})


@EDIT
@never_cache
@access.needs(*access.STAFF, writes=access.STAFF)
def set_up(request: HttpRequest) -> HttpResponse:
    """Shows the key for the phone, and takes its first code."""
    user = access.user_of(request)
    if user.second_factor and not user.is_verified():  # type: ignore[attr-defined]
        return redirect("people:second")
    device, form = second.device_to_confirm(user), CodeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        if device.verify_token(form.cleaned_data["code"].replace(" ", "")):
            codes = second.confirm(user, device)
            verified(request, device)
            return web.page(request, "people/second_done.html", {"codes": codes})
        form.add_error("code", "This is not the code that the app shows now.")
    context = {"form": form, "qr": services.qr_image(device.config_url), "key": second.key_of(device)}
    return _form(request, "people/second_setup.html", context)


@require_POST
@access.needs(*access.STAFF, writes=access.STAFF)
def leave_second(request: HttpRequest) -> HttpResponse:
    """Takes one's own second factor away."""
    user = access.user_of(request)
    second.take_away(user, "taken away by himself")
    update_session_auth_hash(request, user)
    messages.success(request, "Your password alone signs you in now.")
    return web.go(request, reverse("people:sign-ins"))


@require_POST
@access.needs(*access.ADMINS)
def take_second(request: HttpRequest, pk: int) -> HttpResponse:
    """Takes a person's second factor away, for whoever lost his phone."""
    person = get_object_or_404(User, pk=pk)
    second.take_away(person, f"taken away by {access.user_of(request).username}")
    messages.success(request, f"{person} signs in with his password alone, and is signed out everywhere.")
    return web.go(request, reverse("people:edit", args=[pk]))


def _form(request: HttpRequest, template: str, context: dict[str, object]) -> HttpResponse:
    return (web.invalid if request.method == "POST" else web.page)(request, template, context)
