"""The plain words of a sheet."""

import pytest

import fits
from fits.terms import Frame
from fits.words import words_of
from playbook.week import words

lib = fits.load_library()
CALL = lib.call("odd-three-safety")


def place(role, formation="11-doubles", concept="power", frame=None):
    look = fits.derive_look(CALL, lib.formation(formation), lib.concept(concept))
    return words.place_words(look.defender(role), CALL, words_of(look, frame))


def test_a_technique_is_said_by_the_man_it_is_played_on():
    assert place("N") == "head up on the centre, on the line"
    assert place("right E") == "outside shoulder of the strong tackle, on the line"
    assert place("left E") == "inside shoulder of the weak tackle, on the line"


def test_in_his_own_frame_the_offenses_left_is_on_his_right():
    assert place("left E", frame=Frame.OWN) == "inside shoulder of the tackle on your right, on the line"


def test_a_man_without_a_lane_has_nothing_to_stay_inside_of():
    look = fits.derive_look(CALL, lib.formation("11-doubles"), lib.concept("power"))
    free = [d for d in look.defenders if d.lane is None and d.leverage == "inside"]
    assert all(words.leverage_words(d) == "" for d in free)


def test_a_backer_is_as_deep_as_he_stands():
    said = place("M", "10-doubles", "inside-zone")
    assert said == "head up on the centre, 5 yards deep"


def test_a_spot_is_said_by_yards():
    said = place("MS")
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
