"""The matrix gives the looks that single derivations give, streams them, and says why where there is none."""

import itertools
import json
from dataclasses import replace

import pytest

import fits
from fits.cli.matrix import csv_row, json_row, short_row
from fits.field import LEFT, RIGHT, Hash
from fits.matrix import CAUSES, NotRun, Span, derive_matrix
from fits.processes import map_matrix
from tests.fits.plays import LIB

CALLS = [LIB.call("odd-three-safety"), LIB.call("over-quarters")]
FORMATIONS = [LIB.formation(n) for n in ("11-doubles", "21-pro-i", "00-empty")]
CONCEPTS = [LIB.concept(n) for n in ("power", "split-zone", "jet-sweep")]


def test_every_row_is_what_a_single_derivation_gives():
    rows = list(derive_matrix(CALLS, FORMATIONS, CONCEPTS, hashes=tuple(Hash)))
    assert len(rows) == 2 * 3 * 3 * 2 * 2 * 3
    asked = itertools.product(FORMATIONS, (False, True), Hash, CONCEPTS, (LEFT, RIGHT), CALLS)
    for made, (formation, flip, hash_, concept, to, call) in zip(rows, asked, strict=True):
        assert (made.formation, made.flip, made.hash, made.concept, made.to, made.call) == (
            formation.name, flip, hash_, concept.name, to, call.name,
        )  # fmt: skip
        try:
            alone = fits.derive_look(call, formation, concept, to=to, flip=flip, hash=hash_)
        except fits.FitsError as error:
            assert isinstance(made, NotRun) and made.reason == str(error) and made.cause == CAUSES[type(error)]
        else:
            assert made == alone
            assert json.dumps(fits.look_json(made)) == json.dumps(fits.look_json(alone))


def test_both_kinds_of_row_are_there():
    rows = list(derive_matrix(CALLS, FORMATIONS, CONCEPTS))
    assert {isinstance(r, NotRun) for r in rows} == {True, False}
    assert {r.cause for r in rows if isinstance(r, NotRun)} == {"not runnable"}


def test_an_illegal_formation_is_a_row_with_the_rule():
    entry = FORMATIONS[0].as_dict()
    entry["players"] = [p | ({"y": 0.4} if p["role"] == "X" else {}) for p in entry["players"]]
    offside = fits.build_formation(entry)
    rows = list(derive_matrix(CALLS, [offside], CONCEPTS))
    assert {(r.cause, "neutral-zone" in r.reason) for r in rows} == {("illegal formation", True)}


def test_a_motion_nobody_can_run_is_a_row():
    rows = list(
        derive_matrix(
            CALLS[:1], [LIB.formation("11-doubles")], CONCEPTS[:1], motion=replace(LIB.motion("jet"), who=("Q",))
        )
    )
    assert [r.cause for r in rows] == ["not runnable"] * 4
    assert all(r.motion == "jet" for r in rows)


def test_the_concepts_own_direction():
    rows = list(derive_matrix(CALLS[:1], [LIB.formation("11-doubles")], CONCEPTS[:1], to=(None,)))
    assert [r.to for r in rows] == [RIGHT, LEFT]  # to the tight end, who changes sides with the flip


def test_it_streams():
    """Of formations without end the rows come as they are asked for, and nothing is taken ahead."""
    taken = []
    endless = (taken.append(f) or f for f in itertools.cycle(FORMATIONS[:2]))
    stream = derive_matrix(CALLS, endless, CONCEPTS, flips=(False,))
    rows = len(CALLS) * len(CONCEPTS) * 2
    seen = [row.formation for row in itertools.islice(stream, 3 * rows + 1)]
    assert seen == ["11-doubles"] * rows + ["21-pro-i"] * rows + ["11-doubles"] * rows + ["21-pro-i"]
    assert [f.name for f in taken] == ["11-doubles", "21-pro-i", "11-doubles", "21-pro-i"]
    stream.close()


@pytest.mark.parametrize("row", [json_row, short_row, csv_row])
def test_processes_change_nothing(row):
    study = Span(tuple(CALLS), tuple(FORMATIONS), tuple(CONCEPTS), options=(LIB.option("box"),), motion=None)
    one = list(map_matrix(study, row, 1))
    two = list(map_matrix(study, row, 2))
    assert one == two
    assert sum(b.rows for b in one) == study.size == sum(b.text.count("\n") for b in one)


def test_a_reader_may_stop_early():
    study = Span(tuple(CALLS), tuple(FORMATIONS), tuple(CONCEPTS))
    batches = map_matrix(study, short_row, 2)
    assert next(batches).rows == study.batch_size
    batches.close()
