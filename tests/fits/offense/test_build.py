import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fits.errors import FileError
from fits.field import LEFT, RIGHT
from fits.offense.build import build_formation
from fits.offense.formation import Kind
from tests.fits.strategies import FORMATIONS, formation_entries, formations, read_entries, with_player

PRO_I = FORMATIONS["21-pro-i"]


def entry(**changes):
    return {k: v for k, v in (PRO_I.as_dict() | changes).items() if v is not ...}


def player(**changes):
    return {k: v for k, v in ({"role": "Q1", "kind": "receiver", "x": 3, "y": -4} | changes).items() if v is not ...}


def test_the_five_linemen_are_implied():
    built = build_formation({"name": "n", "players": [player(role="QB", kind="quarterback")]})
    line = {p.role: p.x for p in built.players if p.kind is Kind.LINE}
    assert line == {"LT": -3.2, "LG": -1.6, "C": 0.0, "RG": 1.6, "RT": 3.2}


def test_a_listed_lineman_stands_where_the_file_says():
    built = build_formation(with_player(PRO_I, "RT", x=4.0))
    assert built.player("RT").x == 4.0
    assert built.player("LT").x == -3.2


def test_personnel_is_counted_when_left_out():
    assert build_formation(entry(personnel=...)).personnel == "21"


@pytest.mark.parametrize(
    ("bad", "key", "expected"),
    [
        ([], "formation", "a table with the keys name, label, personnel"),
        (None, "formation", "a table"),
        (entry(name=...), "formation.name", "text"),
        (entry(name="  "), "name", "text"),
        (entry(name=7), "formation.name", "text"),
        (entry(players=...), "formation '21-pro-i'.players", "a list that is not empty"),
        (entry(players=[]), "players", "a list that is not empty"),
        (entry(players="QB"), "players", "a list that is not empty"),
        (entry(colour="red"), "formation '21-pro-i'.colour", "one of the keys name, label, personnel"),
        (entry(drawn="up"), "drawn", "one of 'left', 'right'"),
        (entry(personnel="11"), "personnel", "'21', as the players listed are 2 backs, 1 tight end, 2 receivers"),
        (entry(personnel="many"), "personnel", "two digits such as '11'"),
        (entry(personnel=21), "personnel", "text"),
        (entry(players=["QB"]), "players[1]", "a table with the keys role, kind, x, y"),
        (entry(players=[player(role=...)]), "players[1].role", "text"),
        (entry(players=[player(role="too long")]), "players[1].role", "a label of one to four letters"),
        (entry(players=[player(kind="punter")]), "players[1].kind", "one of 'line', 'quarterback', 'back'"),
        (entry(players=[player(kind=...)]), "players[1].kind", "one of"),
        (entry(players=[player(kind="line")]), "players[1].kind", "'line' for LT, LG, C, RG, RT and for nobody else"),
        (entry(players=[player(role="LT")]), "players[1].kind", "'line' for LT"),
        (entry(players=[player(x="3")]), "players[1].x", "a number from -60 to 60"),
        (entry(players=[player(x=True)]), "players[1].x", "a number"),
        (entry(players=[player(x=...)]), "players[1].x", "a number"),
        (entry(players=[player(y=float("nan"))]), "players[1].y", "a number"),
        (entry(players=[player(y=float("-inf"))]), "players[1].y", "a number"),
        (entry(players=[player(y=10**400)]), "players[1].y", "a number"),
        (entry(players=[player(x=61)]), "players[1].x", "a number from -60 to 60"),
        (entry(players=[player(), player()]), "players[2].role", "a role that is not listed yet"),
        (entry(players=[player(number=3)]), "players[1].number", "one of the keys role, kind, x, y"),
    ],
)
def test_a_bad_entry_names_the_key_and_what_was_expected(bad, key, expected):
    with pytest.raises(FileError) as caught:
        build_formation(bad, "mine.toml")
    assert str(caught.value).startswith("mine.toml: ")
    assert key in caught.value.key
    assert expected in caught.value.expected
    assert "\n" not in str(caught.value)


@given(formations())
def test_as_dict_and_build_are_inverse(formation):
    assert build_formation(formation.as_dict()) == formation


@given(formation_entries(), st.randoms(use_true_random=False))
def test_listing_order_changes_nothing(listed, rng: random.Random):
    shuffled = list(listed["players"])
    rng.shuffle(shuffled)
    assert build_formation(listed | {"players": shuffled}) == build_formation(listed)


def test_shipped_entries_have_a_note_and_a_source_and_are_drawn_strong_right():
    assert len(FORMATIONS) == len(read_entries("formation")) >= 26
    for formation in FORMATIONS.values():
        assert formation.note and formation.source, formation.name
        assert formation.drawn is RIGHT
        assert formation.mirrored().drawn is LEFT
