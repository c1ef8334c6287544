"""Seasons, weeks and the week's plan."""

from __future__ import annotations

from collections.abc import Sequence

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.functional import cached_property

from fits.terms import words_of_name
from playbook.models.base import Ordered, Versioned, history, in_list, known, not_blank
from playbook.models.offense import Concept, Formation, Motion, Option, words
from playbook.models.opponent import Opponent
from playbook.models.system import Call, Group, System
from playbook.text import NameField


class BookName(models.TextChoices):
    """The rule book that field and formation legality follow."""

    HIGH_SCHOOL = "high school", "High school"
    COLLEGE = "college", "College"
    PROFESSIONAL = "professional", "Professional"


@history()
class Season(Versioned):
    """One year of play, its rule book, and the staff's own limits for full contact (thud and live) in practice."""

    year = models.PositiveSmallIntegerField(unique=True, validators=[MinValueValidator(1900), MaxValueValidator(2200)])
    name = NameField(max_length=80, blank=True)
    book = models.CharField("rule book", max_length=12, choices=BookName, default=BookName.COLLEGE)
    contact_day_min = models.PositiveSmallIntegerField("full-contact minutes a day, at most", default=30)
    contact_week_min = models.PositiveSmallIntegerField("full-contact minutes a week, at most", default=90)
    contact_source = models.CharField(
        "where these limits come from",
        max_length=300,
        default="NFHS task force recommendation for high schools, 2014: check your governing body's current rule.",
    )

    class Meta:
        ordering = ["-year"]
        constraints = [known("book", BookName, "season_book_known")]

    def __str__(self) -> str:
        return self.name or str(self.year)


@history()
class Week(Versioned):
    """One week of preparation: the opponent, the system (or a variant of it), days and plan."""

    season = models.ForeignKey(Season, on_delete=models.CASCADE, related_name="weeks")
    number = models.PositiveSmallIntegerField()
    opponent = models.ForeignKey(Opponent, null=True, blank=True, on_delete=models.PROTECT, related_name="weeks")
    system = models.ForeignKey(System, on_delete=models.PROTECT, related_name="weeks")
    game_on = models.DateField("day of the game", null=True, blank=True)
    released = models.BooleanField("players see it", default=False)
    note = models.TextField(blank=True)

    class Meta:
        ordering = ["season", "number"]
        constraints = [
            models.UniqueConstraint(fields=["season", "number"], name="week_number_once"),
            models.CheckConstraint(condition=Q(number__range=(0, 30)), name="week_number_plausible"),
        ]

    def __str__(self) -> str:
        return f"Week {self.number}" + (f": {self.opponent}" if self.opponent else ": no game")


class ContactLevel(models.TextChoices):
    """How hard a period is, from the least head impacts to the most (air < bags = control < thud = live)."""

    AIR = "air", "Air"
    BAGS = "bags", "Bags"
    CONTROL = "control", "Control"
    THUD = "thud", "Thud"
    LIVE = "live", "Live"


@history()
class Day(Ordered):
    """A day of the week's work."""

    week = models.ForeignKey(Week, on_delete=models.CASCADE, related_name="days")
    label = NameField(max_length=60)
    date = models.DateField(null=True, blank=True)
    note = models.TextField(blank=True)

    class Meta(Ordered.Meta):
        constraints = [in_list("week", name="day_in_week"), not_blank("label", name="day_labelled")]

    def __str__(self) -> str:
        return self.label


@history()
class MenuCall(Ordered):
    """A call on the week's menu, for one situation."""

    week = models.ForeignKey(Week, on_delete=models.CASCADE, related_name="menu_calls")
    call = models.ForeignKey(Call, on_delete=models.RESTRICT, related_name="menu_entries")
    down = models.PositiveSmallIntegerField(null=True, blank=True)
    distance_from = models.PositiveSmallIntegerField(null=True, blank=True)
    distance_to = models.PositiveSmallIntegerField(null=True, blank=True)
    zone = models.CharField("field zone", max_length=40, blank=True)
    personnel = models.CharField(max_length=10, blank=True)
    note = models.CharField(max_length=300, blank=True)

    class Meta(Ordered.Meta):
        constraints = [
            in_list("week", name="menucall_in_week"),
            models.CheckConstraint(condition=Q(down__isnull=True) | Q(down__range=(1, 4)), name="menucall_down_1_4"),
            models.CheckConstraint(
                condition=Q(distance_from__isnull=True)
                | Q(distance_to__isnull=True)
                | Q(distance_from__lte=models.F("distance_to")),
                name="menucall_distance_order",
            ),
        ]

    def __str__(self) -> str:
        return str(self.call)


class HashName(models.TextChoices):
    """Where the ball is."""

    LEFT = "left", "Left hash"
    MIDDLE = "middle", "Middle"
    RIGHT = "right", "Right hash"


class SideName(models.TextChoices):
    """A side, in the offense's view."""

    LEFT = "left", "Left"
    RIGHT = "right", "Right"


