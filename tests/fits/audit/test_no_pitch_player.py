"""no-pitch-player: the ball may be pitched and nobody has the pitch."""

from tests.fits.audit.looks import LEFT, derive, found, lane


def test_a_pitch_that_nobody_has_is_found():
    look = derive("odd-three-safety-one-high", "10-doubles", "speed-option", LEFT, "bubble")
    (finding,) = found(look, "no-pitch-player")
    assert (finding.severity, lane(look, finding).name) == ("unsound", "left C")
    assert finding.text == "Nobody has the pitch to T: the man on the quarterback cannot have both."
    assert not look.sound


def test_without_the_throw_the_outside_backer_has_it_and_the_safety_inside_him_the_quarterback():
    look = derive("odd-three-safety-one-high", "10-doubles", "speed-option", LEFT)
    assert {t.kind: t.owners for t in look.threats} == {"keep": ("BS",), "pitch": ("W",)}
    assert not found(look, "no-pitch-player")
