"""A staff's system: positions, techniques, fronts, coverages, calls and their rules, each rule a row."""

from __future__ import annotations

from typing import ClassVar

import pgtrigger
from django.db import models
from django.db.models import Deferrable, Q

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
from playbook.text import NameField

OWN_SYSTEM = "id IN (OLD.system_id, NEW.system_id)"
PARENT_SYSTEM = (
    "id IN (SELECT system_id FROM playbook_front WHERE id IN (OLD.front_id, NEW.front_id)"
    " UNION SELECT system_id FROM playbook_coverage WHERE id IN (OLD.coverage_id, NEW.coverage_id))"
)
COVERAGE_SYSTEM = "id IN (SELECT system_id FROM playbook_coverage WHERE id IN (OLD.coverage_id, NEW.coverage_id))"


class Group(models.TextChoices):
    """Position groups, front to back."""

    LINE = "line", "Defensive line"
    LINEBACKER = "linebacker", "Linebackers"
    SECONDARY = "secondary", "Secondary"


class PositionSide(models.TextChoices):
    """Where a position belongs; `both` makes a left and a right man of it."""

    BOTH = "both", "Both sides"
    STRENGTH = "strength", "Strength"
    WEAK = "weak", "Away from strength"
    RUN_STRENGTH = "run strength", "Run strength"
    RUN_WEAK = "run weak", "Away from run strength"
    FIELD = "field", "Field"
    BOUNDARY = "boundary", "Boundary"
    LEFT = "left", "Left"
    RIGHT = "right", "Right"
    MIDDLE = "middle", "Middle"


class Strength(models.TextChoices):
    """What a front is called to."""

    PASSING = "passing", "Passing strength"
    RUN = "run", "Run strength"
    FIELD = "field", "Field"
    BOUNDARY = "boundary", "Boundary"
    BACK = "back", "The back"
    LEFT = "left", "Left"
    RIGHT = "right", "Right"


class FrameName(models.TextChoices):
    """How the staff says sides."""

    STRONG = "strong-weak", "Strong and weak"
    FIELD = "field-boundary", "Field and boundary"
    OWN = "own", "The defender's own left and right"
    PLAY = "play-back", "Play side and back side"


@history()
class TechniqueScheme(Labelled):
    """What each technique number means, because books differ. `inline` ones travel inside a system's file."""

    name = NameField(max_length=60, unique=True)
    label = NameField(max_length=120)
    source = models.CharField(max_length=200, blank=True)
    inline = models.BooleanField(default=False)

    class Meta:
        ordering = ["name"]
        constraints = [not_blank("name", "label", name="scheme_named")]


@history()
class Technique(Ordered):
    """One label: the man it is played on, the shade on him and the gap that goes with it."""

    class Man(models.TextChoices):
        CENTRE = "centre", "Centre"
        GUARD = "guard", "Guard"
        TACKLE = "tackle", "Tackle"
        TIGHT_END = "tight end", "Tight end"
        SECOND_TIGHT_END = "second tight end", "Second tight end"

    class Shade(models.TextChoices):
        INSIDE = "inside", "Inside shoulder"
        HEAD_UP = "head up", "Head up"
        OUTSIDE = "outside", "Outside shoulder"
        WIDE = "wide", "Wide of him"

    scheme = models.ForeignKey(TechniqueScheme, on_delete=models.CASCADE, related_name="techniques")
    label = NameField(max_length=10)
    man = models.CharField(max_length=20, choices=Man)
    shade = models.CharField(max_length=10, choices=Shade)
    gap = models.CharField(max_length=1, blank=True)

    class Meta(Ordered.Meta):
        constraints = [
            models.UniqueConstraint(fields=["scheme", "label"], name="technique_label_once"),
            in_list("scheme", name="technique_in_list"),
            not_blank("label", name="technique_labelled"),
            models.CheckConstraint(condition=Q(gap__in=["", *"ABCDEF"]), name="technique_gap_known"),
        ]
        triggers: ClassVar = [bumps("playbook_system", "scheme_id IN (OLD.scheme_id, NEW.scheme_id)")]

    def __str__(self) -> str:
        return self.label


@history(exclude=("revision",))
class System(Labelled):
    """Everything a staff calls by one name. A `base` makes it a variant of that system, for one week."""

    name = models.SlugField(max_length=60, unique=True)
    label = NameField(max_length=120)
    source = models.CharField(max_length=200, blank=True)
    scheme = models.ForeignKey(TechniqueScheme, on_delete=models.PROTECT, related_name="systems")
    frame = models.CharField(max_length=14, choices=FrameName, default=FrameName.STRONG)
    base = models.ForeignKey("self", null=True, blank=True, on_delete=models.SET_NULL, related_name="variants")
    pressures = models.JSONField(default=list, blank=True)  # in the shape of the file
    revision = models.PositiveBigIntegerField(default=0, editable=False)

    class Meta:
        ordering = ["name"]
        constraints = [
            not_blank("name", "label", name="system_named"),
            models.CheckConstraint(condition=Q(base__isnull=True) | ~Q(base=models.F("id")), name="system_base_other"),
        ]
        triggers: ClassVar = [own_revision("name", "label", "source", "scheme", "frame", "pressures")]


