"""What the defense does about a motion: sides stay, men line up anew as far as they can run, checks do more."""

import itertools
from math import hypot

import pytest

import fits
from fits.defense.align import align_call, call_strength
from fits.defense.checks import SEES_S, SPEEDS, compile_check, motion_time_s
from fits.derive.pipeline import snap_offense
from fits.errors import FitsError
from fits.field import LEFT, RIGHT, Hash
from fits.notation.phrase import PhraseError

LIB = fits.load_library()


def lined_up(call, formation, motion=None, flip=False, hash_=Hash.MIDDLE):
    offense = snap_offense(LIB.formation(formation), flip, hash_, LIB.motions[motion] if motion else None).offense
    made = align_call(LIB.call(call), offense)
    return offense, made, {d.name: d for d in made.men}


def test_nobody_moves_farther_than_he_can_run_while_the_man_is_in_motion():
    moved = 0
    for call, formation, motion in itertools.product(LIB.calls, LIB.formations, ("across", "jet", "orbit")):
        try:
            offense, made, _ = lined_up(call, formation, motion)
        except FitsError:
            continue
        before = {d.name: d for d in align_call(LIB.call(call), offense.before).men}
        time_s = motion_time_s(offense.before, offense)
        for d in made.men:
            old = before[d.name]
            far = hypot(d.x - old.x, d.y - old.y)
            reach = SPEEDS[d.group].distance_yd(max(time_s - SEES_S, 0))
            assert far <= max(reach, 0.3) + 1e-9, (call, formation, motion, d.name)
            moved += far > 0.3
    assert moved > 500


def test_a_motion_does_not_call_the_front_again_but_a_shift_does():
    offense, made, _ = lined_up("okie-two-gap", "12-wing", "across")
    assert offense.before is not None
    assert made.strength is call_strength(made.call, offense.before)
    shifted, made, _ = lined_up("okie-two-gap", "11-doubles", "trade")
    assert shifted.before is None and made.strength is call_strength(made.call, shifted)


def test_the_nickel_runs_with_his_man_across():
    offense, _, men = lined_up("over-quarters", "10-doubles", "across")
    mover = offense.by_role[offense.motion]
    start = offense.before.by_role[offense.motion]
    nickel = men["NB"]
    if start.side is men["SS"].side:  # from the nickel's side
        assert nickel.side is mover.side and abs(nickel.x - mover.x) < 1.5 and nickel.keys == (mover.role,)
        assert nickel.check and nickel.start is not None
    else:
        assert nickel.side is RIGHT


def test_the_strong_safety_rocks_back_and_the_free_safety_down():
    data = fits.load_library().call("under-cover-3")
    motion = LIB.motions["across"]
    offense = snap_offense(LIB.formation("11-trips"), motion=motion).offense
    start, end = offense.before.by_role[offense.motion].side, offense.by_role[offense.motion].side
    assert start is RIGHT and end is LEFT
    men = {d.name: d for d in align_call(data, offense).men}
    assert men["FS"].check.startswith("a man comes across to the weak side") and men["FS"].takes == "curl and flat"
    assert men["FS"].y == pytest.approx(7) and men["FS"].x < 0 and men["FS"].force
    assert men["SS"].side is None and men["SS"].takes == "deep middle" and men["SS"].y > 8


def test_the_safeties_rotate_only_when_the_motion_makes_three():
    _, _, three = lined_up("odd-three-safety", "10-doubles", "across")  # two by two becomes three by one
    assert three["MS"].takes == "#3" and three["MS"].side is RIGHT and three["BS"].takes == "deep middle"
    _, _, two = lined_up("odd-three-safety", "11-trips", "across")  # three by one becomes two by two
    assert two["MS"].takes == "deep middle" and not two["MS"].check and two["SS"].takes == "#2"


def test_without_a_man_across_nobody_rocks():
    _, _, men = lined_up("under-cover-3", "11-trips", "jet")
    assert men["FS"].takes == "deep middle" and not men["FS"].check


def test_every_system_has_checks_in_words():
    for system in LIB.systems.values():
        rows = [r for c in system.coverages.values() for r in c.checks]
        assert rows and all(r.say for r in rows)
    verbs = {r.does.split(" ")[0] for s in LIB.systems.values() for c in s.coverages.values() for r in c.checks}
    assert verbs >= {"bump", "rotate", "rock", "run"}


@pytest.mark.parametrize("text", ["stay", "bump", "run with him", "rock to middle, 10 deep to middle as FS"])
def test_the_phrases(text):
    compile_check(text)


@pytest.mark.parametrize("text", ["", "rock", "run", "jump"])
def test_what_is_no_check(text):
    with pytest.raises(PhraseError):
        compile_check(text)


@pytest.mark.parametrize("hash_", Hash)
def test_the_mirror_of_a_motion_is_answered_in_the_mirror(hash_):
    other = {"left": "right", "right": "left"}
    for call, formation, motion in itertools.product(
        ("odd-three-safety", "okie-two-gap-sky", "over-quarters", "under-cover-3"),
        ("11-trips", "11-h-back"),
        ("across", "jet"),
    ):
        here = lined_up(call, formation, motion, hash_=hash_)[2]
        there = lined_up(call, formation, motion, True, hash_.mirrored)[2]
        for name, d in here.items():
            twin = there[" ".join(other.get(w, w) for w in name.split())]
            assert twin.x == pytest.approx(-d.x) and twin.takes == d.takes and twin.check == d.check


def at(call, formation, yard_line):
    return {
        d.name: d for d in align_call(LIB.call(call), snap_offense(LIB.formation(formation)).offense, yard_line).men
    }


@pytest.mark.parametrize("call", list(LIB.calls))
def test_on_the_goal_line_nobody_is_deep(call):
    for formation in LIB.formations:
        assert max(d.y for d in at(call, formation, 2).values()) <= 7


@pytest.mark.parametrize("call", list(LIB.calls))
def test_nobody_stands_behind_the_end_zone(call):
    for yard_line in (0.5, 1, 5.5, 8):
        assert max(d.y for d in at(call, "10-doubles", yard_line).values()) <= yard_line + 9


def test_the_goal_line_is_inside_the_five():
    assert at("over-quarters", "11-doubles", 5)["M"].y == 3 and at("over-quarters", "11-doubles", 5.5)["M"].y == 5


def test_backed_up_changes_nothing_by_itself():
    assert [d.y for d in at("over-quarters", "11-doubles", 95).values()] == [
        d.y for d in at("over-quarters", "11-doubles", None).values()
    ]


@pytest.mark.parametrize("system", LIB.systems)
def test_a_short_yardage_call_lines_up_as_on_the_goal_line(system):
    call = LIB.call(f"{system}-short")
    offense = snap_offense(LIB.formation("22-heavy")).offense
    assert call.short
    here, there = align_call(call, offense), align_call(call, offense, 3)
    assert [(d.name, d.x, d.y) for d in here.men] == [(d.name, d.x, d.y) for d in there.men]
    assert max(d.y for d in here.men) <= 7


def test_with_a_tackle_over_left_and_right_are_who_stands_there():
    men = at("okie-two-gap", "12-tackle-over", None)
    assert men["left E"].side is LEFT and men["left E"].keys == ("Y",) and men["right E"].keys == ("RT",)
