"""What rules look at: a defender, and the play as it stands when his turn comes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from fits.blocking.lanes import LaneMap
from fits.blocking.levels import Levels
from fits.blocking.plan import BlockingPlan
from fits.blocking.resolve import Blocks, ResolvedBlock
from fits.defense.roles import Group
from fits.field import LEFT, RIGHT, Hash, Side
from fits.offense.formation import Offense
from fits.sights import Flow
from fits.terms import Step
from fits.timing import Speed
from fits.values import field, record

# Seconds to the first movement, seconds of reading, yards a called movement takes him, and where he runs from then.
Ready = tuple[float, float, float, float, float]


@record
class Aligned:
    """A defender in his place. `keys` are offensive roles in reading order; `gap` is his technique's gap letter.

    `turn` is his group's place in the order of derivation, `key` his keys as text, `speed` the
    one his system gives him. `to_x` is where called movement takes him at the snap (x without any), `path` the way
    there, in yards, from his place to the line (empty without any); `in_pressure` is true when a pressure sends him.
    `check` is what he does about a motion, `start` where he stood before it (None: he did not move). `ready` is kept
    by `fits.derive.margins`.
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
    to_x: float = 0.0
    path: tuple[tuple[float, float], ...] = ()
    in_pressure: bool = False
    check: str = ""
    start: tuple[float, float] | None = None
    ready: Ready | None = field(default=None, compare=False, repr=False)

    @property
    def gap_side(self) -> Side | None:
        """The side his gap is on: where movement takes him, else his side, else where he stands; None over the ball."""
        if self.path:
            return RIGHT if self.to_x > 0 else LEFT
        if self.side is not None:
            return self.side
        return None if abs(self.x) < 0.25 else RIGHT if self.x > 0 else LEFT


@record
class BeforeSnap:
    """What can be seen before the snap. `yard_line` is the yards to the goal line attacked, None in midfield."""

    offense: Offense
    strength: Side
    yard_line: float | None = None

    @property
    def hash(self) -> Hash:
        """Where the ball is spotted."""
        return self.offense.hash


@record
class AfterSnap:
    """One play against one alignment, as it stands when a man's turn comes; `owners` and `lane_of` fill up meanwhile.

    `steps` are the first steps shown; `movers` the run blockers who leave their place, the one nearest to the ball
    first. Lanes are numbered from left to right: `owners` the men in each, `lane_of` the lane of each man,
    `threat_lanes` the lane of each kind of threat (None outside the run), `threatened` the lanes with one, `ball_s` the
    soonest the ball can be there.
    `aim_x` is the middle of the carrier's own lane. `texts` keeps what was put into words already, by role, `flow` what
    the backs do.
    """

    offense: Offense
    strength: Side
    plan: BlockingPlan
    front: Levels
    blocks: Blocks
    lanes: LaneMap
    steps: Mapping[str, Step]
    movers: tuple[ResolvedBlock, ...]
    play: Side
    flags: frozenset[str]
    owners: list[list[str]]
    lane_of: dict[str, int]
    threat_lanes: Mapping[str, int | None]
    threatened: frozenset[int]
    aim_x: float
    ball_s: Sequence[float]
    texts: dict[str, str] = field(default_factory=dict)
    flow: Flow | None = None
