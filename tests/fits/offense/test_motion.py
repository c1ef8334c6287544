import pytest
from hypothesis import given
from hypothesis import strategies as st

from fits.errors import FileError, IllegalFormation, NotRunnable
from fits.field import COLLEGE, LEFT, RIGHT, RULE_BOOKS, Hash
from fits.offense.build import build_formation
from fits.offense.formation import read_offense
from fits.offense.legality import check_formation
from fits.offense.motion import MotionKind, apply_motion, build_motion, find_mover
from tests.fits.strategies import FORMATIONS, MOTIONS, formations, read_entries, with_player

ACROSS, JET, ORBIT, TRADE = (MOTIONS[n] for n in ("across", "jet", "orbit", "trade"))


def changes(before, after):
    old = {p.role: (p.x, p.y) for p in before.players}
    return {p.role: (p.x, p.y) for p in after.players if (p.x, p.y) != old[p.role]}


def moves(name, motion, toward=None):
    return changes(FORMATIONS[name], apply_motion(FORMATIONS[name], motion, toward))


def test_shipped_motions():
    assert {"across", "jet", "orbit", "trade"} <= set(MOTIONS)
    assert all(m.note and m.source for m in MOTIONS.values())


def test_across_takes_a_slot_to_the_same_place_on_the_other_side():
    assert moves("11-doubles", ACROSS) == {"R": (9.0, -1.6)}
    after = read_offense(apply_motion(FORMATIONS["11-doubles"], ACROSS), Hash.MIDDLE, COLLEGE)
    assert [p.role for p in after.right.receivers] == ["X", "R", "Y"]


def test_across_finds_room_where_somebody_stands():
    assert moves("10-doubles", ACROSS, RIGHT) == {"R": (6.1, -1.6)}
    assert moves("10-doubles", ACROSS, LEFT) == {"K": (-6.1, -1.6)}


def test_a_wing_comes_across_beside_the_line():
    assert moves("12-wing", ACROSS, LEFT) == {"U": (-4.8, -1.6)}
    assert moves("13-three-tight", ACROSS, LEFT) == {"H": (-6.4, -1.6)}


def test_jet_is_behind_the_line_where_he_came_from():
    assert moves("11-doubles", JET, RIGHT) == {"R": (-3.2, -3.6)}


def test_orbit_goes_behind_the_deepest_back():
    assert moves("11-doubles", ORBIT, RIGHT) == {"R": (-1.6, -6.5)}
    assert moves("21-pro-i", ORBIT, LEFT) == {"Z": (1.6, -8.5)}


def test_trade_changes_the_strong_side_and_stays_legal():
    assert moves("11-doubles", TRADE) == {"Y": (-4.8, -0.6), "Z": (-18.0, -1.6), "X": (18.0, -0.6)}
    assert moves("12-two-tight", TRADE, LEFT) == {"Y": (-6.4, -1.6), "Z": (18.0, -0.6)}
    after = read_offense(apply_motion(FORMATIONS["11-doubles"], TRADE), Hash.MIDDLE, COLLEGE)
    assert after.run is LEFT


def test_with_nobody_left_on_a_side_the_widest_man_covers_the_tight_end():
    after = apply_motion(FORMATIONS["11-trips-nub"], TRADE, RIGHT)
    assert [(v.rule, v.roles) for v in check_formation(after, COLLEGE)] == [("covered-eligible", ("Y",))]


def test_without_a_side_he_goes_towards_the_strength():
    mirror = FORMATIONS["11-doubles"].mirrored()
    assert changes(mirror, apply_motion(mirror, ACROSS)) == {"R": (-9.0, -1.6)}
    assert moves("10-trips", ACROSS) == {"R": (-7.0, -1.6)}  # nobody on the left who could


def test_nobody_to_move_is_said():
    with pytest.raises(NotRunnable, match=r"motion 'Trade': 'Doubles, no tight end' has nobody; expected end man"):
        apply_motion(FORMATIONS["10-doubles"], TRADE)
    with pytest.raises(NotRunnable, match="nobody to go right"):
        apply_motion(FORMATIONS["10-trips"], JET, RIGHT)


def test_a_man_on_the_line_does_not_go_in_motion():
    only_y = build_motion({"name": "m", "kind": "motion", "who": ["Y"], "x": -3, "y": -3})
    with pytest.raises(NotRunnable):
        apply_motion(FORMATIONS["21-pro-i"], only_y)
    shifted = build_motion({"name": "m", "kind": "shift", "who": ["Y"], "x": -3, "y": -3})
    assert moves("21-pro-i", shifted, LEFT) == {"Y": (3.0, -3.0)}


@pytest.mark.parametrize(("y", "rule"), [(-3.0, "motion-forward"), (-0.6, "motion-forward")])
def test_nobody_moves_forward_at_the_snap(y, rule):
    out = {"name": "out", "kind": "motion", "who": ["back"], "x": 8, "y": y}
    with pytest.raises(IllegalFormation, match=rule):
        apply_motion(FORMATIONS["11-doubles"], build_motion(out), RIGHT)
    assert moves("11-doubles", build_motion(out | {"y": -5}), RIGHT) == {"T": (8.0, -5.0)}
    assert moves("11-doubles", build_motion(out | {"kind": "shift"}), RIGHT) == {"T": (8.0, y)}


