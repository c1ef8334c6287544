"""Where men line up, worked by hand. Common practice."""

import pytest

import fits
from fits.defense.align import align_call
from fits.derive.pipeline import snap_offense

LIB = fits.load_library()


def lined_up(call, formation, flip=False):
    men = align_call(LIB.call(call), snap_offense(LIB.formation(formation), flip).offense).men
    return {d.name: d for d in men}


@pytest.mark.parametrize("flip", [False, True])
def test_three_receivers_with_an_end_attached_the_curl_and_flat_man_is_between_the_end_and_the_next_man(flip):
    men, way = lined_up("under-cover-3", "11-trey", flip), -1 if flip else 1
    assert 4.8 < men["S"].x * way < men["SS"].x * way < 10.5


@pytest.mark.parametrize("flip", [False, True])
def test_against_no_receivers_the_deep_halves_come_up(flip):
    men = lined_up("over-quarters-two", "23-goal-line", flip)
    assert max(d.y for d in men.values()) <= 8


def test_with_a_receiver_out_wide_they_do_not():
    men = lined_up("over-quarters-two", "11-doubles")
    assert men["SS"].y == men["FS"].y == 12


def test_with_a_tackle_over_the_front_goes_by_the_men_who_are_there():
    men = lined_up("over-quarters", "12-tackle-over")
    assert 4 < men["right E"].x < 4.8 and men["right E"].keys == ("LT",)  # a 7 on the tackle who is over
    assert -3.8 < men["left E"].x < -3.2 and men["left E"].keys == ("Y",)  # a 5 on the end in the tackle's place
    assert men["SS"].x > 6 and men["T"].x > 1.6
