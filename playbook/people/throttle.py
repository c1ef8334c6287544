"""Against guessing passwords, without shutting out a locker room behind one address.

1. A user name from one address: six wrong passwords close it for a quarter of an hour (django-axes).
2. A user name from everywhere: after 30 wrong passwords in a day only addresses from which he signed in during the last
   30 days may try on. Who guesses from many addresses gets 30 tries a day; the coach still gets in where he was before.
3. An address: after 300 wrong passwords in an hour only those who signed in from there before may try on.
"""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest
from django.utils import timezone

from playbook.models import AccessEntry, Happening
from playbook.web import client_address

A_DAY, AN_HOUR, KNOWN_FOR = timedelta(days=1), timedelta(hours=1), timedelta(days=30)
MOST_OF_A_NAME, MOST_OF_AN_ADDRESS = 30, 300


def is_closed(name: str, address: str) -> bool:
    """Returns whether this user name may not try from this address now."""
    now = timezone.now()
    wrong = AccessEntry.objects.filter(what=Happening.REFUSED)
    over = (
        wrong.filter(name__iexact=name, at__gt=now - A_DAY).count() >= MOST_OF_A_NAME
        or wrong.filter(address=address, at__gt=now - AN_HOUR).count() >= MOST_OF_AN_ADDRESS
    )
    if not over:
        return False
    known = AccessEntry.objects.filter(what=Happening.SIGNED_IN, name__iexact=name, address=address)
    return not known.filter(at__gt=now - KNOWN_FOR).exists()


class Fence:
    """Stands before the backend that knows passwords, and ends the try where it is closed. It knows nobody itself."""

    def authenticate(self, request: HttpRequest | None, username: str | None = None, **_: Any) -> None:
        """Raises PermissionDenied when this name may not try from there now; says nothing else."""
        if request is not None and username and is_closed(username, client_address(request)):
            request.axes_locked_out = True  # type: ignore[attr-defined]
            raise PermissionDenied("Too many wrong passwords.")