def test_each_word_finds_its_man():
    found = {
        ("slot", "10-doubles"): "R",
        ("flanker", "12-two-tight"): "X",
        ("split end", "10-doubles"): "X",
        ("end man", "12-two-tight"): "U",
        ("back", "11-doubles"): "T",
        ("backfield end", "12-h-back"): "H",
    }
    for (who, name), role in found.items():
        motion = build_motion({"name": "m", "kind": "shift", "who": [who], "x": 5})
        assert find_mover(FORMATIONS[name], motion, RIGHT).role == role
    wing = build_motion({"name": "m", "kind": "shift", "who": ["wing"], "x": 5})
    assert find_mover(FORMATIONS["12-wing"], wing, LEFT).role == "U"
    assert find_mover(FORMATIONS["12-two-tight"], wing, LEFT) is None


def test_selectors_are_tried_in_order():
    motion = build_motion({"name": "m", "kind": "motion", "who": ["wing", "Z", "slot"], "x": 0, "y": -8})
    assert find_mover(FORMATIONS["12-wing"], motion, LEFT).role == "U"
    assert find_mover(FORMATIONS["12-wing"], motion, RIGHT).role == "Z"
    assert find_mover(FORMATIONS["10-doubles"], motion, RIGHT).role == "R"


@pytest.mark.parametrize("motion", MOTIONS.values(), ids=lambda m: m.name)
@pytest.mark.parametrize("formation", FORMATIONS.values(), ids=lambda f: f.name)
def test_shipped_motions_keep_shipped_formations_legal(formation, motion):
    ran = 0
    for toward in (None, LEFT, RIGHT):
        try:
            after = apply_motion(formation, motion, toward)
        except NotRunnable:
            continue
        ran += 1
        if motion.kind is MotionKind.MOTION:
            assert len(changes(formation, after)) == 1
        for book in RULE_BOOKS.values():
            for hash_ in (None, *Hash):
                assert not [v for v in check_formation(after, book, hash_) if v.refused]
    seen = read_offense(formation, Hash.MIDDLE, COLLEGE)
    assert ran or (motion is TRADE and not seen.left.attached + seen.right.attached)


@given(formations(), st.sampled_from(list(MOTIONS.values())), st.sampled_from([None, LEFT, RIGHT]))
def test_motion_in_a_mirror_is_the_mirror_of_the_motion(formation, motion, toward):
    def run(f, side):
        try:
            return apply_motion(f, motion, side)
        except (NotRunnable, IllegalFormation) as error:
            return type(error)

    plain, mirror = run(formation, toward), run(formation.mirrored(), toward and toward.other)
    assert mirror == (plain if isinstance(plain, type) else plain.mirrored())


@given(formations(), st.sampled_from(list(MOTIONS.values())))
def test_the_same_eleven_men_come_out(formation, motion):
    try:
        after = apply_motion(formation, motion)
    except (NotRunnable, IllegalFormation):
        return
    assert {(p.role, p.kind) for p in after.players} == {(p.role, p.kind) for p in formation.players}
    assert build_formation(after.as_dict()) == after


@pytest.mark.parametrize("entry", read_entries("motion"), ids=lambda e: e["name"])
def test_as_dict_and_build_are_inverse(entry):
    motion = build_motion(entry)
    assert build_motion(motion.as_dict()) == motion


GOOD = {"name": "m", "kind": "motion", "who": ["slot"], "x": 3.0}


@pytest.mark.parametrize(
    ("bad", "key", "expected"),
    [
        ({k: v for k, v in GOOD.items() if k != "x"}, "motion 'm'.x", "a number"),
        ({k: v for k, v in GOOD.items() if k != "kind"}, "kind", "one of 'motion', 'shift'"),
        ({k: v for k, v in GOOD.items() if k != "who"}, "who", "a list that is not empty"),
        (GOOD | {"kind": "jump"}, "kind", "one of 'motion', 'shift'"),
        (GOOD | {"who": []}, "who", "a list that is not empty"),
        (GOOD | {"who": ["goalkeeper"]}, "who", "role labels or words of: slot, flanker"),
        (GOOD | {"who": [3]}, "who", "role labels"),
        (GOOD | {"mirror": True}, "x", "no place beside mirror = true"),
        (GOOD | {"mirror": "yes"}, "mirror", "true or false"),
        (GOOD | {"x": float("nan")}, "x", "a number"),
        (GOOD | {"x_of": "moon"}, "x_of", "one of 'ball', 'tackle', 'last man', 'widest man'"),
        (GOOD | {"y": 0, "y_of": "moon"}, "y_of", "one of 'line', 'quarterback', 'deepest back'"),
        (GOOD | {"balance": True}, "balance", "only one man moves at the snap"),
        (GOOD | {"z": 1}, "z", "one of the keys name, label, kind, who"),
        ("jet", "motion", "a table"),
    ],
)
def test_a_bad_entry_names_the_key_and_what_was_expected(bad, key, expected):
    with pytest.raises(FileError) as caught:
        build_motion(bad, "motions.toml")
    assert key in caught.value.key
    assert expected in caught.value.expected


def test_landmarks():
    base = {"name": "m", "kind": "shift", "who": ["back"], "x": 2, "y": -1, "y_of": "quarterback"}
    places = {"ball": 2.0, "tackle": 5.2, "last man": 6.8, "widest man": 20.0}
    for x_of, x in places.items():
        assert moves("11-doubles", build_motion(base | {"x_of": x_of}), RIGHT) == {"T": (x, -6.0)}


def test_a_man_already_on_that_side_does_not_come():
    nub = build_formation(with_player(FORMATIONS["10-trips"], "T", x=1.6))
    motion = build_motion({"name": "m", "kind": "shift", "who": ["T"], "x": 8, "y": -1.6})
    assert find_mover(nub, motion, RIGHT) is None
    assert find_mover(nub, motion, LEFT).role == "T"
