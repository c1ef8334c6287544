"""A concept laid on a formation, ready to be played out against any front."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from fits.blocking.concepts import Concept, ThreatRule
from fits.blocking.levels import Levels, Man
from fits.field import Side
from fits.offense.formation import Offense, OffensiveMan
from fits.terms import Step
from fits.values import field, value

BlockCondition = Callable[["BlockingPlan", Levels, OffensiveMan], bool]
Order = Callable[[Any], "Sequence[Man]"]  # of the claims; everybody who may be meant, the first choice first

OUT_WAYS = frozenset({"kick", "trap", "interior", "edge"})


@value
class Verb:
    """One thing a blocker does.

    step: the first step shown, or `zone` (out on the play side, in on the back side) or `toward` (by the man taken).
    order: movers choose in this order. counts: he is a run blocker. moves: he leaves his place.
    place: `edge`, `bubble`, `target`, a gap letter, `stay` or `away`; rank: his place among the men at an edge.
    way: how he finds his man; a way of `solve` for those who stay, else one of the movers' and the perimeter's.
    """

    text: str
    step: str
    order: int
    counts: bool
    moves: bool
    place: str
    rank: int
    back_side: bool
    way: str

    @property
    def turns_out(self) -> bool:
        """Whether his man is kicked, trapped or led around: turned out by a man who comes for him."""
        return self.moves and self.way in OUT_WAYS


@value
class Choice:
    """A blocking rule that may be a man's, compiled; `when` is its text."""

    tests: tuple[BlockCondition, ...]
    verb: Verb
    step: Step | None
    when: str = ""


@value
class PlannedLeft:
    """A man the concept leaves alone: in which order he is looked for, and why."""

    order: Order
    why: str


@value
class PlannedThreat:
    """A threat of the concept and the man who is it."""

    rule: ThreatRule
    role: str


@value
class BlockingPlan:
    """One concept to one side of one offense: labels per man, parts, and the rules that can apply to each man.

    Three tables keep what was made of it already. `schemes`: the same men at the line have everybody do the same,
    whoever stands behind them. `ground`: the same blocks against another call leave the same lanes. `shared`: so do the
    same blockers in the same places on another plan of the same offense, and a carrier goes the same way; such plans
    have one table.
    """

    concept: Concept
    offense: Offense
    play: Side
    eyes: Side | None
    labels: Mapping[str, frozenset[str]]
    parts: Mapping[str, str]
    rules: tuple[tuple[OffensiveMan, tuple[Choice, ...]], ...]
    threats: tuple[PlannedThreat, ...]
    leaves: tuple[PlannedLeft, ...] = ()
    schemes: dict[Any, Any] = field(default_factory=dict, compare=False, repr=False)
    ground: dict[Any, Any] = field(default_factory=dict, compare=False, repr=False)
    shared: dict[Any, Any] = field(default_factory=dict, compare=False, repr=False)
