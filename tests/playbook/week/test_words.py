"""The plain words of a sheet."""

import pytest

import fits
from playbook.week import words

lib = fits.load_library()
CALL = lib.call("odd-three-safety")


def man(role, formation="11-doubles", concept="power"):
    return fits.derive_look(CALL, lib.formation(formation), lib.concept(concept)).defender(role)


def test_a_technique_is_said_by_the_man_it_is_played_on():
    assert words.place_words(man("N"), CALL) == "head up on the centre, on the line"
    assert words.place_words(man("right E"), CALL) == "outside shoulder of the right tackle, on the line"
    assert words.place_words(man("left E"), CALL) == "inside shoulder of the left tackle, on the line"


def test_a_backer_is_as_deep_as_he_stands():
    said = words.place_words(man("M", "10-doubles", "inside-zone"), CALL)
    assert said == "head up on the centre, 5 yards deep"


def test_a_spot_is_said_by_yards():
    said = words.place_words(man("MS"), CALL)
    assert said.startswith("over the ball") and said.endswith("yards deep")


def test_every_leverage_word_of_the_engine_has_an_explanation():
    from fits.defense.system import LEVERAGES

    assert {word for word in LEVERAGES if word} <= words.LEVERAGE_WORDS.keys()


@pytest.mark.parametrize(("value", "says"), [(1, "1 yard"), (9.5, "9.5 yards"), (4.1, "4 yards")])
def test_yards_are_rounded_to_the_half(value, says):
    assert words.yards(value) == says


def test_the_cautions_say_what_must_be_said():
    text = " ".join(words.CAUTIONS).lower()
    for phrase in (
        "eyes up",
        "see what you hit",
        "never lead with the crown",
        "athletic trainer",
        "physician",
        "medical advice",
    ):
        assert phrase in text
