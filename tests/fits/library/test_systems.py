"""The shipped defensive systems: complete, sound against their bread and butter, honest where they are not.

What a defense of each kind should be sound against is common practice.
"""

from collections import Counter

import pytest

import fits
from fits.field import LEFT, RIGHT, Hash
from fits.know.study import study

LIB = fits.load_library()
SYSTEMS = sorted(LIB.systems)
FORMATIONS = (
    "10-doubles", "10-trips", "10-bunch", "11-doubles", "11-trey", "11-trips", "11-trips-nub", "11-bunch", "11-h-back",
    "11-pistol", "11-ace", "12-two-tight", "12-wing", "12-h-back", "12-ace", "20-split", "20-pistol", "21-pro-i",
    "21-offset", "21-twins-i", "21-gun-near",
)  # fmt: skip
CONCEPTS = ("inside-zone", "outside-zone", "power", "counter", "split-zone", "zone-read", "iso")

# Known weak looks of bread and butter (formation, concept): two blockers outside the tackle and two more arrive.
WEAK = {
    "okie-two-gap": {
        # counter without a tight end: the kicked end man boxes, the backer who goes over the top is inside the second
        # man and nobody between the two; with one, the corner or a double decides
        ("10-bunch", "counter"),
        ("10-doubles", "counter"),
        ("10-trips", "counter"),
        ("11-ace", "counter"),
        ("11-bunch", "counter"),
        ("11-doubles", "counter"),
        ("11-h-back", "counter"),
        ("11-pistol", "counter"),
        ("11-trips", "counter"),
        ("11-trips-nub", "counter"),
        ("12-wing", "counter"),
        ("20-pistol", "counter"),
        ("20-split", "counter"),
        ("21-twins-i", "counter"),
        # the man who crosses is no key of an inside backer, who stays at the hip of his guard: one gap short behind it
        ("11-ace", "split-zone"),
        ("11-doubles", "split-zone"),
        ("11-h-back", "split-zone"),
        ("11-pistol", "split-zone"),
        ("11-trips-nub", "split-zone"),
        ("12-wing", "split-zone"),
        ("20-pistol", "split-zone"),
        ("20-split", "split-zone"),
        ("21-twins-i", "split-zone"),
        # a lead makes one gap more and both safeties are deep; the weak backer at his guard's hip is in A with the nose
        ("11-h-back", "inside-zone"),
        ("12-h-back", "inside-zone"),
        ("20-pistol", "inside-zone"),
        ("20-split", "inside-zone"),
        ("21-gun-near", "inside-zone"),
        ("21-offset", "inside-zone"),
        ("21-pro-i", "inside-zone"),
        ("21-twins-i", "inside-zone"),
        ("11-h-back", "power"),
        ("12-h-back", "power"),
        ("20-pistol", "power"),
        ("20-split", "power"),
        ("21-twins-i", "power"),
        ("21-twins-i", "outside-zone"),
        # the ball goes away from the wing: the weak backer is with the nose in A, nobody has C behind the ball
        ("12-wing", "outside-zone"),
    },
    "over-quarters": {
        # counter: two pull; the guard's own backer cannot tell it from power, and the man across has nobody pulling in
        # front of him, so the lane inside the second puller is filled late or not at all
        ("10-doubles", "counter"),
        ("10-trips", "counter"),
        ("11-ace", "counter"),
        ("11-doubles", "counter"),
        ("11-h-back", "counter"),
        ("12-ace", "counter"),
        ("12-h-back", "counter"),
        ("12-two-tight", "counter"),
        ("20-split", "counter"),
        ("21-pro-i", "counter"),
        # the weak backer has guard and tackle to read before he goes over the top: a step late to the puller
        ("11-ace", "power"),
        # a guard pulls away from the wing: backer and safety go with him, and D on the wing's side is left
        ("12-wing", "power"),
        # both receivers on one side: the nickel outside the lead, nobody inside it
        ("21-twins-i", "inside-zone"),
        ("21-twins-i", "iso"),
        # an offset fullback who leads looks to the far safety like one who crosses: he is outside him
        ("21-gun-near", "inside-zone"),
        ("21-gun-near", "iso"),
        ("21-offset", "inside-zone"),
        ("21-offset", "iso"),
        ("21-twins-i", "split-zone"),
        # tight ends on both sides, one crosses: the nine on his side is loose and the force there soft
        ("12-ace", "split-zone"),
        ("12-two-tight", "split-zone"),
    },
    "under-cover-3": {
        # counter: guard and tackle both pull away from the middle backer, who goes over the top between the two: late
        ("10-bunch", "counter"),
        ("10-doubles", "counter"),
        ("10-trips", "counter"),
        ("11-bunch", "counter"),
        ("11-doubles", "counter"),
        ("11-trey", "counter"),
        ("11-trips", "counter"),
        ("11-trips-nub", "counter"),
        ("21-gun-near", "counter"),
        # the second man is a back: the strong safety comes over the top to him late or not at all
        ("11-h-back", "counter"),
        ("12-h-back", "counter"),
        # no tight end: the middle backer has the whole way from one side to inside the puller
        ("11-h-back", "power"),
    },
    "odd-three-safety": {
        # two tight ends on the side the ball leaves, the end squeezes or the safety keeps E: one gap short behind it
        ("12-wing", "counter"),
        ("12-wing", "outside-zone"),
        ("12-wing", "power"),
        # the lead goes to the tight end, the third receiver is there too: the middle safety goes outside the lead
        ("21-twins-i", "outside-zone"),
        # a tight end blocks down behind power, away from the strong safety: nobody has what the guard leaves
        ("11-doubles", "power"),
        ("12-two-tight", "power"),
        # tight ends on both sides: the middle safety is down in the front side B, a man who crosses is one more
        ("12-ace", "split-zone"),
        ("12-two-tight", "split-zone"),
        # the fullback crosses instead of the tight end: nobody is left inside him
        ("21-twins-i", "split-zone"),
        # counter away from the tight end: the middle backer is late inside the kick
        ("11-doubles", "counter"),
        ("11-trey", "counter"),
        ("21-gun-near", "counter"),
    },
}


