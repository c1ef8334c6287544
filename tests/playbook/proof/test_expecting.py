"""Looks to expect: counted, smoothed with a prior that is said, likely ones offered as guesses."""

from __future__ import annotations

import math
import random
from collections import Counter

import pytest

from playbook.charts.plays import Aliases, read_plays
from playbook.charts.snaps import Snap
from playbook.proof.expecting import (
    LookKey,
    Shape,
    count_listed,
    expect_looks,
    family_priors,
    situation_weights,
)
from playbook.tendencies.stats import smooth_shares

RUN = Snap(play_type="run", formation="trips", strength="right", concept="power", direction="right", hash="left")
SHAPES = {"trips": Shape("11", 3, 1), "trey": Shape("11", 3, 1), "wing": Shape("12", 2, 2), "empty": Shape("00", 3, 2)}
FAMILIES = {"power": "gap", "counter": "gap", "iso": "lead", "zone": "zone"}


def runs(*groups):
    snaps = [RUN._replace(**fields) for count, fields in groups for _ in range(count)]
    return read_plays(snaps, Aliases())


def test_shares_are_smoothed_a_little_by_family_and_add_up():
    plays = runs((6, {}), (3, {"direction": "left"}), (1, {"concept": "iso"}))
    found = expect_looks(plays, SHAPES, FAMILIES, guesses=0)
    assert [(look.key, look.count) for look in found.looks] == [
        (LookKey("trips", "power", "right"), 6),
        (LookKey("trips", "power", "left"), 3),
        (LookKey("trips", "iso", "right"), 1),
    ]
    gap, lead = 10 / 12, 2 / 12  # one run in all, a tenth of those counted
    expected = [(6 + gap / 2) / 11, (3 + gap / 2) / 11, (1 + lead) / 11]
    assert [look.share for look in found.looks] == pytest.approx(expected)
    assert sum(look.share for look in found.looks) == pytest.approx(1)


def test_smoothing_does_not_flatten_a_favourite():
    """One look of half the runs beside two dozen seen now and then stays near a half."""
    rare = [
        (2, {"formation": formation, "concept": concept, "direction": direction})
        for formation in ("trips", "trey", "wing")
        for concept in FAMILIES
        for direction in ("left", "right")
    ]
    plays = runs((48, {"formation": "empty"}), *rare)
    first = expect_looks(plays, SHAPES, FAMILIES, guesses=0).looks[0]
    assert first.key.formation == "empty"
    assert first.share == pytest.approx(0.5, abs=0.04)
    assert first.share > smooth_shares([48] + [2] * len(rare), 0.5)[0]


def test_the_smoothing_tells_held_out_games_better_than_none():
    """Log loss on games that were not counted, over invented offenses; the list has what was seen and six looks more.

    Without smoothing a look never seen gets a tenth of a run, as nothing at all would be an endless loss.
    """
    kept, plain, half = 0.0, 0.0, 0.0
    for seed in range(120):
        dice = random.Random(seed)
        families = dice.choices(("gap", "zone", "lead", "perimeter"), k=40)
        liked = {family: dice.expovariate(1) for family in families}
        weights = [liked[family] * dice.lognormvariate(0, 1.3) for family in families]
        seen, later = (Counter(dice.choices(range(40), weights, k=count)) for count in (90, 60))
        listed = sorted(range(40), key=lambda look: -seen[look])[: len(seen) + 6]
        counts = [seen[look] for look in listed]
        smooth = smooth_shares(counts, family_priors(counts, [families[look] for look in listed]))
        rough = smooth_shares([max(count, 0.1) for count in counts], 0)
        even = smooth_shares(counts, 0.5)
        kept, plain, half = (
            total - sum(later[look] * math.log(share) for look, share in zip(listed, shares, strict=True))
            for total, shares in ((kept, smooth), (plain, rough), (half, even))
        )
    assert kept < plain
    assert kept < 1.01 * half, "about as good as half a run for every look, which flattens favourites"


def test_runs_on_the_goal_line_are_looks_of_their_own():
    plays = runs((6, {"yard_line": 40}), (4, {"yard_line": 97}))
    found = {look.key: look.count for look in expect_looks(plays, SHAPES, FAMILIES, guesses=0).looks}
    here, there = LookKey("trips", "power", "right"), LookKey("trips", "power", "right", "goal line")
    assert found == {here: 6, there: 4}
    assert count_listed([here], plays) == {here: 10}, "where the goal line is not listed it counts with the rest"
    assert count_listed([here, there], plays) == {here: 6, there: 4}


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
    guesses = {look.key: look.like for look in found.looks if look.guess}
    assert LookKey("trips", "counter", "right") in guesses
    like = guesses[LookKey("trips", "counter", "right")]
    assert (like.count, like.seen) == (8, LookKey("trips", "power", "right"))
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
