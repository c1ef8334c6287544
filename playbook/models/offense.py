"""What offenses do: formations, motions, concepts and options. Without an opponent they are the staff's own library."""

from __future__ import annotations

from typing import ClassVar

from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import Q

from playbook.models.base import (
    Labelled,
    Ordered,
    bumps,
    history,
    in_list,
    known,
    not_blank,
    one_of,
    own_revision,
)
from playbook.models.opponent import Opponent
from playbook.text import NameField

PARENT = (
    "id IN (OLD.concept_id, NEW.concept_id)",
    "id IN (OLD.option_id, NEW.option_id)",
)

MOTION_FIELDS = ("name", "label", "source", "kind", "who", "mirror", "x", "x_of", "y", "y_of", "balance", "note")
CONCEPT_FIELDS = ("name", "source", "family", "label", "to", "time_s", "flags", "eyes")


def words(**options: object) -> ArrayField:
    """Returns a field that holds a short list of words in order."""
    return ArrayField(models.CharField(max_length=60), default=list, blank=True, **options)


class OffenseEntry(Labelled):
    """An entry of the library (no opponent) or of one opponent."""

    opponent = models.ForeignKey(
        Opponent, null=True, blank=True, on_delete=models.CASCADE, related_name="own_%(class)ss"
    )
    name = models.SlugField(max_length=60)
    label = NameField(max_length=120)
    source = models.CharField(max_length=300, blank=True)
    revision = models.PositiveBigIntegerField(default=0, editable=False)

    class Meta:
        abstract = True
        ordering = ["name"]


def entry_constraints(noun: str) -> list[models.BaseConstraint]:
    """Returns the constraints of every library entry: named, and each name once for the same owner."""
    return [
        models.UniqueConstraint(fields=["opponent", "name"], nulls_distinct=False, name=f"{noun}_name_once"),
        not_blank("name", "label", name=f"{noun}_named"),
    ]


class PlayerKind(models.TextChoices):
    """What an offensive player is."""

    LINE = "line", "Lineman"
    QUARTERBACK = "quarterback", "Quarterback"
    BACK = "back", "Back"
    TIGHT_END = "tight end", "Tight end"
    RECEIVER = "receiver", "Receiver"


@history(exclude=("revision",))
class Formation(OffenseEntry):
    """Where the offense lines up, drawn strong to the right."""

    personnel = models.CharField(max_length=4)
    note = models.CharField(max_length=300, blank=True)

    class Meta(OffenseEntry.Meta):
        constraints = [*entry_constraints("formation"), not_blank("personnel", name="formation_personnel")]
        triggers: ClassVar = [own_revision("name", "label", "source", "personnel", "note")]


@history()
class FormationPlayer(models.Model):
    """One man of a formation, in yards: x to the offense's right of the ball, y negative behind it."""

    formation = models.ForeignKey(Formation, on_delete=models.CASCADE, related_name="players")
    role = models.CharField(max_length=4)
    kind = models.CharField(max_length=12, choices=PlayerKind)
    x = models.FloatField()
    y = models.FloatField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["formation", "role"], name="formationplayer_role_once"),
            not_blank("role", name="formationplayer_role"),
            known("kind", PlayerKind, "formationplayer_kind_known"),
            models.CheckConstraint(condition=Q(x__range=(-54, 54)), name="formationplayer_x_on_field"),
            models.CheckConstraint(condition=Q(y__range=(-20, 0)), name="formationplayer_y_behind_ball"),
        ]
        triggers: ClassVar = [bumps("playbook_formation", "id IN (OLD.formation_id, NEW.formation_id)")]

    def __str__(self) -> str:
        return self.role


@history(exclude=("revision",))
class Motion(OffenseEntry):
    """Who moves before the snap, and to where."""

    class Kind(models.TextChoices):
        MOTION = "motion", "Moving at the snap"
        SHIFT = "shift", "Set again before it"

    class XOf(models.TextChoices):
        BALL = "ball", "The ball"
        TACKLE = "tackle", "The tackle"
        LAST_MAN = "last man", "The last man on the line"
        WIDEST = "widest man", "The widest man"

    class YOf(models.TextChoices):
        LINE = "line", "The line"
        QUARTERBACK = "quarterback", "The quarterback"
        DEEPEST_BACK = "deepest back", "The deepest back"

    kind = models.CharField(max_length=10, choices=Kind)
    who = words()
    mirror = models.BooleanField(default=False)
    x = models.FloatField(null=True, blank=True)
    x_of = models.CharField(max_length=12, choices=XOf, default=XOf.BALL)
    y = models.FloatField(null=True, blank=True)
    y_of = models.CharField(max_length=12, choices=YOf, default=YOf.LINE)
    balance = models.BooleanField(default=False)
    note = models.CharField(max_length=300, blank=True)

    class Meta(OffenseEntry.Meta):
        constraints = [
            *entry_constraints("motion"),
            models.CheckConstraint(condition=Q(kind__in=["motion", "shift"]), name="motion_kind_known"),
            models.CheckConstraint(condition=~Q(who=[]), name="motion_somebody_moves"),
            models.CheckConstraint(
                condition=Q(mirror=True, x__isnull=True, y__isnull=True) | Q(mirror=False, x__isnull=False),
                name="motion_mirror_or_place",
            ),
        ]
        triggers: ClassVar = [own_revision(*MOTION_FIELDS)]


