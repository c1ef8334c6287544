"""What a person signs in with and stays signed in by, and the log of it."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.contrib.auth import HASH_SESSION_KEY, SESSION_KEY
from django.contrib.sessions.backends.db import SessionStore as DatabaseStore
from django.contrib.sessions.base_session import AbstractBaseSession
from django.db import models
from django.db.models import Q

from playbook.models.people import User

FROM, WITH, SINCE = "signed_in_from", "signed_in_with", "signed_in_since"  # of the session


class ApiToken(models.Model):
    """What a program signs in with as a person: shown once, kept as a digest, good until a day, for reading or all."""

    user = models.ForeignKey(User, on_delete=models.CASCADE, related_name="tokens")
    digest = models.CharField(max_length=64, unique=True)
    label = models.CharField(max_length=60, blank=True)
    writes = models.BooleanField(default=False)
    made_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["user__last_name", "user__first_name", "user__username", "-made_at"]

    def __str__(self) -> str:
        return self.label or "no label"


class Session(AbstractBaseSession):
    """A browser in which somebody is signed in."""

    user = models.ForeignKey(User, null=True, on_delete=models.CASCADE, related_name="sessions")
    address = models.CharField(max_length=45, blank=True)
    agent = models.CharField(max_length=200, blank=True)
    started_at = models.DateTimeField(null=True)

    def __str__(self) -> str:
        return f"{self.user}, {self.agent}"

    @classmethod
    def get_session_store_class(cls) -> type[SessionStore]:
        """Returns what reads and writes it."""
        return SessionStore

    def is_good(self) -> bool:
        """Returns whether it still opens a door: the person's access has not ended since."""
        return self.user is not None and self.get_decoded().get(HASH_SESSION_KEY) == self.user.get_session_auth_hash()


class SessionStore(DatabaseStore):
    """Django's own, with whose session it is beside it, so that they can be listed and ended."""

    @classmethod
    def get_model_class(cls) -> type[Session]:
        """Returns the table."""
        return Session

    def create_model_instance(self, data: dict[str, Any]) -> Session:
        """Returns the row, with the person in the session."""
        row = super().create_model_instance(data)
        row.user_id = int(data[SESSION_KEY]) if SESSION_KEY in data else None
        row.address, row.agent = data.get(FROM, ""), data.get(WITH, "")
        row.started_at = datetime.fromisoformat(data[SINCE]) if SINCE in data else None
        return row


class Happening(models.TextChoices):
    """What the log keeps."""

    SIGNED_IN = "signed in", "Signed in"
    REFUSED = "refused", "Wrong password or code"
    SIGNED_OUT = "signed out", "Signed out"
    ROLE = "role", "Another role"
    ACCESS = "access", "May sign in, or no longer"
    PASSWORD = "password", "Another password"
    SECOND = "second factor", "Second factor"
    LINK = "link", "Log-in link made"
    TOKEN = "token", "API token"
    DOCUMENT = "document", "Document asked for"
    DOWNLOAD = "download", "Download"
    PLAN = "plan", "Plan opened"
    DATA = "data", "Personal data"


class AccessEntry(models.Model):
    """One line of the log: who did what, from where. `about` is a week, a document or another person, in words."""

    at = models.DateTimeField(auto_now_add=True)
    what = models.CharField(max_length=14, choices=Happening)
    user = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="log")
    name = models.CharField(max_length=310, blank=True)
    about = models.CharField(max_length=300, blank=True)
    address = models.CharField(max_length=45, blank=True)

    class Meta:
        ordering = ["-at", "-pk"]
        indexes = [
            models.Index(fields=["what", "name", "at"], name="accessentry_name"),
            models.Index(fields=["what", "address", "at"], name="accessentry_address"),
        ]
        constraints = [models.CheckConstraint(condition=Q(what__in=Happening.values), name="accessentry_known")]

    def __str__(self) -> str:
        return f"{self.name}: {self.get_what_display()}"


class ErasedPerson(models.Model):
    """That somebody was erased: by numbers and the moment his row was made, so that a restore can erase him again."""

    user_number = models.BigIntegerField(null=True)
    player_number = models.BigIntegerField(null=True)
    made_at = models.DateTimeField()
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["user_number", "player_number", "made_at"], nulls_distinct=False, name="erasedperson_once"
            )
        ]

    def __str__(self) -> str:
        return f"{self.user_number or self.player_number}, {self.at:%Y-%m-%d}"
