"""What can be seen, heard and felt of a play, in words: first steps, flow, blocks at contact.

Left and right are the offense's, as everywhere in a look.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from fits.explain import STEP_WORDS
from fits.field import LEFT, RIGHT, Side

AT_THE_LINE_Y = 3.0  # yards: deeper men feel a block too late to fit by it (common practice)
STRAIGHT = 0.8  # yards: a back who goes less than this sideways shows no direction
HEAD_UP = 0.4  # yards between a blocker's place and the defender's that are head up
OVER_HIM = 3.0  # yards: a defender this near to a receiver, sideways, sees him crack and calls it
FAR = {"line": 3.5, "linebacker": 7.0, "secondary": 14.0}  # yards sideways at which a man can read another
TURNS_UP = " turns up "


class Shown(NamedTuple):
    """What an offensive man shows with his first step; `way` is where it goes, when that can be seen."""

    role: str
    step: str
    way: Side | None

    @property
    def text(self) -> str:
        """`RG pulls left`."""
        return f"{self.role} {self.does}"

    @property
    def does(self) -> str:
        """`pulls left`."""
        return _does(self.step, self.way)


@lru_cache(maxsize=64)
def _does(step: str, way: Side | None) -> str:
    if way is None:
        return STEP_WORDS[step]
    if step in ("in", "out", "straight"):
        return f"{'goes' if step == 'straight' else 'steps'} {way.word}"
    return f"{STEP_WORDS[step]} {way.word}"


class Felt(NamedTuple):
    """A blocker at contact and where he comes from: inside, outside, head up; left or right of a man over the ball."""

    role: str
    from_: str

    @property
    def text(self) -> str:
        """`RT from outside`."""
        return f"{self.role} {self.from_}" if self.from_ == "head up" else f"{self.role} from {self.from_}"


class Flow(NamedTuple):
    """Where the backs go in their first two steps: the deepest one who goes anywhere, and one who goes against him."""

    deep: Side | None
    split: bool

    @property
    def text(self) -> str:
        """`flow left`, `split flow, the deep back left`, `no flow`."""
        if self.deep is None:
            return "no flow"
        return f"split flow, the deep back {self.deep.word}" if self.split else f"flow {self.deep.word}"


def side_at(x: float) -> Side:
    """The side of the ball an x is on; straight over it, the right."""
    return RIGHT if x >= 0 else LEFT


def step_way(role: str, step: str, start_x: float, end_x: float, play: Side) -> Side | None:
    """The direction of a lineman's or receiver's first step, where it is not just in or out on his own side."""
    if step == "pull" or step == "cross":
        return side_at(end_x - start_x if end_x != start_x else -start_x)
    if role == "C" and (step == "in" or step == "out"):
        return play if step == "out" else play.other
    return None


def back_way(carries: bool, pass_set: bool, start_x: float, end_x: float, play: Side) -> Side | None:
    """The direction a back shows in two steps: the ball's for the carrier (none behind a pass set), his own else."""
    if carries:
        return None if pass_set else play
    moved = end_x - start_x
    return None if abs(moved) < STRAIGHT else side_at(moved)


def read_flow(ways: list[Side | None]) -> Flow:
    """The flow of backs with those directions, the deepest back first."""
    seen = [way for way in ways if way is not None]
    return Flow(seen[0], any(way is not seen[0] for way in seen)) if seen else NO_FLOW


NO_FLOW = Flow(None, False)


def felt_from(blocker_x: float, x: float) -> str:
    """Where a blocker who starts at `blocker_x` comes from, for a man at x."""
    off = blocker_x - x
    if abs(off) < HEAD_UP:
        return "head up"
    if abs(x) < HEAD_UP:
        return side_at(off).word
    return "inside" if off * x < 0 else "outside"


def felt_text(felt: tuple[Felt, ...]) -> str:
    """`nobody blocks him`, `blocked by LT from inside`."""
    return "blocked by " + " and ".join([f.text for f in felt]) if felt else "nobody blocks him"


def turn_text(role: str, spot: str) -> str:
    """`LG turns up outside RT`."""
    return f"{role}{TURNS_UP}{spot}"
