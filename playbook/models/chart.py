"""Charted files, their snaps, and the opponent's words in ours."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from playbook.models.base import Versioned, history, known, not_blank
from playbook.models.offense import Concept, Formation, Motion
from playbook.models.opponent import Opponent
from playbook.models.people import User
from playbook.models.season import HashName, SideName


class ChartState(models.TextChoices):
    """How far a charted file is."""

    UPLOADED = "uploaded", "Waiting for its columns"
    WAITING = "waiting", "Waiting to be read"
    READING = "reading", "Being read"
    DONE = "done", "Read"
    FAILED = "failed", "Not read"


class YardStyleName(models.TextChoices):
    """How a bare yard line is meant."""

    SIGNED = "signed", "−35 is their own 35, 35 is ours"
    FROM_OWN_GOAL = "from own goal", "1 to 99 from their own goal"
    TO_GOAL = "to goal", "99 to 1, yards to the goal they attack"
    UNTOLD = "untold", "Nothing: it does not say whose half, leave it blank"


@history(exclude=("step", "steps"))
class Chart(Versioned):
    """One charted file of an opponent's snaps: what it is, how its columns are read, what came of it."""

    opponent = models.ForeignKey(Opponent, on_delete=models.CASCADE, related_name="charts")
    name = models.CharField(max_length=200)
    note = models.CharField(max_length=300, blank=True)
    uploaded_by = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="charts")
    uploaded_by_name = models.CharField(max_length=150)
    uploaded_at = models.DateTimeField(auto_now_add=True)
    size = models.PositiveIntegerField()
    digest = models.CharField(max_length=64)
    described = models.CharField(max_length=300)
    sheet = models.CharField(max_length=120, blank=True)
    headers = models.JSONField(default=list)
    samples = models.JSONField(default=list)
    mapping = models.JSONField(default=dict, blank=True)
    yard_style = models.CharField(max_length=14, choices=YardStyleName, default=YardStyleName.SIGNED)
    state = models.CharField(max_length=8, choices=ChartState, default=ChartState.UPLOADED)
    step = models.PositiveIntegerField(default=0)
    steps = models.PositiveIntegerField(default=0)
    trouble = models.TextField(blank=True)
    taken = models.PositiveIntegerField(default=0)
    refused = models.PositiveIntegerField(default=0)
    not_counted = models.PositiveIntegerField(default=0)
    blanked = models.PositiveIntegerField("snaps with a cell left blank", default=0)
    marks = models.JSONField("by header, values that may mark their offense and how often", default=dict, blank=True)
    theirs = models.JSONField("what marks their offense, by column", default=dict, blank=True)
    aside = models.JSONField("rows of others: whose they are, how many", default=list, blank=True)
    replaces = models.ForeignKey("self", null=True, blank=True, on_delete=models.SET_NULL, related_name="replaced_by")
    changes = models.JSONField("what differs from the one it replaces", default=list, blank=True)
    counts = models.BooleanField("counts in the tendencies", default=True)

    class Meta:
        ordering = ["-uploaded_at", "-pk"]
        constraints = [
            known("state", ChartState, "chart_state_known"),
            known("yard_style", YardStyleName, "chart_yard_style_known"),
            not_blank("name", "digest", name="chart_named"),
            models.CheckConstraint(condition=Q(size__gt=0), name="chart_not_empty"),
        ]

    def __str__(self) -> str:
        return self.name


class ChartContent(models.Model):
    """The file itself, kept in the database so that a worker on any machine can read it."""

    chart = models.OneToOneField(Chart, on_delete=models.CASCADE, related_name="content", primary_key=True)
    data = models.BinaryField()

    def __str__(self) -> str:
        return str(self.chart)


class PlayType(models.TextChoices):
    """What a snap was; empty when the chart does not say."""

    RUN = "run", "Run"
    PASS = "pass", "Pass"


