"""open-lane: a lane that nobody owns."""

from tests.fits.audit.looks import LEFT, RIGHT, derive, found, lane


def test_a_lane_without_an_owner_is_found():
    look = derive("over-quarters-two", "10-doubles", "qb-draw", LEFT)
    (finding,) = found(look, "open-lane")
    assert (finding.severity, lane(look, finding).name, finding.roles) == ("unsound", "outside T", ())
    assert finding.text == "Nobody fits outside T: the ball can run there untouched."
    assert [x.name for x in look.lanes if not x.owners] == ["outside T"]
    assert not look.sound


def test_a_safety_who_comes_down_into_it_closes_it():
    deep = derive("over-quarters-two", "21-pro-i", "iso", RIGHT)
    assert [x.name for x in deep.lanes if not x.owners] == ["inside F"]  # two deep halves: nobody inside the lead
    look = derive("over-quarters", "21-pro-i", "iso", RIGHT)
    assert next(x for x in look.lanes if x.name == "inside F").owners == ("FS",)
    assert not found(look, "open-lane")


# Common practice: a back who follows a puller does not come back two lanes; on a zone run that is where he looks next.
def test_two_lanes_behind_a_run_that_does_not_bend_back_is_a_warning():
    look = derive("under-cover-3-short", "12-tackle-over", "qb-power", LEFT)
    (finding,) = found(look, "open-lane")
    assert (finding.severity, lane(look, finding).name) == ("warning", "right E")
    assert finding.text == "Nobody fits right E, far behind a ball that does not bend back."
    beside = found(derive("under-cover-3-pinch", "21-offset", "dart", RIGHT), "open-lane")
    assert {f.severity for f in beside} == {"unsound"}


def test_a_zone_run_bends_back_to_the_back_edge():
    look = derive("okie-two-gap-slant", "23-goal-line", "inside-zone", RIGHT)
    assert ("unsound", "left C") in {(f.severity, lane(look, f).name) for f in found(look, "open-lane")}


def test_but_not_past_the_man_who_comes_across_to_kick():
    """Outside the kick it may still bounce; a lane further it is past everybody."""
    look = derive("odd-three-safety-one-high", "13-gun", "split-zone", RIGHT)
    assert [(f.severity, lane(look, f).name) for f in found(look, "open-lane")] == [("unsound", "outside H")]
    look = derive("under-cover-3-cloud", "13-three-tight", "split-zone", RIGHT)
    assert [(f.severity, lane(look, f).name) for f in found(look, "open-lane")] == [("warning", "left D")]
