"""vacant-duty: a duty that the coverage itself names has nobody, or two men, in this formation."""

from types import SimpleNamespace

import pytest

from fits.audit.checks import vacant_duty
from fits.defense.duties import DutyGap, duty_gaps
from fits.defense.system import TakeRule
from fits.derive.pipeline import snap_offense
from fits.field import LEFT, RIGHT
from fits.values import replace
from tests.fits.audit.looks import derive, found
from tests.fits.audit.paper import paper
from tests.fits.plays import LIB

# Common practice. Three deep: a corner on each side and a safety in the middle; underneath a flat man on each side.
THREE = {
    "left CB": ("deep third", LEFT), "right CB": ("deep third", RIGHT), "FS": ("deep middle", None),
    "SS": ("curl and flat", RIGHT), "W": ("curl and flat", LEFT), "S": ("hook", RIGHT),
}  # fmt: skip


def gaps(men, formation="10-doubles", named=None):
    offense = snap_offense(LIB.formation(formation)).offense
    placed = [SimpleNamespace(name=n, takes=takes, side=side, x=0.0) for n, (takes, side) in men.items()]
    return duty_gaps(named or [takes for takes, _ in men.values()], placed, offense)


def test_three_deep_and_a_flat_man_on_each_side_leave_nothing():
    assert gaps(THREE) == ()


def test_a_flat_that_nobody_has():
    """The weak flat man plays a hook: the back or #2 is alone in the flat."""
    assert gaps(THREE | {"W": ("hook", LEFT)}) == (DutyGap("flat", LEFT, ()),)


def test_a_safety_who_goes_to_the_other_side_leaves_one_flat_and_doubles_the_other():
    both = gaps(THREE | {"SS": ("curl and flat", LEFT)})
    assert both == (DutyGap("flat", LEFT, ("SS", "W")), DutyGap("flat", RIGHT, ()))


@pytest.mark.parametrize(("men", "gap"), [
    (THREE | {"FS": ("deep third", LEFT)}, DutyGap("deep third", LEFT, ("FS", "left CB"))),
    (THREE | {"right CB": ("flat", RIGHT)}, DutyGap("deep third", RIGHT, ())),
    ({"SS": ("deep half", RIGHT), "FS": ("deep half", RIGHT)}, DutyGap("deep half", LEFT, ())),
])  # fmt: skip
def test_a_deep_part_with_nobody_or_with_two(men, gap):
    assert gap in gaps(men)


def test_the_middle_is_asked_for_when_the_coverage_names_it():
    without = {n: duty for n, duty in THREE.items() if n != "FS"}
    assert gaps(without) == ()
    assert gaps(without, named=["deep middle", "deep third", "curl and flat"]) == (DutyGap("deep middle", None, ()),)


def test_the_third_receiver_of_a_coverage_that_names_him():
    """Man by numbers against trips: whoever is on that side must have #3; where there are two, nobody is missed."""
    men = {f"{s.word} {n}": (f"#{n}", s) for s in (LEFT, RIGHT) for n in (1, 2)}
    view = snap_offense(LIB.formation("10-trips")).offense
    trips = LEFT if len(view.left.receivers) > 2 else RIGHT
    named = ["#1", "#2", "#3"]
    assert DutyGap("#3", trips, ()) in gaps(men, "10-trips", named)
    assert not [g for g in gaps(men | {"S": ("#3", trips)}, "10-trips", named) if g.side is trips]
    assert gaps(men, "10-doubles", named) == ()
    assert not [g for g in gaps(men, "10-trips", ["#1", "#2"]) if g.side is trips]


def test_the_sentences():
    nobody, two = vacant_duty.check(
        paper({}, duty_gaps=[DutyGap("deep middle", None, ()), DutyGap("flat", LEFT, ("SS", "W"))])
    )
    assert nobody.text == "Nobody has the deep middle if it is a pass: the coverage wants a man there."
    assert two.text == "SS and W both have the flat on the left."
    assert {nobody.severity, two.severity} == {"warning"} and two.roles == ("SS", "W")


def test_it_is_said_on_a_plain_run_and_changes_no_band():
    call = LIB.call("over-quarters")
    taken = tuple(TakeRule("CB, SS, FS", "", "deep half") for _ in "1")
    doubled = replace(call, coverage=replace(call.coverage, takes=taken))
    plain = derive(call, "10-doubles", "inside-zone", RIGHT)
    look = derive(doubled, "10-doubles", "inside-zone", RIGHT)
    assert len(found(look, "vacant-duty")) == 2 and all(len(f.roles) == 2 for f in found(look, "vacant-duty"))
    assert not found(plain, "vacant-duty")
    assert look.band is plain.band