def derive(call, formation, concept, **how):
    """The look, or None when the concept cannot be run from the formation. NoRule is never caught."""
    try:
        return fits.derive_look(LIB.call(call), LIB.formation(formation), LIB.concept(concept), **how)
    except fits.NotRunnable:
        return None


def said(look):
    return f"{look.call} {look.formation} {look.concept} to the {look.to.word}: {[f.text for f in look.findings]}"


def test_four_systems_with_three_calls_each_named_after_them():
    assert SYSTEMS == ["odd-three-safety", "okie-two-gap", "over-quarters", "under-cover-3"]
    for name in SYSTEMS:
        calls = list(LIB.systems[name].calls())
        assert calls[0] == name and len(calls) == 4
        assert all(c.startswith(name + "-") for c in calls[1:])


@pytest.mark.parametrize("name", SYSTEMS)
def test_sound_against_its_bread_and_butter(name):
    seen = 0
    for formation in FORMATIONS:
        for concept in CONCEPTS:
            for to in (LEFT, RIGHT):
                look = derive(name, formation, concept, to=to)
                if look is None or (formation, concept) in WEAK.get(name, ()):
                    continue
                seen += 1
                assert look.band is not fits.Band.NOT_SOUND, said(look)
    assert seen > 160  # what is left when the known weak looks are taken out


@pytest.mark.parametrize("name", SYSTEMS)
@pytest.mark.parametrize("hash_", [Hash.LEFT, Hash.RIGHT])
@pytest.mark.parametrize("flip", [False, True])
def test_sound_on_either_hash_and_flipped(name, hash_, flip):
    for i, formation in enumerate(FORMATIONS):
        concept = CONCEPTS[(i * 3 + flip) % len(CONCEPTS)]
        for to in (LEFT, RIGHT):
            look = derive(name, formation, concept, to=to, hash=hash_, flip=flip)
            if look is not None and (formation, concept) not in WEAK.get(name, ()):
                assert look.band is not fits.Band.NOT_SOUND, said(look)


@pytest.mark.parametrize(("name", "formation", "concept", "to", "code"), [
    ("okie-two-gap", "12-wing", "split-zone", RIGHT, "open-lane"),  # a wing crosses, two deep halves
    ("okie-two-gap", "22-wing-i", "outside-zone", RIGHT, "open-lane"),  # seven in the box against nine blockers
    ("under-cover-3", "11-trips-nub", "inside-zone-rpo", RIGHT, "outnumbered"),  # three receivers away from him
    ("over-quarters-two", "21-pro-i", "iso", RIGHT, "open-lane"),  # both safeties deep: one short against two backs
])  # fmt: skip
def test_the_audit_says_where_a_call_is_weak(name, formation, concept, to, code):
    look = derive(name, formation, concept, to=to)
    assert look is not None and not look.sound
    assert code in {f.code for f in look.findings}, said(look)


def test_weak_looks_listed_here_are_weak():
    for name, weak in WEAK.items():
        for formation, concept in weak:
            looks = [
                derive(name, formation, concept, to=to, hash=h, flip=flip)
                for to in (LEFT, RIGHT) for h in Hash for flip in (False, True)
            ]  # fmt: skip
            assert any(look is not None and not look.sound for look in looks), (name, formation, concept)


def test_no_look_is_left_without_a_rule():
    """Every call, formation and concept meets, each on some hash, side and flip; NoRule would fail the test."""
    looks, hashes = 0, list(Hash)
    concepts = list(LIB.concepts)
    for i, call in enumerate(LIB.calls):
        for j, formation in enumerate(LIB.formations):
            for k in range((i + j) % 8, len(concepts), 8):
                how = {"to": (LEFT, RIGHT)[(i + k) % 2], "hash": hashes[(j + k) % 3], "flip": bool((i + j) % 2)}
                look = derive(call, formation, concepts[k], **how)
                if look is not None:
                    looks += 1
                    assert len(look.defenders) == 11 and all(d.rule and d.why for d in look.defenders)
    assert looks > 800


