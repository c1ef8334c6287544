"""What a defender sees of a look up to his decision: formation, first steps of his keys, flow, and who blocks him.

Frame of the texts: left and right are the offense's, as everywhere in a look.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from fits.blocking.levels import FIRST_LEVEL_Y
from fits.derive.look import Block, Defender, Look
from fits.field import Side
from fits.offense.formation import Kind, OffensiveMan, is_back
from fits.sights import (
    AT_THE_LINE_Y,
    FAR,
    OVER_HIM,
    Felt,
    Flow,
    Shown,
    back_way,
    felt_from,
    felt_text,
    read_flow,
    step_way,
)

Before = tuple[str, bool, str, str | None]  # formation, flip, hash, motion


@dataclass(frozen=True, slots=True)
class Picture:
    """All a man sees before he must decide. `flow` is None for linemen, `felt` None for men off the line."""

    before: Before
    keys: tuple[Shown, ...]
    flow: Flow | None
    felt: tuple[Felt, ...] | None
    told: str = ""

    @property
    def sights(self) -> tuple[str, ...]:
        """In the order he sees it, formation aside: `RG pulls left`, `flow left`, `blocked by LT from inside`."""
        out = [shown.text for shown in self.keys]
        if self.flow is not None:
            out.append(self.flow.text)
        if self.told:
            out.append(self.told)
        if self.felt is not None:
            out.append(felt_text(self.felt))
        return tuple(out)


@dataclass(frozen=True, slots=True)
class Showing:
    """What the offense of one look shows, worked out once for all defenders."""

    look: Look
    blocks: Mapping[str, Block]
    backs: tuple[OffensiveMan, ...]
    before: Before
    flow: Flow
    shown: dict[str, Shown] = field(default_factory=dict)

    def show(self, role: str) -> Shown:
        """The first step of that man."""
        found = self.shown.get(role)
        if found is None:
            found = self.shown[role] = _show(self, role)
        return found


def read_showing(look: Look) -> Showing:
    """The showing of a look."""
    backs = tuple([p for p in look.offense if is_back(p)])
    blocks = {b.role: b for b in look.blocks}
    before = (look.formation, look.flip, look.hash.value, look.motion)
    return Showing(look, blocks, backs, before, _flow(look, blocks, backs))


def see_picture(showing: Showing, d: Defender, hears_crack: bool = False) -> Picture:
    """What that man sees. `hears_crack`: his rules teach him the word for a crack on his side."""
    keys = tuple([showing.show(role) for role in key_roles(d) if role in showing.blocks])
    line = d.group == "line"
    felt = feel(showing, d) if line or d.y <= AT_THE_LINE_Y else None
    told = crack_call(showing, d) if hears_crack and not line else ""
    return Picture(showing.before, keys, None if line else showing.flow, felt, told)


def key_roles(d: Defender) -> tuple[str, ...]:
    """The men he reads, in reading order."""
    return tuple(d.key.split(", ")) if d.key else ()


def feel(showing: Showing, d: Defender) -> tuple[Felt, ...]:
    """Who blocks him, in the order of their places from inside out."""
    on = sorted([b for b in showing.look.blocks if b.on == d.role], key=lambda b: (abs(b.start_x), b.role))
    return tuple([Felt(b.role, felt_from(b.start_x, d.x)) for b in on])


def crack_call(showing: Showing, d: Defender) -> str:
    """`crack!` when a receiver cracks on his side and a team mate over that receiver sees it."""
    for block in showing.look.blocks:
        if block.step == "crack" and d.side is not None and block.start_x * d.side > 0:
            men = [o for o in showing.look.defenders if o.role != d.role and o.y > FIRST_LEVEL_Y]
            if any(abs(o.x - block.start_x) <= OVER_HIM for o in men):
                return "crack!"
    return ""


def other_reads(showing: Showing, d: Defender) -> list[str]:
    """The men he does not read but could, the ones nearest to his eyes first; linemen see no backs."""
    line, keys = d.group == "line", key_roles(d)
    backs = {p.role for p in showing.backs}
    near = []
    for p in showing.look.offense:
        if p.role in keys or p.kind is Kind.QUARTERBACK or (line and p.role in backs):
            continue
        away = 0.0 if p.role in backs else abs(p.x - d.x)
        if away <= FAR[d.group]:
            near.append((away, p.role))
    return [role for _, role in sorted(near)]


def _show(showing: Showing, role: str) -> Shown:
    block = showing.blocks[role]
    step = str(block.step)
    if step == "straight" and any(p.role == role for p in showing.backs):
        return Shown(role, step, _way(showing.look, showing.blocks, block))
    return Shown(role, step, step_way(role, step, block.start_x, block.x, showing.look.to))


def _way(look: Look, blocks: Mapping[str, Block], block: Block) -> Side | None:
    return back_way(block.does == "carry", blocks["C"].step == "set", block.start_x, block.x, look.to)


def _flow(look: Look, blocks: Mapping[str, Block], backs: tuple[OffensiveMan, ...]) -> Flow:
    deepest = sorted(backs, key=lambda p: (p.y, p.x * look.to))
    return read_flow([_way(look, blocks, blocks[p.role]) for p in deepest])
