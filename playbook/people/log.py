"""Writes the log of who signed in, changed access, and took or opened what."""

from __future__ import annotations

from django.core.cache import cache
from django.utils import timezone

from playbook.models import AccessEntry, Happening, User

DAY_S = 24 * 3600


def write(what: Happening, user: User | None, *, about: str = "", address: str = "", name: str = "") -> None:
    """Writes one line. `name` is the user name that was typed where nobody is known."""
    name = name or (user.username if user else "")
    AccessEntry.objects.create(what=what, user=user, name=name[:310], about=about[:300], address=address[:45])


def opened_plan(user: User, about: str, address: str) -> None:
    """Writes that somebody opened a plan: once a day for each plan, as far as this process knows."""
    if cache.add(f"opened-{user.pk}-{hash(about)}-{timezone.localdate()}", 1, DAY_S):
        write(Happening.PLAN, user, about=about, address=address)
