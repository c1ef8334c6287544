"""Alignment, keys, pass duties and force are settled before the snap: they may not ask for the play."""

import pytest

import fits
from fits.defense.system import free_rule_id

LIB = fits.load_library()


@pytest.mark.parametrize(("part", "rules", "row"), [
    ("front", "align", {"who": "N", "when": "run to my side", "at": "0"}),
    ("front", "keys", {"who": "N", "when": "not key steps in", "reads": "centre"}),
    ("coverage", "takes", {"who": "MS", "when": "tight end on my side and run away", "takes": "#2"}),
    ("coverage", "force", {"who": "MS", "when": "I am the force"}),
])  # fmt: skip
def test_a_rule_of_the_line_up_that_asks_for_the_play_is_refused(part, rules, row):
    data = LIB.systems["odd-three-safety"].as_dict()
    data[part][0][rules] = [row, *data[part][0][rules]]
    with pytest.raises(fits.FileError, match=f"{rules}\\[0\\].when: expected what can be seen before the snap"):
        fits.build_system(data, "own.toml", schemes=LIB.schemes)
    data[part][0][rules][0] = row | {"when": "tight end on my side"}
    fits.build_system(data, "own.toml", schemes=LIB.schemes)


def test_a_rule_id_stands_for_one_rule_in_the_whole_system():
    data = LIB.systems["odd-three-safety"].as_dict()
    first, again = data["front"][0]["fits"][0]["id"], data["coverage"][0]["fits"][0]
    again["id"] = first
    with pytest.raises(fits.FileError) as refused:
        fits.build_system(data, "own.toml", schemes=LIB.schemes)
    part = data["coverage"][0]["name"]
    assert f"coverage {part!r}.fits[0].id" in str(refused.value) and f"got {first!r}" in str(refused.value)
    again["id"] = str(refused.value).split("; '")[1].split("'")[0]  # what it says is free
    fits.build_system(data, "own.toml", schemes=LIB.schemes)


def test_a_free_id_is_short_enough_and_never_taken():
    taken = {"x" * 60}
    for part in ("Over", "O" * 60, "Über 3", "--"):
        for _ in range(12):
            found = free_rule_id("x" * 60, part, taken)
            assert found not in taken and len(found) <= 60
            taken.add(found)


def test_the_fired_rule_says_whose_it_is():
    look = fits.derive_look(LIB.call("odd-three-safety"), LIB.formation("11-doubles"), LIB.concept("power"))
    call = LIB.call("odd-three-safety")
    for d in look.defenders:
        part = call.front if d.rule.part == "front" else call.coverage
        assert d.rule.role == d.role and any(rule is d.rule.rule for rule in part.fits)
