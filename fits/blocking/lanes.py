"""The lanes a play leaves: n run blockers make n + 1, named by gaps or by the man who made them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fits.blocking.cast import Plan
from fits.blocking.resolve import Blocks, Job
from fits.field import LEFT, RIGHT, Side

LETTERS = "ABCDEF"
EDGE_WIDTH = 1.2  # how far outside the last blocker an edge lane is fitted


@dataclass(frozen=True, slots=True)
class Space:
    """One lane before anybody owns it."""

    name: str
    gaps: tuple[tuple[Side, str], ...]
    left: str | None
    right: str | None
    x: float


@dataclass(frozen=True, slots=True)
class LaneMap:
    """Lanes left to right, and the look-ups that fit targets need. All look-ups give lane indexes."""

    spaces: tuple[Space, ...]
    line_up: tuple[str, ...]  # run blockers left to right; blocker i stands between lanes i and i + 1
    place: Mapping[str, int]
    gap_lanes: Mapping[tuple[Side, str], tuple[int, ...]]
    end_x: Mapping[str, float]

    def gap(self, side: Side, letter: str, outer: bool = False) -> int | None:
        """The lane of a static gap; when a mover split it, the inner part or the outer."""
        lanes = self.gap_lanes.get((side, letter))
        if not lanes:
            return None
        inner, outermost = (lanes[-1], lanes[0]) if side is LEFT else (lanes[0], lanes[-1])
        return outermost if outer else inner

    def edge(self, side: Side) -> int:
        """The outermost lane of that side."""
        return 0 if side is LEFT else len(self.spaces) - 1

    def beside(self, role: str, outside: bool, play: Side) -> int | None:
        """The lane just inside or outside a run blocker; None when he is not one."""
        i = self.place.get(role)
        if i is None:
            return None
        x = self.end_x[role]
        side = play if abs(x) < 0.25 else (RIGHT if x > 0 else LEFT)
        return i + 1 if (side is RIGHT) == outside else i

    def at(self, x: float) -> int:
        """The lane that holds that x."""
        return sum(1 for role in self.line_up if self.end_x[role] < x)


def make_lanes(plan: Plan, blocks: Blocks) -> LaneMap:
    """The lanes between the run blockers by where they end up."""
    counted = sorted((j for j in blocks.jobs.values() if j.counts), key=_end)
    bounds = [-99.0, *(j.end_x for j in counted), 99.0]
    intervals = gap_intervals(plan)
    spaces = []
    gap_lanes: dict[tuple[Side, str], list[int]] = {}
    for i in range(len(counted) + 1):
        left, right = (counted[i - 1] if i else None), (counted[i] if i < len(counted) else None)
        low, high = bounds[i], bounds[i + 1]
        gaps = tuple(g for g, (a, b) in intervals if min(high, b) - max(low, a) > 0.2)
        for g in gaps:
            gap_lanes.setdefault(g, []).append(i)
        x = (low + high) / 2
        if left is None:
            x = high - EDGE_WIDTH
        elif right is None:
            x = low + EDGE_WIDTH
        spaces.append(Space(_name(gaps, left, right, plan.play), gaps, left and left.man.role, right and right.man.role, x))
    line_up = tuple(j.man.role for j in counted)
    return LaneMap(
        tuple(spaces), line_up, {r: i for i, r in enumerate(line_up)},
        {g: tuple(lanes) for g, lanes in gap_lanes.items()}, {j.man.role: j.end_x for j in counted},
    )  # fmt: skip


def _end(job: Job) -> float:
    return job.end_x


def gap_intervals(plan: Plan) -> list[tuple[tuple[Side, str], tuple[float, float]]]:
    """Static gaps left to right, each with its x from and to."""
    out = []
    for side in (LEFT, RIGHT):
        marks = [0.0, *(p.x * side for p in plan.offense.view(side).surface), 90.0]
        found = []
        for i in range(len(marks) - 1):
            a, b = side * marks[i], side * marks[i + 1]
            found.append(((side, LETTERS[min(i, 5)]), (min(a, b), max(a, b))))
        out += found[::-1] if side is LEFT else found
    return out


def _name(gaps: tuple[tuple[Side, str], ...], left: Job | None, right: Job | None, play: Side) -> str:
    """`right A+B` between men who stayed; beside a mover `inside LG` or `outside LG`."""
    names = [_beside(job, job is right) for job in (left, right) if job is not None and job.verb.moves]
    if names:
        inside = [n for n in names if n.startswith("inside")]
        if len(inside) == 2:  # between movers of both sides: the play side names it
            return next(n for j, n in zip((left, right), names, strict=True) if j is not None and j.end_x * play > 0)
        return inside[0] if inside else names[0]
    if not gaps:
        return f"between {left and left.man.role} and {right and right.man.role}"
    words: list[str] = []
    for side in (LEFT, RIGHT):
        letters = sorted(letter for s, letter in gaps if s is side)
        if letters:
            words.append(f"{side.word} {'+'.join(letters)}")
    return "+".join(words)


def _beside(job: Job, lane_is_left_of_him: bool) -> str:
    outside = (job.end_x > 0) != lane_is_left_of_him
    return f"{'outside' if outside else 'inside'} {job.man.role}"
