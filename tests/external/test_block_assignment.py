"""The plain part of the block search, one man for one man, against `scipy.optimize.linear_sum_assignment`.

Source of the reference: scipy's documentation of the rectangular linear sum assignment problem. Men who pass set never
double, so their blocks are a plain assignment; each defender may also be left at his price.
"""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment

from fits.blocking.solve import SPARE, Blocker, Lineman, single_cost, solve

SPOTS = (-3.2, -1.6, 0.0, 1.6, 3.2)
FAR = 1e6


@settings(max_examples=150, deadline=None)
@given(st.lists(st.integers(-45, 45).map(lambda n: n / 10), min_size=1, max_size=5), st.sampled_from([2.0, 50.0]))
def test_pass_sets_are_a_plain_assignment(spots, leave):
    blockers = [Blocker(x, "set") for x in SPOTS]
    line = [Lineman(x, leave) for x in sorted(spots) if abs(x) > 0.3]  # over the centre a price of its own
    cost, _ = solve(tuple(blockers), tuple(line), ())
    n, m = len(blockers), len(line)
    table = np.full((n + m, m + n), 0.0)
    for b in range(n):
        for d in range(m):
            table[b, d] = min(single_cost(blockers[b], line[d].x), FAR)
        table[b, m:] = SPARE
    for d in range(m):
        table[n + d, :m] = FAR
        table[n + d, d] = leave
    rows, columns = linear_sum_assignment(table)
    assert abs(cost - table[rows, columns].sum()) < 1e-6
