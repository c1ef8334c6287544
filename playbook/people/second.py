"""The second factor: a code of an app on one's phone, for coaches and admins. django-otp keeps and checks it."""

from __future__ import annotations

from base64 import b32encode
from collections.abc import Callable

from django.conf import settings
from django.db import transaction
from django.http import HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from django.shortcuts import redirect
from django.urls import Resolver404, resolve
from django_otp import match_token
from django_otp.models import Device
from django_otp.plugins.otp_static.models import StaticDevice, StaticToken
from django_otp.plugins.otp_totp.models import TOTPDevice

from playbook import access
from playbook.models import Happening, User
from playbook.people import log

SPARES = 8
WITHOUT = {"people:second", "people:second-setup", "people:log-out", "people:log-in", "home:alive"}


def is_needed(user: User) -> bool:
    """Returns whether his password alone does not open the door."""
    return user.second_factor or (settings.SECOND_FACTOR == "staff" and access.is_staff(user))


def ask(get_response: Callable[[HttpRequest], HttpResponseBase]) -> Callable[[HttpRequest], HttpResponseBase]:
    """Returns middleware that lets nobody on who has only given his password where that is not enough."""

    def middleware(request: HttpRequest) -> HttpResponseBase:
        user = request.user
        if not user.is_authenticated or not is_needed(user) or user.is_verified() or _name(request) in WITHOUT:  # type: ignore[union-attr]
            return get_response(request)
        if request.path.startswith("/api/"):
            return JsonResponse({"detail": "Give the code of your phone first, in the browser."}, status=403)
        where = "people:second" if user.second_factor else "people:second-setup"  # type: ignore[union-attr]
        if request.headers.get("HX-Request"):
            return HttpResponse(status=204, headers={"HX-Redirect": redirect(where).url})
        return redirect(where)

    return middleware


def _name(request: HttpRequest) -> str:
    try:
        return resolve(request.path).view_name
    except Resolver404:
        return ""


def device_to_confirm(user: User) -> TOTPDevice:
    """Returns the key that his phone is to learn; the same until a code of it was given."""
    return TOTPDevice.objects.get_or_create(user=user, confirmed=False, defaults={"name": "phone"})[0]


def key_of(device: TOTPDevice) -> str:
    """Returns the key as it is typed where no code can be read."""
    letters = b32encode(device.bin_key).decode()
    return " ".join(letters[at : at + 4] for at in range(0, len(letters), 4))


@transaction.atomic
def confirm(user: User, device: TOTPDevice) -> list[str]:
    """Makes the phone his second factor, in the place of an older one; returns the spare codes, shown this once."""
    forget(user, keep=device)
    device.confirmed = True
    device.save()
    user.second_factor = True
    user.save(update_fields=["second_factor"])
    spare = StaticDevice.objects.create(user=user, name="spare codes")
    codes = [StaticToken.random_token() for _ in range(SPARES)]
    StaticToken.objects.bulk_create(StaticToken(device=spare, token=code) for code in codes)
    log.write(Happening.SECOND, user, about="set up")
    return codes


def right_code(user: User, code: str) -> Device | None:
    """Returns what the code is of: his phone, or his spare codes, each of which is good once."""
    device: Device | None = match_token(user, code.replace(" ", ""))
    return device


def forget(user: User, keep: TOTPDevice | None = None) -> None:
    """Deletes his keys and spare codes."""
    TOTPDevice.objects.filter(user=user).exclude(pk=keep.pk if keep else None).delete()
    StaticDevice.objects.filter(user=user).delete()


@transaction.atomic
def take_away(user: User, about: str) -> None:
    """Takes the second factor away, which ends his log-ins, links and tokens."""
    forget(user)
    user.second_factor = False
    user.save(update_fields=["second_factor"])
    log.write(Happening.SECOND, user, about=about)
