import pytest

from fits.field import LEFT, RIGHT, RULE_BOOKS, Hash, Side, field_side


def test_a_side_is_the_sign_of_x():
    assert (LEFT, RIGHT) == (-1, 1)
    assert LEFT.other is RIGHT and RIGHT.other is LEFT
    assert [s.word for s in Side] == ["left", "right"]


def test_the_field_is_away_from_the_hash():
    assert field_side(Hash.LEFT) is RIGHT
    assert field_side(Hash.RIGHT) is LEFT
    assert field_side(Hash.MIDDLE) is None


def test_hashes_in_a_mirror():
    assert [h.mirrored for h in Hash] == [Hash.RIGHT, Hash.MIDDLE, Hash.LEFT]


@pytest.mark.parametrize("book", RULE_BOOKS.values(), ids=lambda b: b.name)
@pytest.mark.parametrize("hash_", Hash)
def test_room_left_and_right_make_the_width(book, hash_):
    assert book.room(hash_, LEFT) + book.room(hash_, RIGHT) == pytest.approx(book.width)
    assert book.room(hash_, LEFT) == pytest.approx(book.room(hash_.mirrored, RIGHT))
    wide = field_side(hash_)
    if wide is not None:
        assert book.room(hash_, wide) > book.room(hash_, wide.other)


def test_books_are_found_by_name():
    assert set(RULE_BOOKS) == {"high-school", "college", "professional"}
