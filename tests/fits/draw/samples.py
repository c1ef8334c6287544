"""The looks that the drawing tests draw: a dozen of the shipped library, chosen to differ."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import fits
from fits.field import LEFT, RIGHT, Hash, Side


@dataclass(frozen=True)
class Sample:
    """One drawing: which look, whose view, which way up."""

    name: str
    formation: str
    concept: str
    to: Side
    hash: Hash = Hash.MIDDLE
    flip: bool = False
    role: str | None = None
    up: str = "offense"
    call: str = "odd-three-safety"

    def look(self) -> fits.Look:
        """The derived look."""
        return _derive(self.call, self.formation, self.concept, self.to, self.hash, self.flip)


@lru_cache
def _derive(call: str, formation: str, concept: str, to: Side, hash_: Hash, flip: bool) -> fits.Look:
    lib = fits.load_library()
    men, play = lib.formation(formation), lib.concept(concept)
    return fits.derive_look(lib.call(call), men, play, to=to, hash=hash_, flip=flip)


SAMPLES = (
    Sample("doubles-rpo", "10-doubles", "inside-zone-rpo", LEFT),
    Sample("doubles-power", "11-doubles", "power", RIGHT, Hash.RIGHT),
    Sample("doubles-split", "11-doubles", "split-zone", RIGHT, Hash.RIGHT),
    Sample("doubles-split-defense-up", "11-doubles", "split-zone", RIGHT, Hash.RIGHT, up="defense"),
    Sample("doubles-power-for-ms", "11-doubles", "power", RIGHT, Hash.RIGHT, role="MS", up="defense"),
    Sample("doubles-power-for-lg", "11-doubles", "power", RIGHT, Hash.RIGHT, role="LG"),
    Sample("trips-counter", "10-trips", "counter", RIGHT, Hash.LEFT, call="under-cover-3"),
    Sample("trips-flipped-for-end", "11-trips", "inside-zone", LEFT, Hash.LEFT, flip=True, role="left E"),
    Sample("empty-rpo", "11-trey", "inside-zone-rpo", RIGHT),
    Sample("heavy-power", "22-heavy", "power", RIGHT, Hash.LEFT),
    Sample("three-tight-option", "13-three-tight", "speed-option", LEFT, call="okie-two-gap"),
    Sample("tackle-and-tailback-t", "22-heavy", "duo", RIGHT, Hash.RIGHT, flip=True, call="over-quarters"),
    Sample("pro-split", "21-pro-i", "inside-zone", RIGHT, Hash.RIGHT, up="defense"),
)
BY_NAME = {s.name: s for s in SAMPLES}


def power_look() -> fits.Look:
    """Power to the right from the right hash."""
    return BY_NAME["doubles-power"].look()


def opened(look: fits.Look, name: str) -> fits.Look:
    """The same look with nobody in the lane of that name."""
    lanes = tuple(lane._replace(owners=()) if lane.name == name else lane for lane in look.lanes)
    return replace(look, lanes=lanes)


def with_blocks(look, blocks):
    """The look with those blocks; what its men saw stays."""

    class Account:
        sights = look.account.sights
        motion_way = look.account.motion_way

        def blocks(self):
            return blocks

    return replace(look, account=Account())
