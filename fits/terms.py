"""Closed sets of words that go through the whole engine. Each is its own text, in files, in JSON and on a page."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING, NamedTuple


def words_of_name(name: str) -> str:
    """Words for people from an identifier that came without any: `wing-left` is "Wing left"."""
    said = " ".join(name.replace("-", " ").replace("_", " ").split())
    return said[:1].upper() + said[1:]


class Called:
    """What has an identifier, `name`, and a `label`."""

    __slots__ = ()
    if TYPE_CHECKING:
        name: str
        label: str

    @property
    def called(self) -> str:
        """What people call it; its identifier where nobody gave it a label."""
        return self.label or self.name


class Labels(NamedTuple):
    """What the parts of a look are called by people; their identifiers stand beside them in the look."""

    call: str
    formation: str
    concept: str
    motion: str | None = None
    pressure: str | None = None
    options: tuple[str, ...] = ()


class Step(StrEnum):
    """The first step a blocker shows."""

    IN = "in"
    OUT = "out"
    STRAIGHT = "straight"
    PULL = "pull"
    CROSS = "cross"
    ARC = "arc"
    CRACK = "crack"
    SET = "set"


class Duty(StrEnum):
    """What a defender's fit asks of him."""

    GAP = "gap"
    TWO_GAP = "two-gap"
    SCRAPE = "scrape"
    FREE = "free"
    FORCE = "force"
    CUTBACK = "cutback"
    QUARTERBACK = "quarterback"
    PITCH = "pitch"
    CONFLICT = "conflict"
    MAN = "man"
    REPLACE = "replace"
    ALLEY = "alley"
    OVERLAP = "overlap"
    PASS = "pass"


class Leverage(StrEnum):
    """How a defender stands to the ball or to his block."""

    INSIDE = "inside"
    OUTSIDE = "outside"
    HEAD_UP = "head up"
    GAP = "gap"
    SPILL = "spill"
    BOX = "box"
    FORCE = "force"
    ALLEY = "alley"
    CUTBACK = "cutback"
    OVERLAP = "overlap"
    HIP = "hip"
    PASS = "pass"
    SQUEEZE = "squeeze"


class Severity(StrEnum):
    """How much a finding weighs."""

    UNSOUND = "unsound"
    WARNING = "warning"
    HINT = "hint"


class Band(StrEnum):
    """What a whole look is worth."""

    SOUND = "sound"
    IF_ON_TIME = "sound if on time"
    NOT_SOUND = "not sound"


class Sight(StrEnum):
    """When and how a man can know what a condition or target asks."""

    BEFORE = "before"
    KEY = "key"
    HAT = "hat"
    FELT = "felt"
    FLOW = "flow"
    LATE = "late"
    TOLD = "told"


class Frame(StrEnum):
    """How a staff says sides: by its call's strength, the width of the field, the defender's own hands, or the play."""

    STRONG = "strong-weak"
    FIELD = "field-boundary"
    OWN = "own"
    PLAY = "play-back"
