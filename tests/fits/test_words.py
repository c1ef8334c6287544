"""Words, arrows and owners agree in side: in every shipped look, in every frame."""

import re
from dataclasses import replace

import pytest

import fits
from fits.field import LEFT, RIGHT, Hash
from fits.terms import Frame
from fits.words import EXTRA, SIDE_WORDS, seat, words_of

LIBRARY = fits.load_library()
REACH = 0.6  # yards: a lane this near the ball may be said by either side


def all_looks(call, to):
    made = fits.derive_matrix(
        [call], LIBRARY.formations.values(), LIBRARY.concepts.values(), to=(to,), flips=(False,), hashes=(Hash.LEFT,)
    )
    return [look for look in made if isinstance(look, fits.Look)]


def side_said(words, text):
    """The sides a lane's words name, as the offense's."""
    found = set()
    for side in (LEFT, RIGHT):
        if re.search(rf"(?<!\w){words.side(side)} [A-F](?!\w)", text):
            found.add(side)
    return found


@pytest.mark.parametrize("call", LIBRARY.calls.values(), ids=list(LIBRARY.calls))
@pytest.mark.parametrize("to", [LEFT, RIGHT], ids=["left", "right"])
def test_sentence_arrow_and_owner_agree_in_every_shipped_look(call, to):
    for look in all_looks(call, to):
        no_coach_sentence_that_the_look_contradicts(look)
        for frame in Frame:
            words = words_of(look, frame)
            said = {lane.index: words.lane(lane) for lane in look.lanes}
            assert len(set(said.values())) == len(said), (look.formation, look.concept, said)
            for lane in look.lanes:
                sides = side_said(words, said[lane.index])
                assert {gap.split()[0] for gap in lane.gaps} >= {s.word for s in sides}
                for side in sides:
                    assert len(sides) == 2 or lane.x * side > -REACH, (look.formation, look.concept, lane)
            at = {b.role: b.x for b in look.blocks}
            for d in look.defenders:
                fit = words.fit(d)
                if d.lane is None:
                    assert not side_said(words, fit)
                    continue
                lane = look.lanes[d.lane]
                assert d.role in lane.owners or d.duty in ("quarterback", "pitch"), (look.formation, look.concept, d)
                bounds = [at[lane.left] if lane.left else -99.0, at[lane.right] if lane.right else 99.0]
                assert bounds[0] <= d.fit_x <= bounds[1]  # the arrow ends in the lane
                assert fit.endswith(said[d.lane])


def no_coach_sentence_that_the_look_contradicts(look):
    words = words_of(look)
    pulls = [b for b in look.blocks if b.mover and b.step in ("pull", "cross")]
    for d in look.defenders:
        said = words.says(d)
        if words.fit(d) == EXTRA:
            assert said == ""
        if "pull side" in said:
            assert any((d.fit_x - d.x) * (b.x - b.start_x) > -0.5 for b in pulls), (look.formation, d)
        if match := re.search(r"(front|back)side ([A-E])\b", said):
            side = look.to if match[1] == "front" else look.to.other
            assert f"{side.word} {match[2]}" in look.lanes[d.lane].gaps, (look.formation, look.concept, d)


def power(**changes):
    call, formation = LIBRARY.call("odd-three-safety"), LIBRARY.formation("11-doubles")
    look = fits.derive_look(call, formation, LIBRARY.concept("power"), to=RIGHT, hash=Hash.LEFT)
    return replace(look, **changes)


@pytest.mark.parametrize(
    ("frame", "name"),
    [(Frame.STRONG, "weak C"), (Frame.FIELD, "boundary C"), (Frame.OWN, "right C"), (Frame.PLAY, "back side C")],
)
def test_the_outermost_lane_on_the_offenses_left(frame, name):
    look = power(frame=frame)  # the tight end is on the right, and so is the field
    words = words_of(look)
    assert words.lane(look.lanes[0]) == name
    assert name.split()[0] in " ".join(SIDE_WORDS[frame])


def test_a_mover_is_named_by_what_he_does():
    look = power()
    words = words_of(look)
    assert [words.lane(lane) for lane in look.lanes][-2:] == ["inside the pulling guard", "outside the pulling guard"]


def test_two_movers_that_do_alike_keep_their_names():
    call, formation = LIBRARY.call("odd-three-safety"), LIBRARY.formation("11-trey")
    look = fits.derive_look(call, formation, LIBRARY.concept("buck-sweep"), to=RIGHT)
    lanes = " ".join(words_of(look).lane(lane) for lane in look.lanes)
    assert "the pulling LG" in lanes and "the pulling RG" in lanes


def test_a_man_of_a_pair_is_named_before_the_snap():
    for frame, name in ((Frame.STRONG, "weak E"), (Frame.OWN, "right E"), (Frame.PLAY, "weak E")):
        assert words_of(power(frame=frame)).man("left E") == name
    assert words_of(power()).man("MS") == "MS"


def test_the_engines_sentences_are_told_again_in_the_frame():
    words = words_of(power(frame=Frame.OWN))
    text = "left E and MS are both in inside LG while left A+B is open on the left."
    told = words.retell(text)
    assert told == (
        "right E and MS are both in inside the pulling guard while right A+B is open on the defense's right."
    )


def test_a_systems_frame_goes_through_its_file():
    text = (fits.library.HERE / "systems" / "over-quarters.toml").read_text(encoding="utf-8")
    system = fits.read_system(text)
    assert system.frame is Frame.FIELD and system.as_dict()["system"]["frame"] == "field-boundary"
    assert fits.read_system(text.replace('frame = "field-boundary"\n', "")).frame is Frame.STRONG
    with pytest.raises(fits.FitsError, match="own"):
        fits.read_system(text.replace("field-boundary", "up and down"))


def test_what_he_saw_has_its_directions_in_the_frame():
    look = power(frame=Frame.OWN)
    words = words_of(look)
    seen = [words.saw(d) for d in look.defenders if "pulls right" in d.saw]
    assert seen and all("pulls to the defense's left" in said for said in seen)
    assert not any(re.search(r"(pulls|flow|steps|crosses) (left|right)\b", words.saw(d)) for d in look.defenders)


def test_a_seat_without_a_look():
    assert seat("left E", Frame.OWN) == "right E"
    assert seat("left E", Frame.STRONG) == "left E" and seat("MS", Frame.OWN) == "MS"


def test_a_side_a_block_comes_from_is_said_as_such():
    look = fits.derive_look(
        LIBRARY.call("odd-three-safety"), LIBRARY.formation("10-doubles"), LIBRARY.concept("inside-zone-rpo")
    )
    nose = look.defender("N")
    assert "blocked by C head up and RG from the strong side" in words_of(look).saw(nose)
    assert not any("from to" in words_of(look, frame).saw(d) for frame in Frame for d in look.defenders)
