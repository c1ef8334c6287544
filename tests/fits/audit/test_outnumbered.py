"""outnumbered: fewer pass defenders than receivers on the eyes side of an option with a throw."""

from tests.fits.audit.looks import LEFT, RIGHT, codes, derive, found


def test_one_for_two_on_the_eyes_side_is_unsound():
    look = derive("under-cover-3-cloud", "11-doubles", "inside-zone-rpo", RIGHT)
    (finding,) = found(look, "outnumbered")
    assert (finding.severity, finding.lane, finding.roles) == ("unsound", None, ("left CB",))
    assert look.eyes is RIGHT.other
    assert finding.text == "One for two on the left: the throw to Z or R is open."


def test_away_from_the_eyes_it_is_a_warning():
    look = derive("odd-three-safety", "10-trips", "inside-zone-rpo", RIGHT)
    (finding,) = found(look, "outnumbered")
    assert finding.severity == "warning" and "outnumbered" not in codes(look) and look.eyes is RIGHT.other
    assert finding.text == "Two for three on the right: the throw to Z, K or R is open."


def test_two_for_two_is_enough():
    look = derive("odd-three-safety", "11-doubles", "inside-zone-rpo", LEFT)
    (eyes,) = [p for p in look.passes if p.side is look.eyes]
    assert eyes.text == "two for two" and not found(look, "outnumbered")


def test_without_a_throw_nothing_is_counted():
    assert not found(derive("under-cover-3-cloud", "11-doubles", "inside-zone", RIGHT), "outnumbered")
