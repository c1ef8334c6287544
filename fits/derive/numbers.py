"""Pass: the pass numbers of each side, and who has a receiver that may get the ball."""

from __future__ import annotations

from fits.blocking.resolve import Blocks
from fits.defense.align import Alignment
from fits.derive.assign import Assigned
from fits.derive.look import PassSide
from fits.field import LEFT, RIGHT, Side
from fits.offense.formation import Offense

WORDS = ("none", "one", "two", "three", "four", "five", "six", "seven")


def count_pass(alignment: Alignment, offense: Offense, blocks: Blocks, done: dict[str, Assigned]) -> tuple[PassSide, ...]:
    """Left and right: receivers who may still go out, and defenders with a pass duty and no run lane."""
    return tuple(_side(alignment, offense, blocks, done, side) for side in (LEFT, RIGHT))


def _side(alignment: Alignment, offense: Offense, blocks: Blocks, done: dict[str, Assigned], side: Side) -> PassSide:
    receivers = tuple(
        p.role for p in offense.view(side).receivers
        if not blocks.jobs[p.role].counts and blocks.jobs[p.role].verb.text != "carry"
    )  # fmt: skip
    defenders, conflict = [], []
    for d in alignment.men:
        if d.takes and d.side is side and done[d.name].lane is None:
            defenders.append(d.name)
            if done[d.name].target.duty == "conflict":
                conflict.append(d.name)
    defenders.sort()
    text = f"{WORDS[min(len(defenders), 7)]} for {WORDS[min(len(receivers), 7)]}"
    return PassSide(side, tuple(defenders), receivers, tuple(conflict), text)
