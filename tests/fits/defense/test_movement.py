"""Where called movement takes a man.

Common practice: a slant is one gap; a looper goes behind the man who goes first.
"""

import copy

import pytest

import fits
from fits.defense.align import align_call
from fits.defense.movement import AT_LINE_Y, compile_move
from fits.derive.pipeline import snap_offense
from fits.errors import FileError
from fits.field import LEFT, RIGHT
from fits.notation.phrase import PhraseError

LIB = fits.load_library()


def lined_up(call, formation, flip=False):
    made = align_call(LIB.call(call), snap_offense(LIB.formation(formation), flip).offense)
    return {d.name: d for d in made.men}


@pytest.mark.parametrize("flip", [False, True])
@pytest.mark.parametrize("formation", ["11-doubles", "10-doubles", "21-pro-i"])
def test_the_nose_who_slants_strong_starts_head_up_and_ends_in_the_strong_a(formation, flip):
    nose, way = lined_up("odd-three-safety-slant", formation, flip)["N"], -1 if flip else 1
    assert nose.x == 0 and nose.technique == "0"
    assert nose.to_x * way == pytest.approx(0.8)  # half a split: the middle of A
    assert nose.gap == "A" and nose.gap_side is (LEFT if flip else RIGHT)
    assert nose.path == ((0, nose.y), (nose.to_x, AT_LINE_Y)) and not nose.in_pressure


def test_nobody_moves_without_a_call_for_it():
    assert not any(d.path for d in lined_up("odd-three-safety", "11-doubles").values())
    assert all(d.to_x == d.x for d in lined_up("odd-three-safety", "11-doubles").values())


def test_the_line_that_slants_weak_moves_one_gap_each():
    men = lined_up("over-quarters-slant", "11-doubles")
    assert [(men[n].gap_side, men[n].gap) for n in ("right E", "T", "N")] == [(RIGHT, "B"), (RIGHT, "A"), (LEFT, "B")]
    assert men["right E"].to_x < men["right E"].x and men["T"].to_x < men["T"].x and men["N"].to_x < men["N"].x
    assert men["left E"].path == ()


def test_both_ends_pinch():
    men = lined_up("under-cover-3-pinch", "11-doubles")
    assert men["E"].to_x < men["E"].x and men["R"].to_x > men["R"].x
    assert {men["E"].gap, men["R"].gap} == {"B"}


def test_a_man_who_slants_fits_where_he_ends():
    look = fits.derive_look(
        LIB.call("okie-two-gap-slant"), LIB.formation("11-ace"), LIB.concept("inside-zone"), to=RIGHT
    )
    lanes = {lane.index: lane.name for lane in look.lanes}
    assert lanes[look.defender("N").lane] == "right A"
    assert lanes[look.defender("left E").lane] == "left B"


@pytest.mark.parametrize("text", ["A gap", "B gap away", "edge", "A gap to strength", "C gap, behind E", "my gap"])
def test_the_phrases(text):
    compile_move(text)


@pytest.mark.parametrize("text", ["", "Z gap", "the quarterback", "A gap to nowhere"])
def test_what_is_no_movement(text):
    with pytest.raises(PhraseError):
        compile_move(text)


def test_a_movement_that_depends_on_the_play_is_refused():
    data = copy.deepcopy(LIB.systems["odd-three-safety"].as_dict())
    data["front"][1]["move"] = [{"who": "N", "when": "run to my side", "to": "A gap"}]
    with pytest.raises(FileError, match=r"move\[0\].when.*before the snap"):
        fits.build_system(data, "x", LIB.schemes)


def test_a_movement_behind_nobody_is_refused():
    data = copy.deepcopy(LIB.systems["odd-three-safety"].as_dict())
    data["front"][1]["move"] = [{"who": "N", "when": "", "to": "A gap, behind Q"}]
    with pytest.raises(FileError, match=r"move\[0\].to.*behind a position of this system"):
        fits.build_system(data, "x", LIB.schemes)
