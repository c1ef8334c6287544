"""The smallest set of questions: against an exhaustive search, and never more than a decision tree asks."""

from itertools import combinations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sklearn.tree import DecisionTreeClassifier

from fits.know.smallest import separating_masks, smallest_hitting, smallest_tests

TABLES = st.integers(1, 6).flatmap(
    lambda width: st.lists(
        st.tuples(st.tuples(*[st.integers(0, 2)] * width), st.integers(0, 3)), min_size=1, max_size=14
    )
)


def apart(rows, labels, columns):
    """True when those columns tell apart whatever all columns together do."""
    for (a, la), (b, lb) in combinations(zip(rows, labels, strict=True), 2):
        if la != lb and a != b and all(a[c] == b[c] for c in columns):
            return False
    return True


def by_exhaustion(rows, labels, costs):
    sets = (s for n in range(len(costs) + 1) for s in combinations(range(len(costs)), n))
    return min(sum(costs[c] for c in s) for s in sets if apart(rows, labels, s))


@given(TABLES, st.lists(st.integers(1, 4), min_size=6, max_size=6))
@settings(max_examples=120, deadline=None)
def test_it_is_as_cheap_as_the_cheapest_of_all_subsets(table, prices):
    rows, labels = [r for r, _ in table], [label for _, label in table]
    costs = prices[: len(rows[0])]
    found = smallest_tests(rows, labels, costs)
    assert found.exact and apart(rows, labels, found.columns)
    assert found.cost == sum(costs[c] for c in found.columns) == by_exhaustion(rows, labels, costs)


@given(st.lists(st.integers(1, 2**10 - 1), max_size=40))
@settings(max_examples=100, deadline=None)
def test_cut_short_it_still_hits_everything_and_tells_a_true_bound(masks):
    costs = [1] * 10
    exact, cut = smallest_hitting(masks, costs), smallest_hitting(masks, costs, most_steps=0)
    for found in (exact, cut):
        chosen = sum(1 << c for c in found.columns)
        assert all(mask & chosen for mask in masks)
    assert exact.exact and cut.bound <= exact.cost <= cut.cost


def test_rows_alike_in_everything_are_left_out():
    assert separating_masks([("a", 1), ("a", 1)], ["x", "y"]) == set()
    assert smallest_tests([("a", 1), ("a", 1)], ["x", "y"], [1, 1]).columns == ()
    assert smallest_tests([], [], []).columns == ()


@pytest.mark.parametrize("seed", range(12))
def test_a_decision_tree_is_an_upper_bound(seed):
    """scikit-learn's tree, grown until every leaf is pure, is a set of questions that is enough: ours asks no more."""
    rng = np.random.default_rng(seed)
    rows = np.unique(rng.integers(0, 3, size=(60, 9)), axis=0)
    labels = (rows[:, 0] + 2 * (rows[:, 3] == 1) + rows[:, 7] % 2) % 4
    tree = DecisionTreeClassifier(random_state=0).fit(rows, labels)
    assert tree.score(rows, labels) == 1.0
    asked = {int(f) for f in tree.tree_.feature if f >= 0}
    found = smallest_tests([tuple(r) for r in rows.tolist()], labels.tolist(), [1] * 9)
    assert found.exact and len(found.columns) <= len(asked)


def test_all_answers_of_three_questions():
    rows = list(product((0, 1), repeat=3))
    assert smallest_tests(rows, [a ^ c for a, _, c in rows], [1, 1, 1]).columns == (0, 2)
