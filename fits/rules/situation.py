"""What rules look at: a defender, and the play as it stands when his turn comes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from fits.blocking.front import Front
from fits.blocking.lanes import LaneMap
from fits.blocking.plan import Plan
from fits.blocking.resolve import Blocks, Job
from fits.defense.roles import Group
from fits.field import Side
from fits.offense.formation import Offense
from fits.timing import Speed


@dataclass(slots=True)
class Aligned:
    """A defender in his place. `keys` are offensive roles in reading order; `gap` is his technique's gap letter.

    `turn` is his group's place in the order of derivation, `key` his keys as text, `speed` the
    one his system gives him.
    """

    name: str
    position: str
    group: Group
    side: Side | None
    technique: str
    gap: str | None
    x: float
    y: float
    keys: tuple[str, ...]
    takes: str
    force: bool
    turn: int
    speed: Speed | None = None
    key: str = ""


@dataclass(slots=True)
class Situation:
    """One play against one alignment. Before the snap only `offense` and `strength` are set."""

    offense: Offense
    strength: Side
    plan: Plan | None = None
    front: Front | None = None
    blocks: Blocks | None = None
    lanes: LaneMap | None = None
    steps: Mapping[str, str] | None = None
    movers: tuple[Job, ...] = ()
    play: Side | None = None
    flags: frozenset[str] = frozenset()
    owners: list[list[str]] | None = None
    lane_of: dict[str, int] | None = None
    threat_lanes: Mapping[str, int | None] | None = None
    aim_x: float = 0.0
    ball_s: Sequence[float] = ()
