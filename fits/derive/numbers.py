"""Pass: the pass numbers of each side, and who has a receiver that may get the ball."""

from __future__ import annotations

from fits.blocking.resolve import Blocks
from fits.defense.align import Alignment
from fits.derive.assign import Assigned
from fits.derive.look import PassSide
from fits.field import LEFT, RIGHT, Side
from fits.offense.formation import Offense

make_side = PassSide
WORDS = ("none", "one", "two", "three", "four", "five", "six", "seven")


def count_pass(
    alignment: Alignment, offense: Offense, blocks: Blocks, done: dict[str, Assigned]
) -> tuple[PassSide, ...]:
    """Left and right: receivers who may still go out, and defenders with a pass duty and no run lane."""
    left: list[str] = []
    right: list[str] = []
    conflict: list[str] = []
    for name, side in alignment.coverage:
        assigned = done[name]
        if assigned.lane is None:
            (left if side is LEFT else right).append(name)
            if assigned.target.duty == "conflict":
                conflict.append(name)
    return _side(LEFT, left, conflict, offense, blocks), _side(RIGHT, right, conflict, offense, blocks)


def _side(side: Side, defenders: list[str], conflict: list[str], offense: Offense, blocks: Blocks) -> PassSide:
    jobs = blocks.jobs
    receivers = tuple(
        [
            p.role
            for p in offense.view(side).receivers
            if not jobs[p.role].counts and not jobs[p.role].helps and jobs[p.role].verb.text != "carry"
        ]
    )
    return make_side(
        side,
        tuple(sorted(defenders)),
        receivers,
        tuple([name for name in conflict if name in defenders]),
        f"{WORDS[min(len(defenders), 7)]} for {WORDS[min(len(receivers), 7)]}",
    )
