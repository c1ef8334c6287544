"""What must hold for every system and every look, over a spread of the whole library."""

import itertools
import json
import random
from dataclasses import replace

import networkx
import pytest

import fits
from fits.blocking.concepts import with_options
from fits.field import LEFT, RIGHT, Hash
from tests.fits.plays import HASHES, LIB, again, in_mirror, ordered, spread

SPREAD = list(spread(7))
ON_A_HASH = list(spread(23, 5, hashes=(Hash.RIGHT,)))
WITH_READ = list(spread(23, 9, options=(LIB.option("read"), LIB.option("box"))))
IN_MOTION = list(spread(19, 3, motion=LIB.motion("across")))
ALL = SPREAD + ON_A_HASH + WITH_READ + IN_MOTION


def name(look):
    parts = (look.call, look.formation, look.concept, look.to.word, look.hash.value, look.motion, *look.options)
    return "/".join(filter(None, parts))


def test_the_spread_is_wide():
    assert len(ALL) > 300
    assert {look.call for look in SPREAD} == set(LIB.calls)
    assert {look.concept for look in SPREAD} >= set(LIB.concepts) - {"jet-sweep"}
    assert {look.formation for look in SPREAD} == {f.formation for f in ALL}


@pytest.mark.parametrize("look", ALL, ids=name)
def test_n_run_blockers_make_n_plus_1_lanes(look):
    blockers = [b for b in look.blocks if b.counts]
    assert len(look.lanes) == len(blockers) + 1
    assert [lane.index for lane in look.lanes] == list(range(len(look.lanes)))
    assert look.lanes[0].left is None and look.lanes[-1].right is None
    for a, b in itertools.pairwise(look.lanes):
        assert a.right == b.left is not None
        assert a.x < b.x
    ends = {b.role: b.x for b in blockers}
    inner = [lane.right for lane in look.lanes[:-1]]
    assert sorted(inner) == sorted(ends)
    assert [ends[role] for role in inner] == sorted(ends.values())


@pytest.mark.parametrize("look", ALL, ids=name)
def test_a_mirror_mirrors_everything(look):
    other = again(look, to=look.to.other, flip=not look.flip, hash=look.hash.mirrored)
    seen = in_mirror(fits.look_json(look))
    last = len(look.lanes) - 1
    seen["lanes"] = [lane | {"index": last - lane["index"]} for lane in seen["lanes"]]
    for entry in (*seen["defenders"], *seen["threats"], *seen["findings"]):
        entry["lane"] = None if entry["lane"] is None else last - entry["lane"]
    for lane in seen["lanes"]:
        lane["gaps"].sort()
    expected = fits.look_json(other)
    assert ordered(seen | {"flip": other.flip}) == ordered(expected)


@pytest.mark.parametrize("look", ALL, ids=name)
def test_every_lane_owned_agrees_with_a_maximum_matching_over_the_fits(look):
    graph = networkx.Graph()
    lanes = [("lane", lane.index) for lane in look.lanes]
    graph.add_nodes_from(lanes)
    graph.add_edges_from((("lane", d.lane), ("man", d.role)) for d in look.defenders if d.lane is not None)
    matched = networkx.bipartite.maximum_matching(graph, top_nodes=lanes)
    unmatched = {index for kind, index in set(lanes) - set(matched)}
    assert unmatched == {f.lane for f in look.findings if f.code == "open-lane"}


@pytest.mark.parametrize("look", ALL, ids=name)
def test_owners_and_fits_say_the_same(look):
    by_lane = {lane.index: {d.role for d in look.defenders if d.lane == lane.index} for lane in look.lanes}
    assert by_lane == {lane.index: set(lane.owners) for lane in look.lanes}
    assert len({d.role for d in look.defenders}) == 11
    for d in look.defenders:
        assert (d.arrival_s is None) == (d.lane is None)
        if d.lane is None or (not look.lanes[d.lane].threats and abs(d.fit_x - d.x) <= 2.4 and d.y <= 6):
            assert d.margin_s is None
        else:
            assert d.margin_s == pytest.approx(look.lanes[d.lane].ball_s + d.fit_y / 6.54 - d.arrival_s, abs=2e-3)
        assert d.rule.id in d.why and d.saw in d.why
        if d.lane is not None:
            assert look.lanes[d.lane].name in d.fit


@pytest.mark.parametrize("look", ALL, ids=name)
def test_sound_means_every_lane_and_threat_is_had_in_time_even_by_slow_men(look):
    """Worked from the look's own lanes, threats and margins, not from its findings."""
    open_lanes = {lane.index for lane in look.lanes if not lane.owners and is_dangerous(look, lane.index)}
    keeps = [t for t in look.threats if t.kind == "keep" and not t.owners]
    pitches = [t for t in look.threats if t.kind == "pitch" and not t.owners]
    if look.sound:
        assert not open_lanes and not keeps and not pitches and not late_lanes(look, 1.0)
    if open_lanes or keeps or pitches or late_lanes(look, -1.0):
        assert look.band is fits.Band.NOT_SOUND
    if late_lanes(look, 1.0):
        assert look.band is not fits.Band.SOUND
    unsound = {(f.code, f.lane) for f in look.findings if f.severity == "unsound"}
    assert {i for code, i in unsound if code == "late"} == late_lanes(look, 0.0)
    assert {i for code, i in unsound if code == "open-lane"} == open_lanes
    assert bool(keeps) == any(code == "no-qb-player" for code, _ in unsound)
    assert bool(pitches) == any(code == "no-pitch-player" for code, _ in unsound)
    if not {code for code, _ in unsound} - {"late"}:
        assert (look.band is fits.Band.NOT_SOUND) == bool(late_lanes(look, -1.0))
        assert look.sound == (not late_lanes(look, 1.0))


