"""Technique numbers in the two published tables."""

import pytest

import fits
from fits.defense.techniques import SHADE, technique_x
from fits.field import COLLEGE, LEFT, RIGHT, Hash
from fits.offense.formation import read_offense

LIB = fits.load_library()
ONE_TIGHT_END = read_offense(LIB.formation("11-doubles"), Hash.MIDDLE, COLLEGE)
MEN = {"centre": 0.0, "guard": 1.6, "tackle": 3.2, "tight end": 4.8}  # the engine's splits

# Source: Bryant, Building a Championship Football Team, after O. A. Phillips 1956; Johnson 2009 (secondary).
COMMON = {
    "0": ("centre", "on"), "2i": ("guard", "in"), "2": ("guard", "on"), "3": ("guard", "out"),
    "4i": ("tackle", "in"), "4": ("tackle", "on"), "5": ("tackle", "out"),
    "6": ("tight end", "on"), "7": ("tight end", "in"), "9": ("tight end", "out"),
}  # fmt: skip
# Source: the second published table (secondary).
VARIANT = {
    "4": ("tackle", "in"), "6": ("tight end", "in"), "7": ("tight end", "on"), "9": ("tight end", "out"),
    "5": ("tackle", "out"), "3": ("guard", "out"), "2i": ("guard", "in"),
}  # fmt: skip
# Source: the same tables and common practice: A centre-guard, B guard-tackle, C tackle-end, D outside the end.
GAPS = {"2i": "A", "3": "B", "4i": "B", "5": "C", "7": "C", "9": "D"}


def spot(scheme, label, side):
    found = LIB.schemes[scheme].look_up(label)
    assert found is not None
    return technique_x(found[0], ONE_TIGHT_END, side) * (side or 1)


@pytest.mark.parametrize(("scheme", "table"), [("standard", COMMON), ("variant", VARIANT)])
def test_each_number_is_on_its_man(scheme, table):
    for label, (man, shade) in table.items():
        x = spot(scheme, label, RIGHT)
        offset = {"in": -SHADE, "on": 0.0, "out": SHADE}[shade]
        assert x == pytest.approx(MEN[man] + offset), label
        assert x == pytest.approx(spot(scheme, label, LEFT)) or man == "tight end"  # nobody is attached on the left


def test_1_is_on_the_guards_inside_shoulder_or_on_the_centres():
    assert spot("standard", "1", RIGHT) == pytest.approx(MEN["guard"] - SHADE)
    assert spot("variant", "1", RIGHT) == pytest.approx(MEN["centre"] + SHADE)


def test_8_is_wide_of_the_tight_end():
    for scheme in ("standard", "variant"):
        assert spot(scheme, "8", RIGHT) > spot(scheme, "9", RIGHT) > MEN["tight end"]


def test_the_books_differ_where_they_are_said_to():
    differ = {
        label for label in COMMON.keys() | VARIANT.keys() | {"1", "8"}
        if (a := LIB.schemes["standard"].look_up(label)) and (b := LIB.schemes["variant"].look_up(label))
        and (a[0].man, a[0].shade) != (b[0].man, b[0].shade)
    }  # fmt: skip
    assert differ == {"1", "4", "6", "7"}  # of 1, 2, 4, 6, 7, 8, which vary by book


@pytest.mark.parametrize("scheme", ["standard", "variant"])
def test_gaps(scheme):
    for label, gap in GAPS.items():
        found = LIB.schemes[scheme].look_up(label)
        if found is not None and not (scheme == "variant" and label == "7"):
            assert found[0].gap == gap, label


def test_a_linebackers_number_has_a_zero_behind_it():
    """Source: the same books (secondary): 30 stands over a 3. `00` over the centre: from memory."""
    for label in ("10", "20", "30", "40", "50", "60", "90", "00"):
        technique, backer = LIB.schemes["standard"].look_up(label)
        assert backer and technique.label == label[:-1]
    for label in ("0", "3", "5", "4i"):
        assert LIB.schemes["standard"].look_up(label)[1] is False


def test_linebackers_stand_about_five_yards_deep():
    """Source: the same books (secondary): five to six yards."""
    look = fits.derive_look(LIB.call("odd-three-safety"), LIB.formation("11-doubles"), LIB.concept("power"))
    depths = [d.y for d in look.defenders if d.technique in ("30", "00")]
    assert depths and all(5 <= y <= 6 for y in depths)


def test_no_such_number():
    for label in ("", "00i", "33", "10i", "A", "-1"):
        assert LIB.schemes["standard"].look_up(label) is None, label
