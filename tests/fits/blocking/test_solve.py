"""The small search against going through every answer, and its rule for ties."""

import itertools
from math import inf

from hypothesis import given, settings
from hypothesis import strategies as st

from fits.blocking.settle import LineUp, settle
from fits.blocking.solve import (
    Backer,
    Blocker,
    Lineman,
    Unit,
    climb_cost,
    pair_cost,
    single_cost,
    solve,
)

WAYS = ("zone", "reach", "base", "out", "down", "back", "double", "climb", "set", "hinge", "cut off", "pin")
SPOTS = (-3.2, -1.6, 0.0, 1.6, 3.2, 4.8)
tenths = st.integers(-60, 60).map(lambda n: n / 10)


@st.composite
def cases(draw):
    spots = draw(st.sampled_from([SPOTS[:4], SPOTS[1:5], SPOTS]))
    blockers = [Blocker(x, draw(st.sampled_from(WAYS)), x > 4) for x in spots]
    line = sorted(Lineman(x, draw(st.sampled_from([0.8, 2.0, 50.0]))) for x in draw(st.lists(tenths, max_size=4)))
    men = [(x, draw(st.booleans())) for x in draw(st.lists(tenths, max_size=3))]
    backers = sorted(Backer(x, 0.0 if deep else 3.0, deep=deep) for x, deep in men)
    return tuple(blockers), tuple(line), tuple(backers)


def everything(blockers, line, backers):
    """Every answer: who of the line is left, taken alone or by two neighbours, men in order; the best way up."""
    n = len(blockers)
    men = [None, *[(b,) for b in range(n)], *[(b, b + 1) for b in range(n - 1)]]
    for taken in itertools.product(men, repeat=len(line)):
        used = [b for unit in taken if unit for b in unit]
        if used != sorted(set(used)):
            continue
        cost = 0.0
        for d, unit in zip(line, taken, strict=True):
            if unit is None:
                cost += d.leave
            elif len(unit) == 1:
                cost += single_cost(blockers[unit[0]], d.x)
            else:
                cost += pair_cost(blockers[unit[0]], blockers[unit[1]], d.x)
        if cost == inf:
            continue
        climbers = sorted(
            [Unit(unit, d, None) for d, unit in enumerate(taken) if unit and len(unit) == 2]
            + [Unit((b,), None, None) for b in range(n) if b not in used]
        )
        yield cost + climb_cost(blockers, line, climbers, backers)[0]


@settings(max_examples=120, deadline=None)
@given(cases())
def test_no_other_answer_is_cheaper(case):
    cost, units = solve(*case)
    assert abs(cost - min(everything(*case))) < 1e-6
    blockers, _, _ = case
    assert sorted(b for u in units for b in u.men) == list(range(len(blockers)))
    assert len([u.on for u in units if u.on is not None]) == len({u.on for u in units if u.on is not None})
    ups = [u.to for u in units if u.to is not None]
    assert len(ups) == len(set(ups))


@settings(max_examples=60, deadline=None)
@given(cases())
def test_the_same_question_has_the_same_answer(case):
    blockers, line, backers = case
    line_up = LineUp(tuple([man.x for man in line]), (), (), max(b.x for b in blockers))
    answer = settle(blockers, line_up, backers)
    assert settle.__wrapped__(blockers, line_up, backers) == answer == settle(blockers, line_up, backers)
    assert sorted(one.man for one in answer) == [*range(len(blockers))]


def test_of_two_answers_as_cheap_the_single_block_of_the_back_side_man_stands():
    """A man half-way between two men who pass set: either may have him; the one behind the play takes him."""
    blockers = [Blocker(-0.8, "set"), Blocker(0.8, "set")]
    _, units = solve(tuple(blockers), (Lineman(0.0),), ())
    assert units == (Unit((0,), 0, None), Unit((1,), None, None))


def test_climbers_do_not_cross():
    blockers = [Blocker(-1.6, "climb"), Blocker(1.6, "climb")]
    _, units = solve(tuple(blockers), (), (Backer(-2.0), Backer(2.0)))
    assert [(u.men, u.to) for u in units] == [((0,), 0), ((1,), 1)]


def test_one_blocker_short_the_cheaper_man_is_free():
    _, units = solve((Blocker(0.0, "climb"),), (), (Backer(-1.0, 3.0), Backer(1.0, 3.5)))
    assert units == (Unit((0,), None, 1),)


def test_nobody_goes_past_the_man_in_the_next_gap_to_free_a_guard_for_a_backer_behind_the_play():
    """Gap blocking against a front that pinched: each has the nearest man inside."""
    blockers = (Blocker(0.0, "back"), Blocker(1.6, "down"), Blocker(3.2, "down"), Blocker(4.8, "down", True))
    _, units = solve(blockers, (Lineman(-0.8), Lineman(1.2), Lineman(2.4)), (Backer(-3.6, 1.8),))
    assert [(u.men, u.on) for u in units] == [((0,), 0), ((1,), 1), ((2,), 2), ((3,), None)]


def test_a_tackle_who_fills_inside_has_the_man_in_that_gap_before_the_tight_end_who_cuts_off():
    blockers = (Blocker(-4.8, "cut off", True), Blocker(-3.2, "hinge"), Blocker(0.0, "back"))
    _, units = solve(blockers, (Lineman(-2.4), Lineman(-0.8)), ())
    assert [(u.men, u.on) for u in units if u.on is not None] == [((1,), 0), ((2,), 1)]


def test_two_attached_men_double_a_man_at_the_edge_when_nobody_is_on_the_inside_one():
    edge = (Blocker(3.2, "reach"), Blocker(4.8, "reach", True), Blocker(6.4, "reach", True))
    _, units = solve(edge, (Lineman(3.2), Lineman(5.9)), ())
    assert [(u.men, u.on) for u in units] == [((0,), 0), ((1, 2), 1)]


def test_an_attached_man_does_not_leave_the_man_on_him_to_the_tackle_for_a_double_outside():
    edge = (Blocker(3.2, "out"), Blocker(4.8, "zone", True), Blocker(6.4, "zone", True))
    _, units = solve(edge, (Lineman(4.9), Lineman(6.0)), ())
    assert [(u.men, u.on) for u in units] == [((0,), None), ((1,), 0), ((2,), 1)]
