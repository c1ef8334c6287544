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
