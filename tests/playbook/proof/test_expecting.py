"""Looks to expect: counted, smoothed with a prior that is said, likely ones offered as guesses."""

from __future__ import annotations

from dataclasses import replace

import pytest

from playbook.charts.plays import Aliases, read_plays
from playbook.charts.snaps import Snap
from playbook.proof.expecting import PRIOR, LookKey, Shape, expect_looks, situation_weights

RUN = Snap(play_type="run", formation="trips", strength="right", concept="power", direction="right", hash="left")
SHAPES = {"trips": Shape("11", 3, 1), "trey": Shape("11", 3, 1), "wing": Shape("12", 2, 2), "empty": Shape("00", 3, 2)}
FAMILIES = {"power": "gap", "counter": "gap", "iso": "lead", "zone": "zone"}


def runs(*groups):
    snaps = [replace(RUN, **fields) for count, fields in groups for _ in range(count)]
    return read_plays(snaps, Aliases())


def test_shares_are_smoothed_with_the_prior_and_add_up():
    plays = runs((6, {}), (3, {"direction": "left"}), (1, {"concept": "iso"}))
    found = expect_looks(plays, SHAPES, FAMILIES, guesses=0)
    assert [(look.key, look.count) for look in found.looks] == [
        (LookKey("trips", "power", "right"), 6),
        (LookKey("trips", "power", "left"), 3),
        (LookKey("trips", "iso", "right"), 1),
    ]
    assert [look.share for look in found.looks] == pytest.approx([(n + PRIOR) / (10 + 3 * PRIOR) for n in (6, 3, 1)])
    assert sum(look.share for look in found.looks) == pytest.approx(1)


def test_looks_are_drawn_strong_to_the_right():
    plays = runs((4, {"strength": "left", "direction": "left", "hash": "right"}))
    (look,) = expect_looks(plays, SHAPES, FAMILIES, guesses=0).looks
    assert (look.key.to, look.hash) == ("right", "left")


def test_runs_whose_words_have_no_meaning_are_left_out_and_counted():
    found = expect_looks(runs((5, {}), (2, {"formation": "Zebra"}), (1, {"concept": "Xray"})), SHAPES, FAMILIES)
    assert (found.runs, found.left_out) == (5, 3)


def test_a_likely_look_not_seen_is_offered_as_a_guess_with_its_reason():
    plays = runs(
        (8, {}), (4, {"formation": "trey", "concept": "counter"}), (5, {"formation": "wing", "concept": "iso"})
    )
    found = expect_looks(plays, SHAPES, FAMILIES)
    guesses = {look.key: look.why for look in found.looks if look.guess}
    assert LookKey("trips", "counter", "right") in guesses
    assert (
        "came 4 times from trey" in guesses[LookKey("trips", "counter", "right")]
        or "came 8 times here" in (guesses[LookKey("trips", "counter", "right")])
    )
    assert LookKey("wing", "power", "right") not in guesses, "no like formation"
    assert LookKey("trips", "iso", "right") not in guesses, "iso came only from an unlike formation"
    assert all(look.count == 0 and 0 < look.share < 0.05 for look in found.looks if look.guess)
    assert sum(look.share for look in found.looks) == pytest.approx(1)


def test_two_runs_are_no_ground_for_a_guess():
    found = expect_looks(runs((2, {}), (2, {"formation": "trey", "concept": "counter"})), SHAPES, FAMILIES)
    assert not any(look.guess for look in found.looks)


def test_what_the_staff_added_stays_and_what_it_dropped_goes():
    also, gone = LookKey("empty", "zone", ""), LookKey("trips", "iso", "right")
    found = expect_looks(runs((5, {}), (5, {"concept": "iso"})), SHAPES, FAMILIES, [also], [gone])
    keys = {look.key: look.count for look in found.looks}
    assert keys[also] == 0
    assert gone not in keys
    assert found.runs == 5


def test_a_situation_leans_on_the_overall_shares_until_it_has_runs_of_its_own():
    keys = [LookKey("trips", "power", "right"), LookKey("trips", "iso", "right")]
    weights, seen = situation_weights(keys, [0.75, 0.25], [], strength=8)
    assert (weights, seen) == (pytest.approx([0.75, 0.25]), 0)
    weights, seen = situation_weights(keys, [0.75, 0.25], runs((8, {"concept": "iso"})), strength=8)
    assert (weights, seen) == (pytest.approx([6 / 16, 10 / 16]), 8)
