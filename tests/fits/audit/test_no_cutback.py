"""no-cutback: everybody went with the ball and nobody is left behind it."""

from tests.fits.audit.looks import RIGHT, derive, found, lane, with_fit


def test_nobody_behind_the_ball_is_found():
    call = with_fit("odd-three-safety", lambda rule: "pass first")
    look = derive(call, "11-doubles", "inside-zone", RIGHT)
    (finding,) = found(look, "no-cutback")
    assert (finding.severity, lane(look, finding).name) == ("unsound", "left C")
    assert finding.text == "Nobody is left behind the ball in left C, left B or left A for the cutback."


def test_one_man_who_stays_behind_it_has_the_cutback():
    call = with_fit("odd-three-safety", lambda rule: rule["fit"] if rule["who"] == "N" else "pass first")
    look = derive(call, "11-doubles", "inside-zone", RIGHT)
    assert next(x for x in look.lanes if x.name == "left A").owners == ("N",)
    assert not found(look, "no-cutback") and found(look, "open-lane")
