"""Signing in and out, and where somebody is signed in."""

from __future__ import annotations

from django.http import HttpRequest
from django.utils import timezone

from playbook.models import Happening, Session, User
from playbook.models.signing import FROM, SINCE, WITH
from playbook.people import log


def signed_in(request: HttpRequest, user: User, address: str, how: str = "") -> None:
    """Writes down that somebody has signed in, in the log and beside his session."""
    request.session[FROM] = address[:45]
    request.session[WITH] = request.headers.get("User-Agent", "")[:200]
    request.session[SINCE] = timezone.now().isoformat()
    log.write(Happening.SIGNED_IN, user, address=address, about=how)


def sessions_of(user: User) -> list[Session]:
    """Returns where he is signed in, newest first."""
    rows = Session.objects.filter(user=user).select_related("user").order_by("-started_at")
    return [row for row in rows if row.is_good()]


def sign_out(user: User, keep: str = "") -> int:
    """Returns how many of his sessions were ended; the one with the key `keep` stays."""
    return Session.objects.filter(user=user).exclude(session_key=keep).delete()[0]