@history()
class Position(Ordered):
    """A label of the staff, with its group, the side it belongs to and its default speed."""

    system = models.ForeignKey(System, on_delete=models.CASCADE, related_name="positions")
    name = NameField(max_length=10)
    group = models.CharField(max_length=10, choices=Group)
    side = models.CharField(max_length=12, choices=PositionSide)
    label = NameField(max_length=60, blank=True)
    v_yd_s = models.FloatField("top speed, yards a second", null=True, blank=True)
    tau_s = models.FloatField("time constant of the start, seconds", null=True, blank=True)

    class Meta(Ordered.Meta):
        constraints = [
            models.UniqueConstraint(fields=["system", "name"], name="position_name_once"),
            in_list("system", name="position_in_list"),
            not_blank("name", name="position_named"),
            known("group", Group, "position_group_known"),
            known("side", PositionSide, "position_side_known"),
            models.CheckConstraint(condition=Q(v_yd_s__isnull=True) | Q(v_yd_s__range=(3, 14)), name="position_speed"),
            models.CheckConstraint(condition=Q(tau_s__isnull=True) | Q(tau_s__range=(0.2, 2)), name="position_tau"),
        ]
        triggers: ClassVar = [bumps("playbook_system", OWN_SYSTEM)]

    def __str__(self) -> str:
        return self.name


@history()
class Front(Labelled, Ordered):
    """How the men up front line up, read and fit; called to a strength."""

    system = models.ForeignKey(System, on_delete=models.CASCADE, related_name="fronts")
    name = NameField(max_length=60)
    label = NameField(max_length=120)
    strength = models.CharField(max_length=10, choices=Strength, default=Strength.PASSING)
    move = models.JSONField(default=list, blank=True)  # called movement, in the shape of the file
    checks = models.JSONField(default=list, blank=True)  # motion checks, in the shape of the file

    class Meta(Ordered.Meta):
        constraints = [
            models.UniqueConstraint(fields=["system", "name"], name="front_name_once"),
            in_list("system", name="front_in_list"),
            not_blank("name", "label", name="front_named"),
            known("strength", Strength, "front_strength_known"),
        ]
        triggers: ClassVar = [bumps("playbook_system", OWN_SYSTEM)]


@history()
class Coverage(Labelled, Ordered):
    """How the men behind line up, read and fit; pass duties and force players."""

    system = models.ForeignKey(System, on_delete=models.CASCADE, related_name="coverages")
    name = NameField(max_length=60)
    label = NameField(max_length=120)
    checks = models.JSONField(default=list, blank=True)  # motion checks, in the shape of the file

    class Meta(Ordered.Meta):
        constraints = [
            models.UniqueConstraint(fields=["system", "name"], name="coverage_name_once"),
            in_list("system", name="coverage_in_list"),
            not_blank("name", "label", name="coverage_named"),
        ]
        triggers: ClassVar = [bumps("playbook_system", OWN_SYSTEM)]


@history()
class Call(Labelled, Ordered):
    """A front and a coverage of one system, under the name that is called."""

    system = models.ForeignKey(System, on_delete=models.CASCADE, related_name="calls")
    name = NameField(max_length=60)
    label = NameField(max_length=120)
    front = models.ForeignKey(Front, on_delete=models.RESTRICT, related_name="calls")
    coverage = models.ForeignKey(Coverage, on_delete=models.RESTRICT, related_name="calls")
    note = models.CharField(max_length=300, blank=True)
    short = models.BooleanField(default=False)  # lines up as on the goal line wherever it is called

    class Meta(Ordered.Meta):
        constraints = [
            models.UniqueConstraint(fields=["system", "name"], name="call_name_once"),
            in_list("system", name="call_in_list"),
            not_blank("name", "label", name="call_named"),
        ]
        triggers: ClassVar = [
            bumps("playbook_system", OWN_SYSTEM),
            pgtrigger.Trigger(
                name="one_system",
                operation=pgtrigger.Insert | pgtrigger.Update,
                when=pgtrigger.Before,
                func="""
                IF NOT EXISTS (SELECT 1 FROM playbook_front WHERE id = NEW.front_id AND system_id = NEW.system_id)
                OR NOT EXISTS (SELECT 1 FROM playbook_coverage WHERE id = NEW.coverage_id AND system_id = NEW.system_id)
                THEN RAISE EXCEPTION 'call_one_system: a call joins a front and a coverage of its own system'
                    USING ERRCODE = 'check_violation', CONSTRAINT = 'call_one_system';
                END IF;
                RETURN NEW;
                """,
            ),
        ]


class Rule(Ordered):
    """What every rule has: who, and when. First match wins, in order; an empty `when` always matches."""

    who = models.CharField(max_length=60)
    when = models.CharField(max_length=300, blank=True)

    class Meta(Ordered.Meta):
        abstract = True


