"""Pressures: who is sent, and that nothing is left without a name. Common practice."""

import copy
import itertools
from pathlib import Path

import pytest

import fits
from fits.cli.main import main
from fits.defense.align import align_call
from fits.defense.pressure import find_pressure, gaps_of, press
from fits.derive.pipeline import snap_offense
from fits.errors import BadRequest, FileError, UnknownName
from fits.field import LEFT, RIGHT, Hash

LIB = fits.load_library()
SYSTEMS = list(LIB.systems)
SIX = ("inside-cross", "outside-cross", "field-edge", "boundary-edge", "inside-backer-a", "safety-edge")


def press_by_name(call, name):
    return press(call, find_pressure(call, name))


def laid(call, pressure, formation, flip=False, hash_=Hash.MIDDLE):
    made = align_call(
        press_by_name(LIB.call(call), pressure), snap_offense(LIB.formation(formation), flip, hash_).offense
    )
    return made, {d.name: d for d in made.men}


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_system_has_the_six(system):
    assert tuple(LIB.systems[system].pressures) == SIX


@pytest.mark.parametrize(("system", "pressure"), list(itertools.product(SYSTEMS, SIX)))
def test_over_the_base_call_nothing_is_left(system, pressure):
    """Against every formation on every hash: each gap somebody had is somebody's, so are pass duty and force."""
    base, sent = LIB.call(system), 0
    for formation, hash_, flip in itertools.product(LIB.formations.values(), Hash, (False, True)):
        offense = snap_offense(formation, flip, hash_).offense
        try:
            made = align_call(press_by_name(base, pressure), offense)
        except BadRequest as error:
            assert "it sends nobody" in str(error) and pressure in ("field-edge", "boundary-edge")
            continue
        plain = {d.name: d for d in align_call(base, offense).men}
        before = frozenset().union(*(gaps_of(base, d) for d in plain.values()))
        assert before <= frozenset().union(*(gaps_of(base, d) for d in made.men))
        for d in made.men:
            if d.in_pressure and d.path and d.group.value != "line":
                assert not d.takes
                if plain[d.name].takes:
                    assert any(plain[d.name].takes in m.takes for m in made.men)
        if made.front.first and any(d.in_pressure for d in made.men):
            sent += 1
        forced = {d.side for d in plain.values() if d.force}
        assert forced <= {d.side for d in made.men if d.force}
    assert sent > 100


def test_the_weak_backer_goes_through_a_and_the_nose_slants():
    made, men = laid("odd-three-safety", "inside-backer-a", "11-doubles")
    assert (men["W"].gap_side, men["W"].gap) == (LEFT, "A") and (men["N"].gap_side, men["N"].gap) == (RIGHT, "A")
    assert men["W"].in_pressure and men["N"].in_pressure and not men["M"].in_pressure
    rusher = next(m for m in made.front.first if m.name == "W")  # blockers meet him at the line
    assert rusher.x == men["W"].to_x and rusher.y < men["W"].y


def test_with_no_end_the_middle_backer_goes():
    _, men = laid("odd-three-safety", "inside-backer-a", "10-doubles")
    assert men["M"].in_pressure and not men["W"].in_pressure


def test_the_second_man_of_a_cross_goes_behind_the_first():
    _, men = laid("over-quarters", "inside-cross", "11-doubles")
    assert men["M"].gap_side is LEFT and men["W"].gap_side is RIGHT and men["M"].gap == men["W"].gap == "A"
    assert len(men["M"].path) == 2 and len(men["W"].path) == 3
    assert men["W"].path[1] == (men["M"].x, pytest.approx(men["M"].y + 0.8))
    assert (men["N"].gap_side, men["N"].gap) == (LEFT, "B")  # out, into the gap the backer leaves


@pytest.mark.parametrize(("pressure", "lane"), [("inside-cross", "inside RG"), (None, "inside F")])
def test_with_both_backers_gone_the_nickel_is_inside_the_guard_who_pulls_away(pressure, lane):
    """Common practice: behind a backer who is inside the puller he stays outside; without one he is that backer."""
    call = press_by_name(LIB.call("over-quarters"), pressure) if pressure else LIB.call("over-quarters")
    look = fits.derive_look(call, LIB.formation("20-split"), LIB.concept("power"), to=LEFT)
    assert look.lanes[look.defender("NB").lane].name == lane


def test_the_safety_who_comes_hands_over_his_man_and_keeps_the_edge():
    made, men = laid("under-cover-3", "safety-edge", "11-doubles")
    assert men["SS"].path and men["SS"].force and men["SS"].takes == ""
    assert men["S"].takes == "curl and flat" and men["M"].takes == "hook"
    assert "S takes SS's curl and flat." in made.replaced and "M takes S's hook." in made.replaced


def test_only_the_first_named_of_those_who_are_there_goes():
    _, men = laid("over-quarters", "field-edge", "10-doubles", hash_=Hash.LEFT)
    assert men["NB"].in_pressure and not men["W"].in_pressure and not men["SS"].in_pressure
    _, men = laid("over-quarters", "boundary-edge", "10-doubles", hash_=Hash.LEFT)
    assert men["W"].in_pressure and men["W"].side is LEFT and men["left E"].gap == "B"  # the end goes inside him


@pytest.mark.parametrize("flip", [False, True])
def test_a_mirrored_pressure_is_the_mirror(flip):
    for system, pressure in itertools.product(SYSTEMS, SIX):
        for hash_ in (Hash.LEFT, Hash.RIGHT):
            try:
                _, here = laid(system, pressure, "11-doubles", flip, hash_)
            except BadRequest:
                continue
            _, there = laid(system, pressure, "11-doubles", not flip, hash_.mirrored)
            other = {"left": "right", "right": "left"}
            for name, d in here.items():
                twin = there[" ".join(other.get(w, w) for w in name.split())]
                assert twin.to_x == pytest.approx(-d.to_x) and twin.takes == d.takes and twin.gap == d.gap