class ChartedSnap(models.Model):
    """One snap as charted, in the chart's own words; sides are the offense's, yards count from its own goal."""

    chart = models.ForeignKey(Chart, on_delete=models.CASCADE, related_name="snaps")
    line = models.PositiveIntegerField()
    game = models.CharField(max_length=80, blank=True)
    down = models.PositiveSmallIntegerField(null=True)
    distance = models.PositiveSmallIntegerField(null=True)
    yard_line = models.PositiveSmallIntegerField(null=True)
    hash = models.CharField(max_length=6, blank=True)
    quarter = models.PositiveSmallIntegerField(null=True)
    clock_s = models.PositiveSmallIntegerField(null=True)
    personnel = models.CharField(max_length=80, blank=True)
    formation = models.CharField(max_length=80, blank=True)
    strength = models.CharField(max_length=8, blank=True)
    backfield = models.CharField(max_length=80, blank=True)
    back = models.CharField(max_length=6, blank=True)
    motion = models.CharField(max_length=80, null=True)
    play_type = models.CharField(max_length=4, blank=True)
    concept = models.CharField(max_length=80, blank=True)
    direction = models.CharField(max_length=14, blank=True)
    hole = models.CharField(max_length=7, blank=True)
    gain = models.SmallIntegerField(null=True)
    result = models.CharField(max_length=80, blank=True)
    our_call = models.CharField(max_length=80, blank=True)
    margin = models.SmallIntegerField("points ahead", null=True)
    repeated = models.BooleanField("of a game that another chart has", db_default=False)

    class Meta:
        ordering = ["chart", "line"]
        constraints = [
            models.UniqueConstraint(fields=["chart", "line"], name="chartedsnap_line_once"),
            models.CheckConstraint(condition=Q(down__isnull=True) | Q(down__range=(1, 4)), name="chartedsnap_down"),
            models.CheckConstraint(
                condition=Q(distance__isnull=True) | Q(distance__range=(1, 99)), name="chartedsnap_distance"
            ),
            models.CheckConstraint(
                condition=Q(yard_line__isnull=True) | Q(yard_line__range=(1, 99)), name="chartedsnap_yard_line"
            ),
            models.CheckConstraint(condition=Q(hash__in=["", *HashName.values]), name="chartedsnap_hash"),
            models.CheckConstraint(
                condition=Q(quarter__isnull=True) | Q(quarter__range=(1, 10)), name="chartedsnap_quarter"
            ),
            models.CheckConstraint(
                condition=Q(clock_s__isnull=True) | Q(clock_s__range=(0, 900)), name="chartedsnap_clock"
            ),
            models.CheckConstraint(
                condition=Q(strength__in=["", *SideName.values, "balanced"]), name="chartedsnap_strength"
            ),
            models.CheckConstraint(condition=Q(play_type__in=["", *PlayType.values]), name="chartedsnap_play_type"),
            models.CheckConstraint(condition=Q(gain__isnull=True) | Q(gain__range=(-99, 109)), name="chartedsnap_gain"),
            models.CheckConstraint(
                condition=Q(margin__isnull=True) | Q(margin__range=(-150, 150)), name="chartedsnap_margin"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.chart}, line {self.line}"

    @property
    def to_goal(self) -> int | None:
        """Yards to the goal they attack."""
        return None if self.yard_line is None else 100 - self.yard_line

    @property
    def clock(self) -> str:
        """The clock as people read it."""
        return "" if self.clock_s is None else f"{self.clock_s // 60}:{self.clock_s % 60:02}"


class RefusedRow(models.Model):
    """A row of a chart that was not taken, or not whole: its line, why, and what stands in it."""

    chart = models.ForeignKey(Chart, on_delete=models.CASCADE, related_name="refused_rows")
    line = models.PositiveIntegerField()
    reason = models.TextField()
    cells = models.JSONField(default=list)
    counted = models.BooleanField("could be mended", default=True)
    taken = models.BooleanField("its snap counts without these cells", default=False)

    class Meta:
        ordering = ["chart", "line"]
        constraints = [
            models.UniqueConstraint(fields=["chart", "line"], name="refusedrow_line_once"),
            not_blank("reason", name="refusedrow_reasoned"),
        ]

    def __str__(self) -> str:
        return f"{self.chart}, line {self.line}"


@history()
class MendedRow(Versioned):
    """A row as the staff mended it on the page; it is read in place of the file's."""

    chart = models.ForeignKey(Chart, on_delete=models.CASCADE, related_name="mended_rows")
    line = models.PositiveIntegerField()
    cells = models.JSONField(default=list)
    by_name = models.CharField(max_length=150)
    at = models.DateTimeField(auto_now=True)

    class Meta:
        ordering = ["chart", "line"]
        constraints = [models.UniqueConstraint(fields=["chart", "line"], name="mendedrow_line_once")]

    def __str__(self) -> str:
        return f"{self.chart}, line {self.line}"


class Counting(models.TextChoices):
    """What the staff say of a game that two charts have."""

    ONCE = "once", "The same game: count it once"
    BOTH = "both", "Two games: count both"


@history()
class SameGame(Versioned):
    """Snaps of a chart that another one has too; they count once unless the staff say that they are two games."""

    chart = models.ForeignKey(Chart, on_delete=models.CASCADE, related_name="same_games")
    other = models.ForeignKey(Chart, on_delete=models.CASCADE, related_name="same_games_since")
    game = models.CharField(max_length=80, blank=True)
    other_game = models.CharField(max_length=80, blank=True)
    shared = models.PositiveIntegerField("snaps found in both")
    lines = models.JSONField("lines of the chart, from and to", default=list)
    decided = models.CharField(max_length=4, choices=Counting, blank=True)

    class Meta:
        ordering = ["chart", "game", "other"]
        constraints = [
            models.UniqueConstraint(fields=["chart", "other", "game", "other_game"], name="samegame_once"),
            models.CheckConstraint(condition=Q(decided__in=["", *Counting.values]), name="samegame_decided_known"),
        ]

    def __str__(self) -> str:
        return f"{self.chart} and {self.other}"


class RememberedHeader(models.Model):
    """Which column a header was last mapped to ("" for none); the next file with it starts from that."""

    header = models.CharField(max_length=140, unique=True)
    column = models.CharField(max_length=20, blank=True)

    class Meta:
        ordering = ["header"]

    def __str__(self) -> str:
        return f"{self.header}: {self.column}"


class WordKind(models.TextChoices):
    """What an opponent's word stands for."""

    FORMATION = "formation", "Formation"
    CONCEPT = "concept", "Concept"
    PERSONNEL = "personnel", "Personnel"
    MOTION = "motion", "Motion"


def _only(kind: str) -> Q:
    """The condition that a word of this kind has its own meaning and no other."""
    rows = {f"{name}__isnull": name != kind for name in ("formation", "concept", "motion")}
    digits = Q(personnel="")
    return Q(kind=kind, **rows) & (~digits if kind == "personnel" else digits)


@history()
class Alias(Versioned):
    """One of the opponent's words (in lower case) and what it is in ours.

    A formation's word may mean one thing with one personnel and another with the next; `with_personnel` is empty for
    all that have no meaning of their own.
    """

    opponent = models.ForeignKey(Opponent, on_delete=models.CASCADE, related_name="aliases")
    kind = models.CharField(max_length=9, choices=WordKind)
    word = models.CharField(max_length=80)
    with_personnel = models.CharField(max_length=4, blank=True)
    formation = models.ForeignKey(Formation, null=True, blank=True, on_delete=models.CASCADE, related_name="aliases")
    concept = models.ForeignKey(Concept, null=True, blank=True, on_delete=models.CASCADE, related_name="aliases")
    motion = models.ForeignKey(Motion, null=True, blank=True, on_delete=models.CASCADE, related_name="aliases")
    personnel = models.CharField(max_length=4, blank=True)

    class Meta:
        ordering = ["kind", "word"]
        constraints = [
            models.UniqueConstraint(fields=["opponent", "kind", "word", "with_personnel"], name="alias_word_once"),
            not_blank("word", name="alias_worded"),
            models.CheckConstraint(
                condition=Q(with_personnel="") | Q(kind="formation"), name="alias_with_personnel_of_formations"
            ),
            models.CheckConstraint(
                condition=_only("formation") | _only("concept") | _only("motion") | _only("personnel"),
                name="alias_says_one_thing",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.word}: {self.formation or self.concept or self.motion or self.personnel}"
