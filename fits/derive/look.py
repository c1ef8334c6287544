"""The result of a derivation: one look, with everything a coach asks of it."""

from __future__ import annotations

from collections.abc import Mapping
from operator import attrgetter
from typing import NamedTuple

from fits.audit.finding import Finding
from fits.blocking.resolve import Left
from fits.derive.parts import Account, Block, Defender, Lane, PassSide, Threat
from fits.field import Hash, Side
from fits.offense.formation import OffensiveMan
from fits.terms import Band, Frame, Labels, Severity
from fits.values import MISSING, field, field_names, value

__all__ = [
    "Band", "Block", "Defender", "Finding", "Lane", "Left", "Look", "PassSide", "Severity", "Threat", "Verdict",
]  # fmt: skip


@value(eq=False)
class Look:
    """Call x formation x concept, derived, audited and explained. Bulk work reads no defenders, so it makes none."""

    call: str
    formation: str
    concept: str
    to: Side
    flip: bool
    hash: Hash
    motion: str | None
    options: tuple[str, ...]
    first_steps: tuple[tuple[str, str], ...]
    strength: Side
    eyes: Side | None
    offense: tuple[OffensiveMan, ...]
    account: Account
    lanes: tuple[Lane, ...]
    threats: tuple[Threat, ...]
    passes: tuple[PassSide, ...]
    findings: tuple[Finding, ...]
    band: Band
    defenders: tuple[Defender, ...] = field(default=MISSING, later=lambda look: look.account.defenders())
    left_alone: tuple[Left, ...] = field(default=MISSING, later=lambda look: look.account.left_alone())
    frame: Frame = Frame.STRONG  # how its system says sides; the look itself is in the offense's left and right
    yard_line: float | None = None
    pressure: str | None = None
    replaced: tuple[str, ...] = ()
    labels: Labels = Labels("", "", "")  # what people call its parts

    @property
    def blocks(self) -> tuple[Block, ...]:
        """What each offensive player does."""
        return self.account.blocks()

    @property
    def motion_way(self) -> tuple[tuple[float, float], ...]:
        """The way of the man in motion, in yards, to where he is at the snap; nothing without motion."""
        return self.account.motion_way()

    @property
    def routes(self) -> Mapping[str, tuple[tuple[float, float], ...]]:
        """The way of each man who may be thrown to, in yards, from his place."""
        return self.account.routes()

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Look):
            return NotImplemented
        return bool(_parts(self) == _parts(other)) and self.blocks == other.blocks

    def __hash__(self) -> int:
        return hash(_parts(self))

    @property
    def sound(self) -> bool:
        """True when nothing is unsound even with slow reactions."""
        return self.band is Band.SOUND

    def defender(self, role: str) -> Defender | None:
        """The defender with that role, or None."""
        return next((d for d in self.defenders if d.role == role), None)


_parts = attrgetter(*[name for name in field_names(Look) if name != "account"])


class Verdict(NamedTuple):
    """What a look is worth in short: its band, and the codes of its findings in the order they are listed."""

    band: Band
    codes: tuple[str, ...]

    @property
    def sound(self) -> bool:
        """True for a sound look only."""
        return self.band is Band.SOUND
