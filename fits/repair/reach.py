"""Whether any fit of these eleven, where they line up, could be sound in time."""

from __future__ import annotations

from collections.abc import Sequence

from fits.derive.margins import arrival_s, margin_s
from fits.deriver import Deriver
from fits.spec import LookSpec
from fits.values import value


@value
class Reach:
    """Whether any fit could be sound in time: the assignment of men to lanes with the least lateness.

    `men` gives a defender for each lane, left to right (None where there are more lanes than men);
    `late_s` the summed lateness in seconds, 0 when every lane can be reached.
    """

    possible: bool
    late_s: float
    men: tuple[str | None, ...]
    text: str


def could_reach(spec: LookSpec, deriver: Deriver | None = None) -> Reach:
    """Whether any fit of these eleven, where they line up, could be at every lane in time.

    False means that no rule can help: line up elsewhere. True and unsound means that the rules are wrong.
    """
    deriver = deriver or Deriver()
    s = deriver.after_snap(spec)
    lanes, men = s.lanes, deriver.alignment(spec).men
    late = [
        [max(0.0, -margin_s(d, arrival_s(d, space.x, s, spec.pace, spec.roster), ball_s)) for d in men]
        for space, ball_s in zip(lanes.spaces, s.ball_s, strict=True)
    ]
    if len(late) > len(men):
        return Reach(False, 99.0, (None,) * len(late), f"{len(late)} lanes for {len(men)} men.")
    picks = least_cost(late)
    total = sum(late[i][j] for i, j in enumerate(picks))
    names = tuple(men[j].name for j in picks)
    text = (
        "Every lane can be reached in time: a fit exists."
        if total == 0
        else (f"No fit of these eleven gets to every lane in time: {total:.2f} s short in all. Line up elsewhere.")
    )
    return Reach(total == 0, total, names, text)


def least_cost(cost: Sequence[Sequence[float]]) -> list[int]:
    """For each row the column of a least-cost assignment (rows <= columns), by shortest augmenting paths.

    Source: Kuhn 1955; Jonker and Volgenant 1987 (the method; checked against scipy in the tests).
    """
    rows, columns = len(cost), len(cost[0]) if cost else 0
    u, v = [0.0] * (rows + 1), [0.0] * (columns + 1)
    row_of = [0] * (columns + 1)
    for i in range(1, rows + 1):
        row_of[0], j0 = i, 0
        least, back, used = [float("inf")] * (columns + 1), [0] * (columns + 1), [False] * (columns + 1)
        while row_of[j0]:
            used[j0], i0, j1, delta = True, row_of[j0], 0, float("inf")
            for j in range(1, columns + 1):
                if not used[j]:
                    spare = cost[i0 - 1][j - 1] - u[i0] - v[j]
                    if spare < least[j]:
                        least[j], back[j] = spare, j0
                    if least[j] < delta:
                        delta, j1 = least[j], j
            for j in range(columns + 1):
                if used[j]:
                    u[row_of[j]] += delta
                    v[j] -= delta
                else:
                    least[j] -= delta
            j0 = j1
        while j0:
            row_of[j0], j0 = row_of[back[j0]], back[j0]
    out = [0] * rows
    for j in range(1, columns + 1):
        if row_of[j]:
            out[row_of[j] - 1] = j - 1
    return out
