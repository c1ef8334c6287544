"""The least-cost assignment, against scipy.optimize.linear_sum_assignment."""

import random

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment

import fits
from fits.blocking.cast import plan_concept
from fits.defense.align import align_call
from fits.derive.margins import arrival_s, margin_s
from fits.derive.pipeline import prepare_play, snap_offense
from fits.repair import could_reach, least_cost
from fits.spec import DEFAULT_PACE

LIB = fits.load_library()


@pytest.mark.parametrize("seed", range(60))
def test_same_total_as_scipy(seed):
    rng = random.Random(seed)
    rows, columns = rng.randint(1, 9), 11
    cost = [[rng.choice([0.0, rng.random()]) for _ in range(columns)] for _ in range(rows)]
    mine = least_cost(cost)
    assert len(set(mine)) == rows
    r, c = linear_sum_assignment(np.array(cost))
    assert sum(cost[i][j] for i, j in enumerate(mine)) == pytest.approx(np.array(cost)[r, c].sum(), abs=1e-12)


@pytest.mark.parametrize("scale", [1.0, 0.75, 0.6, 0.5, 0.4, 0.3])
@pytest.mark.parametrize("formation", ["10-doubles", "11-doubles", "12-two-tight", "21-pro-i"])
def test_whether_a_fit_exists_agrees_with_scipy(formation, scale):
    """Source of the oracle: scipy. The cost is each man's lateness to each lane."""
    call, f, concept = LIB.call("odd-three-safety"), LIB.formation(formation), LIB.concept("power")
    roster = {p.name: fits.Speed(9.0 * scale, 0.7) for p in LIB.systems["odd-three-safety"].positions}
    reach = could_reach(fits.LookSpec(call=call, formation=f, concept=concept, roster=roster))
    snap = snap_offense(f)
    alignment = align_call(call, snap.offense)
    s, ground = prepare_play(alignment, plan_concept(concept, snap.offense, None), None, DEFAULT_PACE)
    late = np.array(
        [
            [max(0.0, -margin_s(d, arrival_s(d, space.x, s, DEFAULT_PACE, roster), s.ball_s[i])) for d in alignment.men]
            for i, space in enumerate(ground.lanes.spaces)
        ]
    )
    r, c = linear_sum_assignment(late)
    assert reach.late_s == pytest.approx(late[r, c].sum(), abs=1e-9)
    assert reach.possible == (late[r, c].sum() == 0)
