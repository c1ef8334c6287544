"""People who sign in, and the roster."""

from __future__ import annotations

from django.contrib.auth.models import AbstractUser
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from playbook.models.base import Ordered, Versioned, history
from playbook.models.system import Position


class Role(models.TextChoices):
    """What a person may do; `playbook.access` decides what that means."""

    ADMIN = "admin", "Admin"
    STAFF = "staff", "Staff"
    PLAYER = "player", "Player"


class User(AbstractUser):
    """Someone who signs in, with one role."""

    role = models.CharField(max_length=10, choices=Role, default=Role.PLAYER)

    REQUIRED_FIELDS = ["email", "role"]

    class Meta:
        ordering = ["username"]
        constraints = [
            models.CheckConstraint(condition=Q(role__in=Role.values), name="user_role_known"),
        ]

    def __str__(self) -> str:
        return self.get_full_name() or self.username


@history()
class Player(Versioned):
    """A man on the roster; he may have a log-in. Speeds are measured, in seconds over 10 and 40 yards."""

    user = models.OneToOneField(User, null=True, blank=True, on_delete=models.SET_NULL, related_name="player")
    first_name = models.CharField(max_length=60)
    last_name = models.CharField(max_length=60)
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
