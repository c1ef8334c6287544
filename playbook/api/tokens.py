"""Tokens: for reading or for all, good until a day, shown once, kept as a digest that nobody can sign in with."""

from __future__ import annotations

import hashlib
import secrets
from datetime import timedelta
from typing import Any

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone
from rest_framework.authentication import TokenAuthentication
from rest_framework.exceptions import AuthenticationFailed, PermissionDenied
from rest_framework.permissions import SAFE_METHODS

from playbook.models import ApiToken, Happening, User
from playbook.people import log
from playbook.people.services import hold

DAYS = (7, 30, 90, 365)
USUAL_DAYS = 90
MOST = 20  # of one person
LOOK_AGAIN = timedelta(minutes=1)  # so often at most a token's last use is written


class TooMany(Exception):
    """The person has as many tokens as one may have."""


def digest(secret: str) -> str:
    """Returns what is kept of a token."""
    return hashlib.sha256(secret.encode()).hexdigest()[:40]


@transaction.atomic
def make_token(user: User, label: str = "", days: int = USUAL_DAYS, writes: bool = True) -> str:
    """Returns a new token. Raises AccessEnded and TooMany."""
    hold(user)
    ApiToken.objects.filter(user=user, expires_at__lte=timezone.now()).delete()
    if user.tokens.count() >= MOST:
        raise TooMany(f"Expected {MOST} tokens of one person at most. Take one back first.")
    secret = secrets.token_urlsafe(30)
    expires_at = timezone.now() + timedelta(days=days)
    ApiToken.objects.create(user=user, digest=digest(secret), label=label[:60], expires_at=expires_at, writes=writes)
    log.write(Happening.TOKEN, user, about=f"made {label}".strip())
    return secret


def revoke_tokens(user: User, pk: int | None = None) -> int:
    """Returns how many tokens of the person were taken back: the one named, or all."""
    rows = user.tokens.all() if pk is None else user.tokens.filter(pk=pk)
    count = rows.delete()[0]
    if count:
        log.write(Happening.TOKEN, user, about="taken back")
    return count


def all_tokens() -> QuerySet[ApiToken]:
    """Returns every token there is, with the person it belongs to, by name."""
    return ApiToken.objects.select_related("user")


def tokens_of(user: User) -> QuerySet[ApiToken]:
    """Returns the person's tokens, newest first."""
    return user.tokens.order_by("-made_at")


class DigestAuthentication(TokenAuthentication):
    """Signs in who sends `Authorization: Token ...`."""

    def authenticate(self, request: Any) -> Any:
        """Returns the person and his token. Raises AuthenticationFailed, PermissionDenied."""
        found = super().authenticate(request)
        if found and not found[1].writes and request.method not in SAFE_METHODS:
            raise PermissionDenied("This token is for reading only.")
        return found

    def authenticate_credentials(self, key: str) -> Any:
        """Returns the person and his token. Raises AuthenticationFailed."""
        now = timezone.now()
        token = ApiToken.objects.select_related("user").filter(digest=digest(key)).first()
        if token is None or not token.user.is_active:
            raise AuthenticationFailed("This token is not good: it was taken back, or the person's access changed.")
        if token.expires_at <= now:
            raise AuthenticationFailed(f"This token was good until {token.expires_at:%Y-%m-%d}. Make a new one.")
        if token.used_at is None or now - token.used_at > LOOK_AGAIN:
            ApiToken.objects.filter(pk=token.pk).update(used_at=now)
        return token.user, token
