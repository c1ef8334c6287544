"""no-overlap: a man spills a block and nobody is outside it."""

from tests.fits.audit.looks import RIGHT, derive, found, lane


def test_a_spill_with_nobody_outside_it_is_found():
    look = derive("over-quarters-two", "12-wing", "split-zone", RIGHT)
    (finding,) = found(look, "no-overlap")
    assert (finding.severity, lane(look, finding).name, finding.roles) == ("unsound", "outside U", ("left E",))
    assert finding.text == "left E spills U and nobody is outside him in outside U."
    assert not look.sound


def test_a_spill_with_a_safety_outside_it_is_sound():
    look = derive("over-quarters", "12-wing", "split-zone", RIGHT)
    assert look.defender("left E").leverage == "spill"
    assert next(x for x in look.lanes if x.name == "outside U").owners == ("FS",)
    assert not found(look, "no-overlap") and look.sound
