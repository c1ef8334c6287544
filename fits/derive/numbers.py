"""Pass: the pass numbers of each side, and who has a receiver that may get the ball."""

from __future__ import annotations

from collections.abc import Mapping

from fits.defense.align import Alignment
from fits.derive.assign import Assigned
from fits.derive.parts import PassSide
from fits.field import LEFT, RIGHT, Side
from fits.terms import Duty

new_tuple = tuple.__new__
WORDS = ("none", "one", "two", "three", "four", "five", "six", "seven")


def count_pass(
    alignment: Alignment, receivers: Mapping[Side, tuple[str, ...]], done: Mapping[str, Assigned]
) -> tuple[PassSide, ...]:
    """Left and right: receivers who may still go out, and defenders with a pass duty and no run lane."""
    left: list[str] = []
    right: list[str] = []
    conflict: list[str] = []
    for name, side in alignment.coverage:
        assigned = done[name]
        if assigned.lane is None:
            (left if side is LEFT else right).append(name)
            if assigned.target.duty is Duty.CONFLICT:
                conflict.append(name)
    return _side(LEFT, left, conflict, receivers[LEFT]), _side(RIGHT, right, conflict, receivers[RIGHT])


def _side(side: Side, defenders: list[str], conflict: list[str], receivers: tuple[str, ...]) -> PassSide:
    defenders.sort()
    return new_tuple(
        PassSide,
        (
            side,
            tuple(defenders),
            receivers,
            tuple([name for name in conflict if name in defenders]) if conflict else (),
            f"{WORDS[min(len(defenders), 7)]} for {WORDS[min(len(receivers), 7)]}",
        ),
    )
