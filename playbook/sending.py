"""A form that is sent twice is kept once: pressed twice, sent again by a lost connection, or from a page gone back to.

A form that writes holds `{% once %}`, a key of its own. What the page writes and that this form was sent belong to one
transaction, so that the second waits for the first, and is answered as the first one was.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable

from django.db import IntegrityError, transaction
from django.http import HttpRequest, HttpResponse, HttpResponseBase

from playbook.models import SentForm

FIELD = "sent_once"


def keep_once(get_response: Callable[[HttpRequest], HttpResponseBase]) -> Callable[[HttpRequest], HttpResponseBase]:
    """Returns middleware that lets a form with a key through once. It stands last, within everything that signs in."""

    def middleware(request: HttpRequest) -> HttpResponseBase:
        if request.method != "POST" or not request.user.is_authenticated or not request.POST.get(FIELD):
            return get_response(request)
        digest = _digest(request)
        try:
            with transaction.atomic():
                with transaction.atomic():
                    SentForm.objects.create(digest=digest)
                response = get_response(request)
                if response.status_code >= 500:
                    transaction.set_rollback(True)
                elif response.status_code >= 400:  # refused: sent again, it may be taken
                    SentForm.objects.filter(pk=digest).delete()
                else:
                    led_to = response.headers.get("Location") or response.headers.get("HX-Redirect") or ""
                    SentForm.objects.filter(pk=digest).update(led_to=led_to)
                return response
        except IntegrityError:
            before = SentForm.objects.filter(pk=digest).first()
            if before is None:
                raise
            return _as_before(request, before)

    return middleware


def _digest(request: HttpRequest) -> str:
    """Returns what tells this form from others: the same key with other words is another form."""
    said = [str(request.user.pk), request.path]
    for name in sorted(request.POST):
        if name != "csrfmiddlewaretoken":
            said += [name, *request.POST.getlist(name)]
    for name in sorted(request.FILES):
        said += [f"{name} {file.name} {file.size}" for file in request.FILES.getlist(name)]
    return hashlib.sha256("\0".join(said).encode("utf-8", "surrogatepass")).hexdigest()


def _as_before(request: HttpRequest, before: SentForm) -> HttpResponse:
    """Returns where the form led when it was kept; in place, the page as it is now."""
    if request.headers.get("HX-Request"):
        return HttpResponse(
            status=204, headers={"HX-Redirect": before.led_to} if before.led_to else {"HX-Refresh": "true"}
        )
    return HttpResponse(
        status=303, headers={"Location": before.led_to or request.headers.get("Referer") or request.path}
    )
