"""Formation rules of the three books. Check your governing body's current rule."""

from dataclasses import replace

import pytest

from fits.errors import IllegalFormation, NotRunnable
from fits.field import COLLEGE, HIGH_SCHOOL, PROFESSIONAL, RIGHT, RULE_BOOKS
from fits.offense.build import build_formation
from fits.offense.legality import check_formation, covered_eligibles, refuse_illegal
from fits.offense.motion import apply_motion, build_motion

PLAYERS = [
    {"role": "QB", "kind": "quarterback", "x": 0, "y": -5},
    {"role": "T", "kind": "back", "x": 1.6, "y": -5},
    {"role": "Y", "kind": "tight end", "x": 4.8, "y": -0.6},
    {"role": "X", "kind": "receiver", "x": -18, "y": -0.6},
    {"role": "R", "kind": "receiver", "x": -9, "y": -1.6},
    {"role": "Z", "kind": "receiver", "x": 18, "y": -1.6},
]


def formation(**depths):
    """Seven men on the line; `depths` moves men to other depths, None takes one away."""
    men = [p | {"y": depths.get(p["role"], p["y"])} for p in PLAYERS]
    return build_formation({"name": "test", "players": [p for p in men if p["y"] is not None]})


def broken(f, book):
    return {v.rule for v in check_formation(f, book) if v.refused} - {"eleven-men"}


@pytest.mark.parametrize("book", RULE_BOOKS.values(), ids=lambda b: b.name)
def test_seven_on_the_line_and_four_backs_is_legal_everywhere(book):
    assert broken(formation(), book) == set()


@pytest.mark.parametrize("book", [HIGH_SCHOOL, COLLEGE], ids=lambda b: b.name)
def test_at_most_four_backs(book):
    """Source: NFHS rule change of 2019 (secondary); NCAA 7-1-4-a (rule text): at most four backs."""
    assert broken(formation(X=-1.6), book) == {"backs-maximum"}
    assert broken(formation(X=-1.6, R=-0.6), book) == set()


@pytest.mark.parametrize("book", [HIGH_SCHOOL, COLLEGE], ids=lambda b: b.name)
def test_at_least_five_linemen_on_the_line(book):
    """Source: NFHS since 2019 (secondary), NCAA 7-1-4-a (rule text): five numbered 50-79, here the five linemen."""
    six = formation()
    back = replace(six, players=tuple(replace(p, y=-1.6) if p.role == "LT" else p for p in six.players))
    assert "line-minimum" in broken(back, book)


def test_professional_wants_seven_on_the_line():
    """Source: NFL rule digest (secondary): at least seven on the line, no limit on backs of its own."""
    assert broken(formation(X=-1.6), PROFESSIONAL) == {"line-minimum"}


def test_a_team_that_is_a_man_short_shows_the_difference_of_the_books():
    """Source: the two rows above: six on the line and four backs suit the books that count backs, not the other."""
    ten = formation(X=None)
    assert broken(ten, HIGH_SCHOOL) == broken(ten, COLLEGE) == set()
    assert broken(ten, PROFESSIONAL) == {"line-minimum"}
    assert {v.rule for v in check_formation(ten, COLLEGE)} == {"eleven-men"}


@pytest.mark.parametrize("book", RULE_BOOKS.values(), ids=lambda b: b.name)
def test_a_covered_man_is_not_eligible(book):
    """Source: rule digests of the three bodies (NCAA: only the end of the line or a back is eligible; rule text)."""
    covered = formation(Z=-0.6, R=-1.6)
    assert [p.role for p in covered_eligibles(covered)] == ["Y"]
    assert broken(covered, book) == set()  # legal to line up like this ...
    with pytest.raises(IllegalFormation, match="covered-eligible"):
        refuse_illegal(covered, book, needs=["Y"])  # ... but not to throw to him
    refuse_illegal(formation(), book, needs=["Y", "X", "R", "Z", "T"])


def test_one_man_in_motion_and_not_forward():
    """Source: rule digests of the three bodies: one man (college: a back), not toward the opponent's goal line."""
    jet = build_motion({"name": "m", "kind": "motion", "who": ["R"], "x": 3, "y": -1.6})
    before, after = formation(), apply_motion(formation(), jet, RIGHT)
    assert sum(a != b for a, b in zip(before.players, after.players, strict=True)) >= 1
    assert {p.role for p in after.players if before.player(p.role) != p} == {"R"}
    with pytest.raises(IllegalFormation, match="motion-forward"):
        apply_motion(formation(R=-3), jet, RIGHT)
    with pytest.raises(NotRunnable):  # a man on the line is not a back
        apply_motion(formation(R=-0.6, X=-1.6), jet, RIGHT)
