import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from fits.field import LEFT, RIGHT, RULE_BOOKS, Hash
from fits.offense.formation import SWAP, read_offense
from fits.offense.legality import check_formation
from tests.fits.strategies import FORMATIONS, formations

COLLEGE = RULE_BOOKS["college"]
books, hashes = st.sampled_from(list(RULE_BOOKS.values())), st.sampled_from(Hash)


@given(formations())
def test_mirror_twice_is_the_same(formation):
    assert formation.mirrored().mirrored() == formation


@given(formations(), hashes, books)
def test_reading_a_mirror_mirrors_what_is_read(formation, hash_, book):
    told = check_formation(formation, book, hash_)
    assume("overlap" not in [v.rule for v in told])  # men in one spot have no order
    seen, mirror = read_offense(formation, hash_, book), read_offense(formation.mirrored(), hash_.mirrored, book)
    for side in (LEFT, RIGHT):
        for part in ("surface", "receivers", "attached"):
            roles = [SWAP.get(p.role, p.role) for p in getattr(seen.view(side), part)]
            assert roles == [p.role for p in getattr(mirror.view(side.other), part)]
    assert (mirror.passing, mirror.run) == (seen.passing.other, seen.run.other)


@given(formations(), hashes, books)
def test_wide_men_stay_two_yards_inside_the_sidelines(formation, hash_, book):
    for p in formation.placed(hash_, book).players:
        assert -book.room(hash_, LEFT) + 2 - 1e-9 <= p.x <= book.room(hash_, RIGHT) - 2 + 1e-9


# Name; receivers left and right from the outside in; attached left and right from the inside out; backs.
# Source: common practice.
SHAPES = [
    ("10-doubles", "XR", "ZK", "", "", "T"),
    ("10-trips", "X", "ZKR", "", "", "T"),
    ("11-doubles", "ZR", "XY", "", "Y", "T"),
    ("11-trey", "X", "ZRY", "", "Y", "T"),
    ("11-trips", "X", "ZRY", "", "", "T"),
    ("11-empty", "XR", "ZTY", "", "Y", ""),
    ("12-two-tight", "XU", "ZY", "U", "Y", "T"),
    ("12-wing", "XZ", "UY", "", "YU", "T"),
    ("13-three-tight", "XU", "HY", "U", "YH", "T"),
    ("20-split", "X", "ZK", "", "", "FT"),
    ("21-pro-i", "X", "ZY", "", "Y", "FT"),
    ("21-offset", "X", "ZY", "", "Y", "FT"),
    ("22-heavy", "U", "XY", "U", "Y", "FT"),
    ("00-empty", "XR", "ZKJ", "", "", ""),
    ("11-h-back", "X", "ZR", "", "", "HT"),
]


@pytest.mark.parametrize(("name", "left", "right", "tight_left", "tight_right", "backs"), SHAPES)
def test_shipped_formation_is_shaped_as_named(name, left, right, tight_left, tight_right, backs):
    seen = read_offense(FORMATIONS[name], Hash.MIDDLE, COLLEGE)
    assert "".join(p.role for p in seen.left.receivers) == left
    assert "".join(p.role for p in seen.right.receivers) == right
    assert "".join(p.role for p in seen.left.attached) == tight_left
    assert "".join(p.role for p in seen.right.attached) == tight_right
    assert "".join(sorted(p.role for p in seen.backfield)) == backs


@pytest.mark.parametrize("formation", FORMATIONS.values(), ids=lambda f: f.name)
def test_every_shipped_formation_is_strong_to_the_right(formation):
    """The passing strength or the run strength is on the right; neither says left except alone."""
    seen = read_offense(formation, Hash.MIDDLE, COLLEGE)
    assert RIGHT in (seen.passing, seen.run)


@pytest.mark.parametrize(
    ("name", "back", "x"),
    [("10-doubles", "T", 1.6), ("11-doubles", "T", -1.6), ("22-heavy", "T", 0.0), ("21-pro-i", "F", 0.0)],
)
def test_the_back_stands_where_the_name_says(name, back, x):
    assert FORMATIONS[name].player(back).x == x


def test_under_centre_and_gun():
    assert FORMATIONS["22-heavy"].player("QB").y > -2
    assert FORMATIONS["11-doubles"].player("QB").y <= -4.5


def test_ties_fall_to_the_field_then_to_the_drawn_side():
    doubles = FORMATIONS["10-doubles"]
    assert read_offense(doubles, Hash.RIGHT, COLLEGE).passing is LEFT
    assert read_offense(doubles, Hash.LEFT, COLLEGE).passing is RIGHT
    assert read_offense(doubles, Hash.MIDDLE, COLLEGE).passing is RIGHT
    assert read_offense(doubles.mirrored(), Hash.MIDDLE, COLLEGE).passing is LEFT


def test_with_a_tackle_over_the_long_side_has_four_and_the_end_stands_in_for_the_tackle():
    o = read_offense(FORMATIONS["12-tackle-over"], Hash.MIDDLE, COLLEGE)
    assert [p.role for p in o.right.surface] == ["RG", "RT", "LT", "U"]
    assert [p.role for p in o.left.surface] == ["LG", "Y"] and o.left.tackle.role == "Y"
    assert [p.role for p in o.right.receivers] == ["Z", "U"]  # a tackle never catches
    assert [p.role for p in o.left.receivers] == ["X", "Y"]
    assert o.run is RIGHT
    mirrored = read_offense(FORMATIONS["12-tackle-over"].mirrored(), Hash.MIDDLE, COLLEGE)
    assert [p.role for p in mirrored.left.surface] == ["LG", "LT", "RT", "U"] and mirrored.run is LEFT


def test_an_unbalanced_line_has_two_ends_on_one_side_and_the_inner_one_is_not_a_receiver():
    o = read_offense(FORMATIONS["22-unbalanced"], Hash.MIDDLE, COLLEGE)
    assert [p.role for p in o.right.surface] == ["RG", "RT", "Y", "U"] and o.run is RIGHT
    assert [p.role for p in o.right.receivers] == ["U"]
    off_the_line = read_offense(FORMATIONS["22-wing-i"], Hash.MIDDLE, COLLEGE)
    assert [p.role for p in off_the_line.right.receivers] == ["U", "Y"]