@history(exclude=("revision",))
class Concept(OffenseEntry):
    """A run as rules. `to` is an ordered list of directions, the first that decides wins."""

    family = NameField(max_length=60, blank=True)
    to = words()
    time_s = models.FloatField("own time from snap to line, seconds", null=True, blank=True)
    flags = words()
    eyes = models.CharField(max_length=20, blank=True)

    class Meta(OffenseEntry.Meta):
        constraints = [
            *entry_constraints("concept"),
            models.CheckConstraint(condition=~Q(to=[]), name="concept_has_direction"),
            models.CheckConstraint(condition=Q(time_s__range=(0.3, 6)), name="concept_time_plausible"),
        ]
        triggers: ClassVar = [own_revision(*CONCEPT_FIELDS)]


@history(exclude=("revision",))
class Option(OffenseEntry):
    """A tag on a concept (side offense) or a staff option (side defense)."""

    class Side(models.TextChoices):
        OFFENSE = "offense", "Offense"
        DEFENSE = "defense", "Defense"

    side = models.CharField(max_length=8, choices=Side)
    flags = words()
    eyes = models.CharField(max_length=20, blank=True)

    class Meta(OffenseEntry.Meta):
        constraints = [
            *entry_constraints("option"),
            models.CheckConstraint(condition=Q(side__in=["offense", "defense"]), name="option_side_known"),
        ]
        triggers: ClassVar = [own_revision("name", "source", "side", "label", "flags", "eyes")]


CONCEPT_ROWS = ("castparts", "blockrules", "threatrules", "leftmans")


class ConceptRow(Ordered):
    """A row of a concept or of an option."""

    concept = models.ForeignKey(Concept, null=True, blank=True, on_delete=models.CASCADE, related_name="%(class)ss")
    option = models.ForeignKey(Option, null=True, blank=True, on_delete=models.CASCADE, related_name="%(class)ss")

    class Meta(Ordered.Meta):
        abstract = True


def row_constraints(noun: str) -> list[models.BaseConstraint]:
    """Returns the constraints of every row of a concept or option: one owner, one place."""
    return [
        one_of("concept", "option", name=f"{noun}_one_owner"),
        in_list("concept", name=f"{noun}_in_concept"),
        in_list("option", name=f"{noun}_in_option"),
    ]


def row_triggers() -> list[object]:
    """Returns the triggers that raise the revision of the concept or option."""
    return [bumps("playbook_concept", PARENT[0]), bumps("playbook_option", PARENT[1])]


@history()
class CastPart(ConceptRow):
    """A job the concept hands out; the first man with one of these labels takes it."""

    part = models.CharField(max_length=60)
    candidates = words()
    required = models.BooleanField(default=False)

    class Meta(ConceptRow.Meta):
        constraints = [
            *row_constraints("castpart"),
            not_blank("part", name="castpart_filled"),
            models.CheckConstraint(condition=~Q(candidates=[]), name="castpart_somebody"),
        ]
        triggers: ClassVar = row_triggers()


@history()
class BlockRule(ConceptRow):
    """What an offensive man does, and the first step a defender sees."""

    who = models.CharField(max_length=120)
    when = models.CharField(max_length=300, blank=True)
    does = models.CharField(max_length=200)
    step = models.CharField(max_length=20, blank=True)

    class Meta(ConceptRow.Meta):
        constraints = [*row_constraints("blockrule"), not_blank("who", "does", name="blockrule_filled")]
        triggers: ClassVar = row_triggers()


@history()
class LeftMan(ConceptRow):
    """A defender the concept leaves unblocked on purpose: how he is found, and why."""

    man = models.CharField(max_length=120)
    why = models.CharField(max_length=20)

    class Meta(ConceptRow.Meta):
        constraints = [*row_constraints("leftman"), not_blank("man", "why", name="leftman_filled")]
        triggers: ClassVar = row_triggers()


@history()
class ThreatRule(ConceptRow):
    """A man who may carry the ball, where, and when he gets there."""

    kind = models.CharField(max_length=20)
    who = models.CharField(max_length=120)
    where = models.CharField(max_length=120, blank=True)
    time_s = models.FloatField(null=True, blank=True)
    course = models.CharField(max_length=40, blank=True)

    class Meta(ConceptRow.Meta):
        constraints = [*row_constraints("threatrule"), not_blank("kind", "who", name="threatrule_filled")]
        triggers: ClassVar = row_triggers()
