"""Field sizes, as of 2025. Rule digests are secondary sources: check your governing body's current rule."""

import pytest

from fits.field import COLLEGE, HIGH_SCHOOL, LEFT, PROFESSIONAL, RIGHT, RULE_BOOKS, Hash

FOOT = 1 / 3

# Source: rule digests of NFHS, NCAA and NFL (secondary): feet and inches from the nearer sideline.
HASH_FROM_SIDELINE = [(HIGH_SCHOOL, 53, 4), (COLLEGE, 60, 0), (PROFESSIONAL, 70, 9)]
# Source: computed from the row above and the width.
HASH_TO_HASH = [(HIGH_SCHOOL, 53, 4), (COLLEGE, 40, 0), (PROFESSIONAL, 18, 6)]


def yards(feet, inches):
    return (feet + inches / 12) * FOOT


@pytest.mark.parametrize("book", RULE_BOOKS.values(), ids=lambda b: b.name)
def test_width(book):
    """Source: rule digests (NFL Rule 1 among them): 160 feet, 53 1/3 yards."""
    assert book.width == pytest.approx(53 + 1 / 3)


@pytest.mark.parametrize(("book", "feet", "inches"), HASH_FROM_SIDELINE, ids=lambda v: getattr(v, "name", str(v)))
def test_hash_from_the_nearer_sideline(book, feet, inches):
    assert book.room(Hash.LEFT, LEFT) == pytest.approx(yards(feet, inches))
    assert book.room(Hash.RIGHT, RIGHT) == pytest.approx(yards(feet, inches))


@pytest.mark.parametrize(("book", "feet", "inches"), HASH_TO_HASH, ids=lambda v: getattr(v, "name", str(v)))
def test_hash_to_hash(book, feet, inches):
    assert book.hash_gap == pytest.approx(yards(feet, inches))


def test_college_hash_is_not_forty_feet_from_the_sideline():
    """Published and wrong (README of a public play data set): 40 feet is the gap between the hashes."""
    assert COLLEGE.hash_from_sideline != pytest.approx(yards(40, 0))
    assert COLLEGE.hash_gap == pytest.approx(yards(40, 0))


def test_professional_hashes_are_not_where_a_data_set_draws_them():
    """Published and wrong (same README): 23.36667 and 29.96667 yards; by the rule 23.5833 and 29.75."""
    drawn = (PROFESSIONAL.ball_from_left(Hash.LEFT), PROFESSIONAL.ball_from_left(Hash.RIGHT))
    assert drawn == pytest.approx((23.5833, 29.75), abs=1e-4)
    assert drawn[0] != pytest.approx(23.36667, abs=1e-2)
    assert drawn[1] != pytest.approx(29.96667, abs=1e-2)
