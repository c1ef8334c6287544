"""People who sign in, and the roster."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pgtrigger
from django.conf import settings
from django.contrib.auth import hashers
from django.contrib.auth.models import AbstractUser
from django.contrib.postgres.fields import ArrayField
from django.contrib.postgres.functions import RandomUUID
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.crypto import salted_hmac

from playbook.models.base import Ordered, Versioned, history
from playbook.models.system import Group, Position
from playbook.text import NameField


class Rights(models.TextChoices):
    """What a person may do; `playbook.access` decides what that means."""

    ADMIN = "admin", "Admin"
    COORDINATOR = "coordinator", "Coordinator"
    POSITION = "position", "Position coach"
    ASSISTANT = "assistant", "Assistant"
    PLAYER = "player", "Player"


# Log-ins and open links hang on the stamp and end with it; tokens are rows and go. Nobody writes the stamp himself, so
# that a row read before the change and saved after it cannot bring the old stamp back.
END_ACCESS = """
    IF (OLD.password, OLD.role, OLD.is_active) IS DISTINCT FROM (NEW.password, NEW.role, NEW.is_active)
            OR (OLD.second_factor AND NOT NEW.second_factor) THEN
        NEW.access_stamp = gen_random_uuid();
        DELETE FROM playbook_apitoken WHERE user_id = NEW.id;
    ELSE
        NEW.access_stamp = OLD.access_stamp;
    END IF;
    RETURN NEW;
"""


class User(AbstractUser):
    """Someone who signs in, with one role; `coaches` are the groups of a position coach.

    `access_stamp` is renewed by the database whenever password, role or `is_active` changes or
    the second factor is taken away, whoever does it.
    """

    role = models.CharField(max_length=12, choices=Rights, default=Rights.PLAYER)
    coaches = ArrayField(models.CharField(max_length=10, choices=Group), default=list, blank=True)
    second_factor = models.BooleanField(default=False, editable=False)
    access_stamp = models.UUIDField(db_default=RandomUUID(), editable=False)

    REQUIRED_FIELDS = ["email", "role"]

    class Meta:
        ordering = ["username"]
        constraints = [
            models.CheckConstraint(condition=Q(role__in=Rights.values), name="user_role_known"),
        ]
        triggers = [
            pgtrigger.Trigger(
                name="end_access", operation=pgtrigger.Update, when=pgtrigger.Before, func=END_ACCESS.strip()
            ),
        ]

    def __str__(self) -> str:
        return self.get_full_name() or self.username

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Writes the row, and reads the stamp that the database gave it."""
        new = self._state.adding
        super().save(*args, **kwargs)
        fields = kwargs.get("update_fields")
        if not new and (fields is None or {"password", "role", "is_active", "second_factor"} & set(fields)):
            self.refresh_from_db(fields=["access_stamp"])

    def check_password(self, raw_password: str) -> bool:
        """Returns whether this is the password. A better hash of the same password ends nothing."""
        before = self.password

        def hash_again(raw: str) -> None:
            self.password = hashers.make_password(raw)
            with pgtrigger.ignore("playbook.User:end_access"):  # only over the hash that was checked, never a newer one
                User.objects.filter(pk=self.pk, password=before).update(password=self.password)

        return hashers.check_password(raw_password, self.password, hash_again)

    def get_session_auth_hash(self) -> str:
        """Returns what a session must hold to be this person's."""
        return self._session_hash(None)

    def get_session_auth_fallback_hash(self) -> Iterator[str]:
        """Yields the same, made with the keys that SECRET_KEY replaced."""
        for key in settings.SECRET_KEY_FALLBACKS:
            yield self._session_hash(key)

    def _session_hash(self, key: str | None) -> str:
        return salted_hmac("playbook.User.session", str(self.access_stamp), secret=key, algorithm="sha256").hexdigest()


@history()
class Player(Versioned):
    """A man on the roster; he may have a log-in. Speeds are measured, in seconds over 10 and 40 yards."""

    user = models.OneToOneField(User, null=True, blank=True, on_delete=models.SET_NULL, related_name="player")
    first_name = NameField(max_length=60)
    last_name = NameField(max_length=60)
    number = models.PositiveSmallIntegerField(null=True, blank=True, validators=[MaxValueValidator(99)])
    class_year = models.CharField(max_length=20, blank=True)
    ten_yd_s = models.DecimalField(
        "10 yards, seconds",
        max_digits=4,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(1)],
    )
    forty_yd_s = models.DecimalField(
        "40 yards, seconds",
        max_digits=4,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(3)],
    )
    active = models.BooleanField(default=True)

    class Meta:
        ordering = ["last_name", "first_name"]
        constraints = [
            models.CheckConstraint(condition=Q(number__isnull=True) | Q(number__lte=99), name="player_number_0_99"),
            models.CheckConstraint(
                condition=Q(ten_yd_s__isnull=True) | Q(ten_yd_s__range=(1, 4)), name="player_ten_plausible"
            ),
            models.CheckConstraint(
                condition=Q(forty_yd_s__isnull=True) | Q(forty_yd_s__range=(3, 10)),
                name="player_forty_plausible",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.first_name} {self.last_name}"

    @property
    def position_names(self) -> list[str]:
        """The names of his positions in all systems, each once."""
        return list(dict.fromkeys(spot.position.name for spot in self.spots.all()))


@history()
class RosterSpot(Ordered):
    """A man's place at a position of a system; `order` 0 is the first to play there."""

    player = models.ForeignKey(Player, on_delete=models.CASCADE, related_name="spots")
    position = models.ForeignKey(Position, on_delete=models.CASCADE, related_name="spots")

    class Meta(Ordered.Meta):
        constraints = [models.UniqueConstraint(fields=["player", "position"], name="rosterspot_once")]

    def __str__(self) -> str:
        return f"{self.player}, {self.position}"


class AskedLink(models.Model):
    """A man on the roster asks his coaches for a log-in link, since when; gone when one is made."""

    player = models.OneToOneField(Player, on_delete=models.CASCADE, related_name="asked_link")
    at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return f"{self.player} asks for a link"
