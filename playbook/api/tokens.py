"""Tokens: one to a person, shown once, kept as a digest, so that who reads the database cannot use them."""

from __future__ import annotations

import hashlib
import secrets
from typing import Any

from django.db import transaction
from django.db.models import QuerySet
from rest_framework.authentication import TokenAuthentication
from rest_framework.authtoken.models import Token

from playbook.models import User
from playbook.people.services import hold


def digest(secret: str) -> str:
    """Returns what is kept of a token."""
    return hashlib.sha256(secret.encode()).hexdigest()[:40]


@transaction.atomic
def make_token(user: User) -> str:
    """Returns a new token; the person's old one is no longer good. Raises AccessEnded."""
    hold(user)
    revoke_token(user)
    secret = secrets.token_urlsafe(30)
    Token.objects.create(user=user, key=digest(secret))
    return secret


def revoke_token(user: User) -> bool:
    """Returns whether there was a token to take back."""
    return bool(Token.objects.filter(user=user).delete()[0])


def all_tokens() -> QuerySet[Token]:
    """Returns every token there is, with the person it belongs to, by name."""
    return Token.objects.select_related("user").order_by("user__last_name", "user__first_name", "user__username")


def token_of(user: User) -> Token | None:
    """Returns what is known of the person's token: when it was made."""
    return Token.objects.filter(user=user).first()


class DigestAuthentication(TokenAuthentication):
    """Signs in who sends `Authorization: Token ...`."""

    def authenticate_credentials(self, key: str) -> Any:
        """Returns the person. Raises AuthenticationFailed."""
        return super().authenticate_credentials(digest(key))