def is_dangerous(look, lane):
    """Whether some carrier gets there: which lanes those are is worked on paper in `audit/test_open_lane.py`."""
    return any(t.range[0] <= lane <= t.range[1] for t in look.threats)


def late_lanes(look, slower):
    """Dangerous lanes whose first man is late when backers move 0.15 s and the secondary 0.25 s later (or sooner)."""
    shift = {"line": 0.0, "linebacker": 0.15, "secondary": 0.25}
    first = {
        lane.index: max(look.defender(r).margin_s - slower * shift[look.defender(r).group] for r in lane.owners)
        for lane in look.lanes if lane.owners and all(look.defender(r).margin_s is not None for r in lane.owners)
    }  # fmt: skip
    late = {i for i, margin in first.items() if margin < 0}
    late |= late_carriers(look, slower, shift) | late_replacement(look, slower, shift)
    return {i for i in late if is_dangerous(look, i)}


def late_replacement(look, slower, shift):
    """The lane of him who replaces a cracked force, when every man in it who turns the ball in is late."""
    for him in look.defenders:
        if him.duty == "replace" and him.lane is not None:
            owners = [look.defender(role) for role in look.lanes[him.lane].owners]
            outside = [d for d in owners if d.leverage in ("force", "box", "overlap")]
            if outside and all(d.margin_s is not None and d.margin_s < slower * shift[d.group] for d in outside):
                return {him.lane}
    return set()


def late_carriers(look, slower, shift):
    """Lanes of a quarterback or pitch man whose own men are late, though somebody else is in the lane in time."""
    out = set()
    for t in look.threats:
        if t.kind in ("keep", "pitch") and t.owners and t.lane is not None:
            men = [look.defender(role) for role in t.owners]
            if len(men) < len(look.lanes[t.lane].owners) and all(d.margin_s is not None for d in men):
                later = t.time_s - look.lanes[t.lane].ball_s
                if max(d.margin_s + later - slower * shift[d.group] for d in men) < 0:
                    out.add(t.lane)
    return out


@pytest.mark.parametrize("look", SPREAD[::4], ids=name)
def test_the_order_players_are_listed_in_changes_nothing(look):
    formation = LIB.formation(look.formation)
    men = list(formation.players)
    random.Random(look.concept).shuffle(men)
    entry = formation.as_dict()
    entry["players"] = [p for m in men for p in entry["players"] if p["role"] == m.role]
    for shuffled in (fits.build_formation(entry), replace(formation, players=tuple(men))):
        assert shuffled.players != formation.players or shuffled == formation
        again_look = fits.derive_look(LIB.call(look.call), shuffled, LIB.concept(look.concept), to=look.to)
        assert json.dumps(fits.look_json(again_look)) == json.dumps(fits.look_json(look))


@pytest.mark.parametrize("look", WITH_READ[::2], ids=name)
def test_the_order_options_are_given_in_changes_nothing_but_their_list(look):
    turned = again(look, options=tuple(reversed([LIB.option(n) for n in look.options])))
    assert _but_options(turned) == _but_options(look)


def _but_options(look):
    made = fits.look_json(look)
    return made | {"options": sorted(made["options"]), "labels": made["labels"] | {"options": 0}}


@pytest.mark.parametrize("pair", list(itertools.combinations(LIB.options, 2)), ids="+".join)
def test_any_two_options_can_be_given_either_way_round(pair):
    a, b = (LIB.option(n) for n in pair)
    concept = LIB.concept("inside-zone")
    one, two = with_options(concept, (a, b)), with_options(concept, (b, a))
    assert one.flags == two.flags and set(one.threats) == set(two.threats) and set(one.rules) == set(two.rules)


def test_the_order_of_calls_formations_and_concepts_changes_no_look():
    calls, forms = list(LIB.calls.values())[:3], [LIB.formation(n) for n in ("11-doubles", "21-pro-i")]
    concepts = [LIB.concept(n) for n in ("power", "inside-zone", "counter")]
    one = {_id(m): m for m in fits.derive_matrix(calls, forms, concepts)}
    two = {
        _id(m): m
        for m in fits.derive_matrix(calls[::-1], forms[::-1], concepts[::-1], to=(RIGHT, LEFT), flips=(True, False))
    }
    assert one == two and len(one) == 3 * 2 * 3 * 4


def _id(made):
    return (made.call, made.formation, made.concept, made.to, made.flip)


@pytest.mark.parametrize("look", SPREAD[::5], ids=name)
def test_the_same_request_gives_the_same_bytes(look):
    one, two = (json.dumps(fits.look_json(made)) for made in (look, again(look)))
    assert one == two


@pytest.mark.parametrize("hash_", HASHES, ids=lambda h: h.value)
def test_without_a_side_the_concepts_own_rule_mirrors_too(hash_):
    for look in spread(17, 1, hashes=(hash_,), to=(None,)):
        other = again(look, to=None, flip=not look.flip, hash=hash_.mirrored)
        assert other.to is look.to.other
