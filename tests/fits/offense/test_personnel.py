import pytest
from hypothesis import given
from hypothesis import strategies as st

from fits.errors import BadRequest
from fits.offense.personnel import Personnel, count_personnel, parse_personnel
from tests.fits.strategies import FORMATIONS


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("11", "11"),
        (" 12 ", "12"),
        ("11 personnel", "11"),
        ("11p", "11"),
        ("P21", "21"),
        ("Personnel: 21", "21"),
        ("1-1", "11"),
        ("2/1", "21"),
        ("11.0", "11"),  # a spreadsheet made it a number
        ("1", "01"),  # ... and dropped the zero
        ("0", "00"),
        ("1 RB, 1 TE, 3 WR", "11"),
        ("1 rb,2 te,2 wr", "12"),
        ("1RB 2TE 2WR", "12"),
        ("2 backs and 1 tight end", "21"),
        ("1 running back, 1 tight end, 3 wide receivers", "11"),
        ("1 RB, 1 FB, 1 TE, 2 WR", "21"),
        ("RB: 1, TE: 1, WR: 3", "11"),
        ("RB1 TE2 WR2", "12"),
        ("1 QB, 5 OL, 1 RB, 1 TE, 3 WR", "11"),
        ("6 OL, 1 RB, 1 TE, 2 WR", "12"),  # a sixth lineman plays tight end
        ("5 WR", "00"),
        ("4 WRs, 1 RB", "10"),
    ],
)
def test_usual_spellings_are_read(text, code):
    assert parse_personnel(text).code == code


@pytest.mark.parametrize(
    "text",
    ["", "   ", "eleven",
     "111", "1 RB, 3 WR", "60", "3 RB, 3 TE", "2 QB, 1 RB, 1 TE, 2 WR", "4 OL, 1 RB", "11x personnel y",
     "1 RB, 1 TE, 3 WR, 2 hats", "1 Jan", "-1", "9999999999999 RB", "1 RBX"],
)  # fmt: skip
def test_anything_else_says_what_was_expected(text):
    with pytest.raises(BadRequest, match="personnel: expected"):
        parse_personnel(text)


def test_words_count_the_men():
    assert Personnel(1, 2).words == "1 back, 2 tight ends, 2 receivers"
    assert Personnel(0, 1).words == "0 backs, 1 tight end, 4 receivers"


@given(st.integers(0, 5), st.integers(0, 5))
def test_code_and_counts_mean_the_same(backs, tight_ends):
    group = Personnel(backs, tight_ends)
    if group.receivers < 0:
        with pytest.raises(BadRequest):
            parse_personnel(group.code)
        return
    assert parse_personnel(group.code) == group
    assert parse_personnel(group.words) == group
    assert parse_personnel(f"{group.receivers} WR, {tight_ends} TE, {backs} RB") == group


@pytest.mark.parametrize("formation", FORMATIONS.values(), ids=lambda f: f.name)
def test_shipped_formation_has_the_group_in_its_name(formation):
    assert count_personnel(formation.players).code == formation.personnel == formation.name[:2]
