"""Tendencies: counted right, small groups merged, tells found where they are and nowhere else."""

from __future__ import annotations

import random

import pytest

from playbook.charts.plays import Aliases, read_play, read_plays
from playbook.charts.snaps import Snap
from playbook.tendencies.counting import (
    BY_NAME,
    GROUPINGS,
    MERGE_BELOW,
    break_down,
    count_holes,
    count_plays,
    cross_count,
)

RUN = Snap(
    play_type="run",
    down=1,
    distance=10,
    yard_line=30,
    hash="left",
    personnel="11",
    formation="Trips",
    strength="right",
    back="left",
    backfield="Left",
    motion="",
    concept="Power",
    direction="right",
    gain=5,
)


def plays_of(*snaps):
    return read_plays(snaps, Aliases())


@pytest.mark.parametrize(
    ("direction", "side", "to_strength", "to_back", "to_field"),
    [
        ("right", "right", "strong", "away from back", "field"),
        ("left", "left", "weak", "to back", "boundary"),
        ("strong", "right", "strong", "away from back", "field"),
        ("weak", "left", "weak", "to back", "boundary"),
        ("to back", "left", "weak", "to back", "boundary"),
        ("away from back", "right", "strong", "away from back", "field"),
        ("field", "right", "strong", "away from back", "field"),
        ("boundary", "left", "weak", "to back", "boundary"),
        ("middle", "middle", "", "", ""),
        ("", "", "", "", ""),
    ],
)
def test_one_direction_tells_all_that_follow(direction, side, to_strength, to_back, to_field):
    play = read_play(RUN._replace(direction=direction), Aliases())
    assert (play.side, play.to_strength, play.to_back, play.to_field) == (side, to_strength, to_back, to_field)


def test_a_mirrored_snap_relates_the_same_way():
    swap = {"left": "right", "right": "left"}
    mirrored = RUN._replace(hash="right", strength="left", back="right", direction=swap[RUN.direction])
    one, two = plays_of(RUN, mirrored)
    assert one.side != two.side
    assert (one.to_strength, one.to_back, one.to_field) == (two.to_strength, two.to_back, two.to_field)


def test_what_is_not_known_is_not_guessed():
    play = read_play(RUN._replace(strength="", hash="middle", back="behind"), Aliases())
    assert (play.side, play.to_strength, play.to_back, play.to_field) == ("right", "", "", "")


def test_their_words_become_ours():
    aliases = Aliases({"trips": "11-trips"}, {"22power": "power"}, {"heavy": "13"}, frozenset({"power"}))
    play = read_play(Snap(formation="TRIPS", concept="22 Power", personnel="Heavy"), aliases)
    assert (play.formation, play.concept, play.personnel, play.kind) == ("11-trips", "power", "13", "run")


# Source: success as half, seven tenths and all of the distance by down; common practice.
@pytest.mark.parametrize(
    ("down", "distance", "gain", "result", "success"),
    [
        (1, 10, 5, "", True),
        (1, 10, 4, "", False),
        (2, 10, 7, "", True),
        (2, 10, 6, "", False),
        (3, 4, 4, "", True),
        (3, 4, 3, "", False),
        (4, 1, 1, "", True),
        (3, 9, 2, "Touchdown", True),
        (1, 10, 30, "Interception", False),
        (1, 10, 30, "Interception, Def TD", False),
        (1, 10, 30, "Fumble, touchdown by the defense", False),
        (3, 4, 9, "Defensive touchdown", False),
        (3, 4, 9, "Pick 6", False),
        (3, 4, 9, "INT TD", False),
        (3, 4, 9, "Fumble TD", False),
        (4, 4, 9, "Turnover on downs", False),
        (1, 10, 0, "Safety", False),
        (3, 4, 9, "Rush, TD", True),
        (None, 10, 4, "", None),
        (1, 10, None, "", None),
    ],
)
def test_success(down, distance, gain, result, success):
    snap = RUN._replace(down=down, distance=distance, gain=gain, result=result)
    assert read_play(snap, Aliases()).success is success


def test_a_tally_counts_its_plays():
    snaps = (
        [RUN] * 6 + [RUN._replace(direction="left", concept="Iso", gain=1)] * 2 + [RUN._replace(play_type="pass")] * 4
    )
    tally = count_plays("all", plays_of(*snaps))
    assert (tally.n, tally.run.hits, tally.run.n, tally.passes.hits) == (12, 8, 12, 4)
    assert [(name, share.hits, share.n) for name, share in tally.concepts] == [("Power", 6, 8), ("Iso", 2, 8)]
    assert (tally.to_strength.hits, tally.to_strength.n) == (6, 8)
    assert (tally.success.hits, tally.success.n) == (10, 12)
    assert tally.gain == pytest.approx((10 * 5 + 2) / 12, abs=0.05)


@pytest.mark.parametrize("grouping", GROUPINGS, ids=lambda grouping: grouping.name)
def test_every_play_with_a_value_is_in_exactly_one_group(grouping):
    dice = random.Random(4)
    snaps = [
        RUN._replace(down=dice.randint(1, 4), distance=dice.randint(1, 20), yard_line=dice.randint(1, 99),
                personnel=dice.choice(("10", "11", "12", "13", "21")), formation=f"F{int(dice.expovariate(0.3))}",
                hash=dice.choice(("left", "right", "middle")), motion=dice.choice(("", "Jet")))
        for _ in range(120)
    ]  # fmt: skip
    plays = plays_of(*snaps)
    tallies = break_down(plays, grouping)
    assert sum(tally.n for tally in tallies) == 120


def test_small_bands_join_their_neighbour_on_the_same_down_only():
    def snaps(down, distance, count):
        return [RUN._replace(down=down, distance=distance)] * count

    plays = plays_of(*snaps(1, 10, 20), *snaps(3, 2, 2), *snaps(3, 5, 4), *snaps(3, 9, 12), *snaps(4, 1, 2))
    labels = {tally.label: (tally.n, tally.merged) for tally in break_down(plays, BY_NAME["down-distance"])}
    assert labels == {
        "1st & 10": (20, ()),
        "3rd & 1–6": (6, ("3rd & 1–3", "3rd & 4–6")),
        "3rd & 7+": (12, ()),
        "4th & 1–3": (2, ()),
    }


def test_small_kinds_are_put_together_and_named():
    snaps = [RUN._replace(formation=name) for name, n in (("A", 9), ("B", 2), ("C", 1)) for _ in range(n)]
    tallies = break_down(plays_of(*snaps), BY_NAME["formation"])
    assert [(tally.label, tally.n, tally.merged) for tally in tallies] == [
        ("A", 9, ()),
        ("other (2 kinds)", 3, ("B", "C")),
    ]
    assert all(tally.small for tally in tallies)
    assert MERGE_BELOW <= 9


def test_holes_and_pairs():
    snaps = [RUN._replace(hole="right B")] * 3 + [RUN._replace(hole="B", direction="left")] + [RUN._replace(hole="")]
    plays = plays_of(*snaps)
    assert {hole: (share.hits, share.n) for hole, share in count_holes(plays).items()} == {
        "right B": (3, 4),
        "left B": (1, 4),
    }
    assert cross_count(plays) == (["Trips"], ["Power"], {("Trips", "Power"): 5})


def test_nothing_counted():
    assert break_down([], BY_NAME["hash"]) == []
    assert count_plays("none", []).run.percent == "–"
