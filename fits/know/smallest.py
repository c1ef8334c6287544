"""The smallest set of questions whose answers tell rows apart: exact by branch and bound, else greedy with a bound.

Rows are tuples of answers, one column a question. Two rows that must not be mixed up are told apart by every question
whose answers differ; a set of questions is enough when it has one of those for each such pair (a hitting set).
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass

MOST_STEPS = 20_000  # branches tried before the search gives up on the exact answer


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """Questions chosen, by column, in order; what they cost together; no choice can cost less than `bound`."""

    columns: tuple[int, ...]
    cost: int
    bound: int

    @property
    def exact(self) -> bool:
        """True when no smaller choice exists."""
        return self.cost == self.bound


def smallest_tests(
    rows: Sequence[Sequence[Hashable]],
    labels: Sequence[Hashable],
    costs: Sequence[int],
    most_steps: int = MOST_STEPS,
) -> Choice:
    """The cheapest questions that keep rows of different labels apart.

    `costs` has a positive whole number for each column. Pairs of rows that no question tells apart are left out.
    """
    return smallest_hitting(separating_masks(rows, labels), costs, most_steps)


def separating_masks(rows: Sequence[Sequence[Hashable]], labels: Sequence[Hashable]) -> set[int]:
    """For each pair of rows with different labels the questions that tell them apart, as bits; equal ones once."""
    coded = [_codes([row[i] for row in rows]) for i in range(len(rows[0]) if rows else 0)]
    by_label: dict[Hashable, set[tuple[int, ...]]] = {}
    for row, label in zip(zip(*coded, strict=True) if coded else [()] * len(rows), labels, strict=True):
        by_label.setdefault(label, set()).add(row)
    groups = list(by_label.values())
    masks: set[int] = set()
    for i, group in enumerate(groups):
        for other in groups[i + 1 :]:
            for a in group:
                for b in other:
                    mask, bit = 0, 1
                    for p, q in zip(a, b, strict=True):
                        if p != q:
                            mask |= bit
                        bit <<= 1
                    masks.add(mask)
    masks.discard(0)
    return masks


def _codes(values: Sequence[Hashable]) -> list[int]:
    table: dict[Hashable, int] = {}
    return [table.setdefault(value, len(table)) for value in values]


def smallest_hitting(masks: Iterable[int], costs: Sequence[int], most_steps: int = MOST_STEPS) -> Choice:
    """The cheapest columns that have a bit in every mask. Of equally cheap choices the one found first."""
    needed = _minimal(masks)
    best, best_cost = _greedy(needed, costs)
    bound = _bound(needed, costs)
    search = _Search(costs, most_steps, best, best_cost)
    if best_cost > bound:
        search.branch(needed, (), 0, 0)
        bound = search.best_cost if search.done else bound
    return Choice(columns=tuple(sorted(search.best)), cost=search.best_cost, bound=bound)


def _minimal(masks: Iterable[int]) -> list[int]:
    """The masks that hold no other one, the smallest first: whoever hits these hits all."""
    kept: list[int] = []
    for mask in sorted(set(masks), key=lambda m: (m.bit_count(), m)):
        for small in kept:
            if small & mask == small:
                break
        else:
            kept.append(mask)
    return kept


def _greedy(masks: list[int], costs: Sequence[int]) -> tuple[tuple[int, ...], int]:
    """Columns by what they hit for their price, those that turn out not to be needed taken away again."""
    left, chosen = masks, []
    while left:
        counts = [0] * len(costs)
        for mask in left:
            for column in _columns(mask):
                counts[column] += 1
        column = max(range(len(costs)), key=lambda c: (counts[c] / costs[c], -c))
        chosen.append(column)
        left = [m for m in left if not m >> column & 1]
    for column in sorted(chosen, key=lambda c: -costs[c]):
        rest = sum([1 << c for c in chosen if c != column])
        if all(mask & rest for mask in masks):
            chosen.remove(column)
    return tuple(chosen), sum([costs[c] for c in chosen])


def _bound(masks: list[int], costs: Sequence[int]) -> int:
    """What any choice must cost: masks without a column in common are hit one by one."""
    used = total = 0
    for mask in masks:
        if not mask & used:
            used |= mask
            total += min([costs[c] for c in _columns(mask)])
    return total


def _columns(mask: int) -> list[int]:
    return [i for i in range(mask.bit_length()) if mask >> i & 1]


class _Search:
    """Depth first: one column of the smallest mask that is not hit yet, the cheapest first, under the best cost."""

    def __init__(self, costs: Sequence[int], most_steps: int, best: tuple[int, ...], best_cost: int) -> None:
        self.costs, self.steps, self.best, self.best_cost = costs, most_steps, best, best_cost

    @property
    def done(self) -> bool:
        """True when the search was not cut short."""
        return self.steps >= 0

    def branch(self, masks: list[int], chosen: tuple[int, ...], cost: int, barred: int) -> None:
        self.steps -= 1
        if not self.done:
            return
        if not masks:
            if cost < self.best_cost:
                self.best, self.best_cost = chosen, cost
            return
        open_masks = [m & ~barred for m in masks]
        if not all(open_masks) or cost + _bound(open_masks, self.costs) >= self.best_cost:
            return
        mask = min(open_masks, key=lambda m: (m.bit_count(), m))
        hits = {c: sum([m >> c & 1 for m in open_masks]) for c in _columns(mask)}
        for column in sorted(hits, key=lambda c: (-hits[c] / self.costs[c], c)):
            left = [m for m in masks if not m >> column & 1]
            self.branch(left, (*chosen, column), cost + self.costs[column], barred)
            barred |= 1 << column