def test_no_look_is_left_without_a_rule_after_motion_or_with_an_option():
    looks = 0
    more = [{"motion": m} for m in LIB.motions.values()] + [{"options": (o,)} for o in LIB.options.values()]
    for i, call in enumerate(LIB.calls):
        for j, formation in enumerate(LIB.formations):
            concept = CONCEPTS[(i + j) % len(CONCEPTS)]
            try:
                looks += derive(call, formation, concept, **more[(i + j) % len(more)]) is not None
            except fits.IllegalFormation:
                continue
    assert looks > 200


@pytest.mark.parametrize("name", SYSTEMS)
def test_round_trip_through_the_file_shape(name):
    system = LIB.systems[name]
    text = fits.format_toml(system.as_dict())
    again = fits.read_system(text, name + ".toml")
    assert again.as_dict() == system.as_dict()
    for call in system.calls():
        one = fits.derive_look(system.calls()[call], LIB.formation("12-h-back"), LIB.concept("power"))
        two = fits.derive_look(again.calls()[call], LIB.formation("12-h-back"), LIB.concept("power"))
        assert one == two


@pytest.mark.parametrize("name", SYSTEMS)
def test_rule_ids_are_unique_in_the_system_and_say_something(name):
    system = LIB.systems[name]
    rules = [r for part in (*system.fronts.values(), *system.coverages.values()) for r in part.fits]
    assert [i for i, n in Counter(r.id for r in rules).items() if n > 1] == []
    assert [r.id for r in rules if len(r.say) < 5] == []
    assert system.source == "common practice"


# --- what makes the kinds different -----------------------------------------------------------------------------------


def test_two_gap_men_end_in_either_lane_beside_the_man_over_them():
    over = {"N": "C", "left E": "LT", "right E": "RT"}
    ended: dict[str, set[str]] = {role: set() for role in over}
    for formation in FORMATIONS:
        for concept in ("inside-zone", "outside-zone", "duo", "power"):
            for to in (LEFT, RIGHT):
                look = derive("okie-two-gap", formation, concept, to=to)
                assert look is not None
                for role, man in over.items():
                    lane = look.lanes[look.defender(role).lane]
                    men = {man, *[b.role for b in look.blocks if b.on == role]}  # a double that stays is one blocker
                    assert men & {lane.left, lane.right}, said(look)
                    ended[role].add("left of him" if lane.right in men else "right of him")
    assert ended == {role: {"left of him", "right of him"} for role in over}


def test_two_gap_men_make_the_others_right():
    """The same man, the same block: he ends on the side the backer behind him did not take."""
    to_him = derive("okie-two-gap", "21-pro-i", "zone-read", to=RIGHT)
    away = derive("okie-two-gap", "21-pro-i", "zone-read", to=LEFT)
    assert to_him.defender("N").lane != away.defender("N").lane
    for look in (to_him, away):
        assert sorted(r for lane in look.lanes for r in lane.owners) == sorted(
            {d.role for d in look.defenders if d.lane is not None}
        )
        assert all(lane.owners for lane in look.lanes)


@pytest.mark.parametrize(("name", "formation", "leverage"), [
    ("over-quarters", "20-split", "spill"), ("under-cover-3", "21-pro-i", "box"), ("okie-two-gap", "21-pro-i", "spill"),
])  # fmt: skip
def test_kicked_men_spill_or_box(name, formation, leverage):
    look = derive(name, formation, "power", to=RIGHT)
    kicked = next(b.on for b in look.blocks if b.does == "kick")
    man = look.defender(kicked)
    lane = look.lanes[man.lane]
    kicker = next(b.role for b in look.blocks if b.does == "kick")
    assert man.leverage == leverage
    assert kicker == (lane.right if leverage == "spill" else lane.left)  # to the right: inside him is left of him


@pytest.mark.parametrize(
    ("name", "forces"), [("over-quarters", "SS"), ("under-cover-3", "S"), ("okie-two-gap", "right CB")]
)
def test_who_is_outside_the_kick(name, forces):
    """Cover 4: a safety; cover 3 with a boxing front: who boxes; cover 2: the corner. Source: common practice."""
    look = derive(name, "21-pro-i", "power", to=RIGHT)
    assert look.lanes[-1].owners == (forces,), said(look)


def test_staff_option_turns_a_spill_into_a_box():
    box = (LIB.option("box"),)
    spill = derive("over-quarters", "20-split", "power", to=RIGHT)
    boxed = derive("over-quarters", "20-split", "power", to=RIGHT, options=box)
    assert spill.defender("right E").leverage == "spill" and boxed.defender("right E").leverage == "box"
    assert boxed.defender("right E").lane == spill.defender("right E").lane + 1


@pytest.mark.parametrize("call", [c for s in SYSTEMS for c in LIB.systems[s].calls()])
def test_every_man_can_know_his_fit_in_nineteen_pictures_of_twenty(call):
    known = study(LIB.call(call), LIB.formations.values(), LIB.concepts.values())
    assert {man.role: man.cannot_know for man in known.men if man.cannot_know >= 0.05} == {}
    assert len(known.men) == 11 and known.pictures > 3000