class SharedRule(Rule):
    """A rule of a front or of a coverage."""

    front = models.ForeignKey(Front, null=True, blank=True, on_delete=models.CASCADE, related_name="%(class)ss")
    coverage = models.ForeignKey(Coverage, null=True, blank=True, on_delete=models.CASCADE, related_name="%(class)ss")

    class Meta(Rule.Meta):
        abstract = True

    @property
    def owner(self) -> Front | Coverage:
        """The front or coverage that the rule belongs to."""
        owner = self.front or self.coverage
        assert owner is not None
        return owner


@history()
class AlignRule(SharedRule):
    """Where a man lines up."""

    at = models.CharField(max_length=120)

    class Meta(SharedRule.Meta):
        constraints = [
            one_of("front", "coverage", name="alignrule_one_owner"),
            in_list("front", name="alignrule_in_front"),
            in_list("coverage", name="alignrule_in_coverage"),
            not_blank("who", "at", name="alignrule_filled"),
        ]
        triggers: ClassVar = [bumps("playbook_system", PARENT_SYSTEM)]


@history()
class KeyRule(SharedRule):
    """Whom a man reads."""

    reads = models.CharField(max_length=120)

    class Meta(SharedRule.Meta):
        constraints = [
            one_of("front", "coverage", name="keyrule_one_owner"),
            in_list("front", name="keyrule_in_front"),
            in_list("coverage", name="keyrule_in_coverage"),
            not_blank("who", "reads", name="keyrule_filled"),
        ]
        triggers: ClassVar = [bumps("playbook_system", PARENT_SYSTEM)]


@history(exclude=("system",))
class FitRule(SharedRule):
    """Where a man fits, with which leverage; `say` is the coach's own sentence.

    `rule_id` is permanent, and once in a system: whatever names a rule by it means this one. `system` is written by
    the database, from the front or coverage.
    """

    system = models.ForeignKey(System, editable=False, on_delete=models.CASCADE, related_name="fitrules")
    rule_id = NameField(max_length=60)
    fit = models.CharField(max_length=120)
    leverage = models.CharField(max_length=20, blank=True)
    say = models.CharField(max_length=300, blank=True)

    class Meta(SharedRule.Meta):
        constraints = [
            one_of("front", "coverage", name="fitrule_one_owner"),
            in_list("front", name="fitrule_in_front"),
            in_list("coverage", name="fitrule_in_coverage"),
            models.UniqueConstraint(
                fields=["system", "rule_id"], name="fitrule_id_once_in_system", deferrable=Deferrable.DEFERRED
            ),
            not_blank("rule_id", "who", "fit", name="fitrule_filled"),
        ]
        triggers: ClassVar = [
            bumps("playbook_system", PARENT_SYSTEM),
            pgtrigger.Trigger(
                name="own_system",
                operation=pgtrigger.Insert | pgtrigger.Update,
                when=pgtrigger.Before,
                func="""
                NEW.system_id = COALESCE(
                    (SELECT system_id FROM playbook_front WHERE id = NEW.front_id),
                    (SELECT system_id FROM playbook_coverage WHERE id = NEW.coverage_id)
                );
                RETURN NEW;
                """,
            ),
        ]


class RuleAlias(models.Model):
    """An id by which a fit rule was known before; it still finds the rule."""

    rule = models.ForeignKey(FitRule, on_delete=models.CASCADE, related_name="aliases")
    old_id = models.CharField(max_length=60)

    class Meta:
        ordering = ["old_id", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["rule", "old_id"], name="rulealias_once"),
            not_blank("old_id", name="rulealias_filled"),
        ]

    def __str__(self) -> str:
        return self.old_id


@history()
class TakeRule(Rule):
    """A man's pass duty: a receiver by number, or a zone."""

    coverage = models.ForeignKey(Coverage, on_delete=models.CASCADE, related_name="takerules")
    takes = models.CharField(max_length=60)

    class Meta(Rule.Meta):
        constraints = [
            in_list("coverage", name="takerule_in_coverage"),
            not_blank("who", "takes", name="takerule_filled"),
        ]
        triggers: ClassVar = [bumps("playbook_system", COVERAGE_SYSTEM)]


@history()
class ForceRule(Rule):
    """Who is the force player on his side."""

    coverage = models.ForeignKey(Coverage, on_delete=models.CASCADE, related_name="forcerules")

    class Meta(Rule.Meta):
        constraints = [
            in_list("coverage", name="forcerule_in_coverage"),
            not_blank("who", name="forcerule_filled"),
        ]
        triggers: ClassVar = [bumps("playbook_system", COVERAGE_SYSTEM)]


class ShippedCopy(models.Model):
    """A shipped system as it stood when the staff last took from it, in the shape of its file without empty values."""

    system = models.OneToOneField(System, on_delete=models.CASCADE, related_name="shipped", primary_key=True)
    data = models.JSONField()

    def __str__(self) -> str:
        return str(self.system)