class FieldZone(models.TextChoices):
    """A part of the field where runs are expected by themselves; empty for all the rest."""

    GOAL_LINE = "goal line", "Goal line"


class BackSide(models.TextChoices):
    """Where the back stands, seen from the formation's strength; empty as the formation is drawn."""

    STRONG = "strong", "To strength"
    WEAK = "weak", "Away from strength"


@history()
class ExpectedLook(Ordered):
    """A formation with a concept that we expect this week. An empty `to` leaves the direction to the concept.

    One that is charted to the middle counts as that, and is drawn the way the concept says.
    """

    week = models.ForeignKey(Week, on_delete=models.CASCADE, related_name="expected_looks")
    formation = models.ForeignKey(Formation, on_delete=models.PROTECT, related_name="expected_looks")
    concept = models.ForeignKey(Concept, on_delete=models.PROTECT, related_name="expected_looks")
    motion = models.ForeignKey(Motion, null=True, blank=True, on_delete=models.PROTECT, related_name="expected_looks")
    options = words()
    to = models.CharField(max_length=5, choices=SideName, blank=True)
    middle = models.BooleanField("charted to the middle", default=False)
    back = models.CharField("the back", max_length=6, choices=BackSide, blank=True)
    flip = models.BooleanField(default=False)
    hash = models.CharField(max_length=6, choices=HashName, default=HashName.MIDDLE)
    zone = models.CharField("part of the field", max_length=9, choices=FieldZone, blank=True)
    share = models.FloatField("share of their runs, 0 to 1", null=True, blank=True)
    pinned = models.BooleanField(default=False)
    guess = models.BooleanField("not seen, but likely", default=False)
    note = models.CharField(max_length=300, blank=True)

    class Meta(Ordered.Meta):
        constraints = [
            in_list("week", name="expectedlook_in_week"),
            models.UniqueConstraint(
                fields=[
                    "week",
                    "formation",
                    "concept",
                    "motion",
                    "options",
                    "to",
                    "flip",
                    "hash",
                    "middle",
                    "zone",
                    "back",
                ],
                nulls_distinct=False,
                name="expectedlook_once",
            ),
            models.CheckConstraint(condition=Q(to__in=["", *SideName.values]), name="expectedlook_to_known"),
            known("hash", HashName, "expectedlook_hash_known"),
            models.CheckConstraint(condition=Q(zone__in=["", *FieldZone.values]), name="expectedlook_zone_known"),
            models.CheckConstraint(condition=Q(back__in=["", *BackSide.values]), name="expectedlook_back_known"),
            models.CheckConstraint(condition=Q(share__isnull=True) | Q(share__range=(0, 1)), name="expectedlook_share"),
        ]

    def __str__(self) -> str:
        return f"{self.formation} {self.concept}" + (f", {self.zone}" if self.zone else "")

    @property
    def back_words(self) -> str:
        """Where the back stands, in words; "" as the formation is drawn."""
        return f"back {self.get_back_display().lower()}" if self.back else ""

    @cached_property
    def option_labels(self) -> list[str]:
        """What its options are called; `label_options` reads them for many looks at once."""
        label_options([self])
        return self.option_labels


def label_options(looks: Sequence[ExpectedLook]) -> None:
    """Gives each look what its options are called: the opponent's own of that name, else the library's."""
    names = {name for look in looks for name in look.options}
    rows = Option.objects.filter(name__in=names).order_by("opponent") if names else ()
    labels = {(row.name, row.opponent_id): str(row) for row in rows}
    for look in looks:
        theirs = look.week.opponent_id if look.options else None
        look.option_labels = [
            labels.get((name, theirs)) or labels.get((name, None)) or words_of_name(name) for name in look.options
        ]


@history()
class PlanEntry(Ordered):
    """What is taught or practised on a day, for one position group or (empty) for all."""

    day = models.ForeignKey(Day, on_delete=models.CASCADE, related_name="entries")
    group = models.CharField(max_length=10, choices=Group, blank=True)
    text = models.CharField(max_length=300)
    call = models.ForeignKey(Call, null=True, blank=True, on_delete=models.SET_NULL, related_name="plan_entries")
    look = models.ForeignKey(
        ExpectedLook, null=True, blank=True, on_delete=models.SET_NULL, related_name="plan_entries"
    )
    minutes = models.PositiveSmallIntegerField(null=True, blank=True, validators=[MaxValueValidator(240)])
    contact = models.CharField(max_length=8, choices=ContactLevel, blank=True)

    class Meta(Ordered.Meta):
        constraints = [
            in_list("day", name="planentry_in_day"),
            not_blank("text", name="planentry_filled"),
            models.CheckConstraint(condition=Q(group__in=["", *Group.values]), name="planentry_group_known"),
            models.CheckConstraint(condition=Q(contact__in=["", *ContactLevel.values]), name="planentry_contact_known"),
        ]

    def __str__(self) -> str:
        return self.text