def broken(**change):
    """The odd system with one pressure of its own."""
    data = copy.deepcopy(LIB.systems["odd-three-safety"].as_dict())
    own = {"name": "own", "move": [{"who": "S", "when": "", "to": "edge"}], "replaces": []} | change
    data["pressure"] = [own]
    return data


def own_call(**change):
    system = fits.build_system(broken(**change), "x", LIB.schemes)
    return press(system.calls()["odd-three-safety"], system.pressures["own"])


PASS = {"of": "S", "duty": "pass", "by": "SS"}
FORCE = {"of": "S", "duty": "force", "by": "S"}


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({}, "S leaves his pass duty (flat)"),
        ({"replaces": [PASS]}, "S leaves the force"),
        (
            {"move": [{"who": "M", "when": "", "to": "A gap away"}]},
            "M leaves the right B gap",
        ),
        (
            {"replaces": [PASS | {"takes": "#3"}, FORCE]},
            "SS leaves his pass duty (#2)",
        ),
        ({"move": [{"who": "S", "when": "backed up", "to": "edge"}]}, "it sends nobody"),
    ],
)  # fmt: skip
def test_what_is_left_without_a_name_is_refused_in_one_line(change, told):
    with pytest.raises(BadRequest) as caught:
        align_call(own_call(**change), snap_offense(LIB.formation("11-doubles")).offense)
    assert told in str(caught.value) and "pressure 'own' over Odd, three safeties" in str(caught.value)
    assert "\n" not in str(caught.value)


def test_with_every_duty_named_it_is_not():
    made = align_call(own_call(replaces=[PASS, FORCE]), snap_offense(LIB.formation("11-doubles")).offense)
    assert {d.name: d.takes for d in made.men}["SS"] == "#2 and flat"


@pytest.mark.parametrize(
    ("change", "key"),
    [
        ({"move": []}, "move"),
        ({"move": [{"who": "Q", "when": "", "to": "edge"}]}, "who"),
        ({"move": [{"who": "S", "when": "", "to": "somewhere"}]}, "to"),
        ({"replaces": [{"of": "S", "duty": "tackle", "by": "SS"}]}, "duty"),
        ({"replaces": [{"of": "S", "duty": "pass", "by": "Q"}]}, "by"),
    ],
)
def test_a_bad_row_is_refused_with_its_key(change, key):
    with pytest.raises(FileError, match=rf"pressure 'own'.*{key}"):
        fits.build_system(broken(**change), "x", LIB.schemes)


def test_an_unknown_pressure_names_the_nearest():
    with pytest.raises(UnknownName, match="field-edge"):
        find_pressure(LIB.call("over-quarters"), "field-edje")


def test_files_without_pressures_still_load_and_stay_as_they_are():
    data = LIB.systems["over-quarters"].as_dict()
    data = {k: v for k, v in data.items() if k != "pressure"}
    again = fits.build_system(data, "x", LIB.schemes).as_dict()
    assert "pressure" not in again and again == data


@pytest.mark.parametrize("system", SYSTEMS)
def test_a_system_with_pressures_comes_back_from_its_file_shape(system):
    data = LIB.systems[system].as_dict()
    assert fits.build_system(data, "x", LIB.schemes).as_dict() == data


def test_the_command_line(capsys):
    look = ("over-quarters", "11-doubles", "inside-zone", "--to", "right", "--pressure")
    assert main(["derive", *look, "inside-cross"]) == 0
    assert "Inside cross" in capsys.readouterr().out
    assert main(["derive", *look, "nope"]) == 2
    assert capsys.readouterr().err.count("\n") == 1
    assert main(["list", "pressures"]) == 0
    out = capsys.readouterr().out
    assert all(name in out for name in SIX)


def test_the_force_who_comes_off_the_edge_is_outside_a_puller():
    pressure = find_pressure(LIB.call("over-quarters"), "field-edge")
    looks = [
        fits.derive_look(
            LIB.call("over-quarters"),
            LIB.formation("11-doubles"),
            LIB.concept("power"),
            to=RIGHT,
            hash=Hash.LEFT,
            pressure=p,
        )
        for p in (pressure, None)
    ]
    assert looks[0].pressure == "field-edge" and looks[1].pressure is None
    last = len(looks[0].lanes) - 1
    assert looks[0].defender("SS").lane == last and looks[0].defender("SS").sent and looks[0].defender("SS").path
    assert "no-force" not in [f.code for f in looks[0].findings]
    assert looks[0].replaced and not looks[1].replaced
    assert fits.look_json(looks[0])["defenders"] and not looks[1].defender("SS").path


def test_a_file_with_a_pressure_that_leaves_a_duty_is_refused(tmp_path, capsys):
    shipped = (Path(fits.__file__).parent / "library/systems/okie-two-gap.toml").read_text(encoding="utf-8")
    kept = 'replaces = [\n  { of = "SS", duty = "pass", by = "CB", say = "sink" },\n'
    assert shipped.count(kept) == 1
    path = tmp_path / "own.toml"
    path.write_text(shipped.replace(kept, "replaces = [\n"), encoding="utf-8")
    assert main(["check", str(path)]) == 2
    told = capsys.readouterr().err
    assert told.count("\n") == 1 and "pressure 'safety-edge'" in told and "SS leaves his pass duty" in told
