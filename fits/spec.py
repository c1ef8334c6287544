"""Which look is meant: one value that names everything a derivation depends on."""

from __future__ import annotations

from collections.abc import Mapping

from fits.blocking.concepts import Concept, Option
from fits.defense.pressure import press
from fits.defense.system import Call, Pressure
from fits.field import COLLEGE, Hash, RuleBook, Side
from fits.offense.formation import Formation
from fits.offense.motion import Motion
from fits.timing import Pace, Speed, level_pace
from fits.values import value

DEFAULT_PACE = level_pace()


@value(kw_only=True)
class LookSpec:
    """One look to derive.

    `to` is absolute, after the flip; None lets the concept's own rule decide. `yard_line` is the yards to the goal
    line the offense attacks, None for midfield. `pressure` is laid over the call. `first_steps` are what-ifs by
    offensive role; `roster` gives speeds by role or position, before the pace's own.
    """

    call: Call
    formation: Formation
    concept: Concept
    to: Side | None = None
    flip: bool = False
    hash: Hash = Hash.MIDDLE
    yard_line: float | None = None
    pressure: Pressure | None = None
    motion: Motion | None = None
    options: tuple[Option, ...] = ()
    first_steps: Mapping[str, str] | None = None
    pace: Pace = DEFAULT_PACE
    roster: Mapping[str, Speed] | None = None
    book: RuleBook = COLLEGE

    @property
    def pressed(self) -> Call:
        """The call with the pressure laid over it."""
        return press(self.call, self.pressure)
