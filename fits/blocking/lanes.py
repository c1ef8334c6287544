"""The lanes a play leaves: n run blockers make n + 1, named by gaps or by the man who made them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from operator import attrgetter

from fits.blocking.plan import BlockingPlan
from fits.blocking.resolve import Blocks, ResolvedBlock
from fits.field import Side
from fits.values import record

LETTERS = "ABCDEF"
EDGE_WIDTH = 1.2  # how far outside the last blocker an edge lane is fitted
FAR = 99.0
OVERLAP = 0.2  # a lane holds a gap when it shares more than this with it

_END = attrgetter("end_x")


@record
class Space:
    """One lane before anybody owns it. `gaps` are the static gaps it spans, as words."""

    name: str
    gaps: tuple[str, ...]
    left: str | None
    right: str | None
    x: float


@record
class LaneMap:
    """Lanes left to right, and the look-ups that fit targets need. All look-ups give lane indexes.

    `gaps` gives the lane of a static gap by its letter: inner part and outer part on the left, the same on the right.
    """

    spaces: tuple[Space, ...]
    line_up: tuple[str, ...]  # run blockers left to right; blocker i stands between lanes i and i + 1
    place: Mapping[str, int]
    end_x: Mapping[str, float]
    gaps: tuple[Mapping[str, int], ...]
    left_gaps: int
    marks: Sequence[float]  # the bounds of the static gaps from left to right, `left_gaps` of them left of the centre
    spots: dict[tuple[int, Side, str], float]  # what `spot` said already

    def spot(self, lane: int, side: Side, letter: str) -> float:
        """Where a man fits who has that static gap in that lane: in its middle, as far as the lane reaches into it.

        Outside the surface and where the gap is not in the lane: the middle of the lane.
        """
        key = lane, side, letter
        x = self.spots.get(key)
        if x is None:
            x = self.spots[key] = self._spot(lane, side, letter)
        return x

    def _spot(self, lane: int, side: Side, letter: str) -> float:
        space = self.spaces[lane]
        n = LETTERS.index(letter)
        i = self.left_gaps + n if side > 0 else self.left_gaps - 1 - n
        if not 0 < i < len(self.marks) - 2:
            return space.x
        low, high = self.marks[i], self.marks[i + 1]
        if space.left is not None:
            low = max(low, self.end_x[space.left])
        if space.right is not None:
            high = min(high, self.end_x[space.right])
        return (low + high) / 2 if high > low else space.x

    def gap(self, side: Side, letter: str, outer: bool = False) -> int | None:
        """The lane of a static gap; when a mover split it, the inner part or the outer."""
        return self.gaps[(2 if side > 0 else 0) + outer].get(letter)

    def edge(self, side: Side) -> int:
        """The outermost lane of that side."""
        return 0 if side < 0 else len(self.spaces) - 1

    def beside(self, role: str, outside: bool, play: Side) -> int | None:
        """The lane just inside or outside a run blocker; None when he is not one."""
        i = self.place.get(role)
        if i is None:
            return None
        x = self.end_x[role]
        right = play > 0 if -0.25 < x < 0.25 else x > 0
        return i + 1 if right == outside else i

    def at(self, x: float) -> int:
        """The lane that holds that x."""
        return sum([1 for role in self.line_up if self.end_x[role] < x])


def make_lanes(plan: BlockingPlan, blocks: Blocks) -> LaneMap:
    """The lanes between the run blockers by where they end up."""
    counted = sorted([j for j in blocks.jobs.values() if j.counts], key=_END)
    key = plan.play, *[(j.man.role, j.end_x, j.verb.moves) for j in counted]
    lanes: LaneMap | None = plan.shared.get(key)
    if lanes is None:
        lanes = plan.shared[key] = _make_lanes(plan, counted)
    return lanes


def _make_lanes(plan: BlockingPlan, counted: Sequence[ResolvedBlock]) -> LaneMap:
    left_gaps, marks = gap_marks(plan)
    gaps = len(marks) - 1
    spaces: list[Space] = []
    first: dict[int, int] = {}
    last: dict[int, int] = {}
    left: ResolvedBlock | None = None
    low, start, lanes = -FAR, 0, len(counted)
    for i in range(lanes + 1):
        right = counted[i] if i < lanes else None
        high = FAR if right is None else right.end_x
        while start < gaps and marks[start + 1] - low <= OVERLAP:
            start += 1
        stop = start
        while stop < gaps and high - marks[stop] > OVERLAP:
            if min(high, marks[stop + 1]) - max(low, marks[stop]) <= OVERLAP:
                break
            first.setdefault(stop, i)
            last[stop] = i
            stop += 1
        words, name = gap_words(left_gaps, start, stop)
        if (left is not None and left.verb.moves) or (right is not None and right.verb.moves):
            name = _beside_movers(left, right, plan.play)
        elif not words:
            name = f"between {_role(left)} and {_role(right)}"
        x = high - EDGE_WIDTH if left is None else low + EDGE_WIDTH if right is None else (low + high) / 2
        spaces.append(Space(name, words, _role(left), _role(right), x))
        left, low = right, high
    line_up = tuple([j.man.role for j in counted])
    return LaneMap(
        tuple(spaces), line_up, {r: i for i, r in enumerate(line_up)}, {j.man.role: j.end_x for j in counted},
        gap_lanes(left_gaps, first, last), left_gaps, marks, {},
    )  # fmt: skip


def _role(job: ResolvedBlock | None) -> str | None:
    return None if job is None else job.man.role


def gap_lanes(left_gaps: int, first: Mapping[int, int], last: Mapping[int, int]) -> tuple[dict[str, int], ...]:
    """Lanes by gap letter: left inner, left outer, right inner, right outer; gaps are numbered from left to right."""
    left = {letter: left_gaps - 1 - i for i, letter in enumerate(LETTERS)}
    right = {letter: left_gaps + i for i, letter in enumerate(LETTERS)}
    return tuple(
        {letter: lanes[i] for letter, i in numbers.items() if i in lanes}
        for numbers, lanes in ((left, last), (left, first), (right, first), (right, last))
    )


def gap_marks(plan: BlockingPlan) -> tuple[int, list[float]]:
    """How many static gaps lie left of the centre, and the bounds of all of them from left to right."""
    offense = plan.offense
    left, right = [p.x for p in offense.left.surface], [p.x for p in offense.right.surface]
    return len(left) + 1, [-90.0, *reversed(left), 0.0, *right, 90.0]


@lru_cache(maxsize=1024)
def gap_words(left_gaps: int, start: int, stop: int) -> tuple[tuple[str, ...], str]:
    """Gaps from start up to stop as (`left A`, `right A`), and as the name of a lane (`left A+right A`)."""
    names: list[tuple[str, str]] = []
    for i in range(start, stop):
        n = left_gaps - 1 - i if i < left_gaps else i - left_gaps
        names.append(("left" if i < left_gaps else "right", LETTERS[min(n, 5)]))
    sides = []
    for word in ("left", "right"):
        letters = sorted(letter for side, letter in names if side == word)
        if letters:
            sides.append(f"{word} {'+'.join(letters)}")
    return tuple(f"{side} {letter}" for side, letter in names), "+".join(sides)


def _beside_movers(left: ResolvedBlock | None, right: ResolvedBlock | None, play: Side) -> str:
    """`inside LG` or `outside LG`; between two movers inside wins, and the play side names a lane inside both."""
    names = [(_beside(job, job is right), job) for job in (left, right) if job is not None and job.verb.moves]
    inside = [(n, job) for n, job in names if n.startswith("inside")]
    if len(inside) == 2:
        return next((n for n, job in inside if job.end_x * play > 0), inside[0][0])
    return inside[0][0] if inside else names[0][0]


def _beside(job: ResolvedBlock, lane_is_left_of_him: bool) -> str:
    outside = (job.end_x > 0) != lane_is_left_of_him
    return f"{'outside' if outside else 'inside'} {job.man.role}"
