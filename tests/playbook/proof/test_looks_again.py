"""Bringing a week's looks in again and again: what was charted decides which look a run belongs to."""

from __future__ import annotations

import pytest
from django.urls import reverse

from playbook import convert
from playbook.charts import words
from playbook.models import Concept, ExpectedLook, Formation, Opponent, Season, System, Week
from playbook.proof import expected as looks
from playbook.proof import weighing as proof
from playbook.proof.expecting import LookKey
from tests.playbook.charts.made import HEADER, season

TRIPS, POWER = "11-trips", "power"
DIRECTION = HEADER.index("Dir")
MEANINGS = {("formation", "trips"): TRIPS, ("concept", "power"): POWER}


def run(direction: str, times: int) -> list[list[str]]:
    """Runs of one concept from one formation, charted to that side."""
    row = list(season(1)[0])
    for column, cell in (("Off Form", "Trips Rt"), ("R/P", "R"), ("Play", "Power"), ("Result", "Rush"), ("Gain", "4"),
                         ("Backfield", "Left"), ("Motion", "")):  # fmt: skip
        row[HEADER.index(column)] = cell
    row[DIRECTION] = direction
    return [list(row) for _ in range(times)]


@pytest.fixture
def week(opponent):
    """A week against the opponent with a shipped system."""
    made = Season.objects.create(year=2031)
    system = System.objects.get(name="odd-three-safety")
    return Week.objects.create(season=made, number=3, opponent=opponent, system=system)


@pytest.fixture
def charted(week, read, opponent):
    """Runs to the strength, away from it, to the middle, and some that nobody charted a side for."""
    read([*run("Rt", 6), *run("Lt", 3), *run("Middle", 4), *run("", 5)])
    words.save_words(opponent, MEANINGS)
    return week


def lines(week) -> dict[str, looks.Line]:
    return {line.expected.key.to: line for line in looks.count_week(week).lines}


def trips_power() -> dict[str, object]:
    return {
        "formation": Formation.objects.get(name=TRIPS, opponent=None),
        "concept": Concept.objects.get(name=POWER, opponent=None),
    }


def test_each_charted_side_is_a_look_of_its_own_and_the_middle_is_one(charted):
    found = {to: line.expected.count for to, line in lines(charted).items()}
    assert found == {"right": 6, "left": 3, "middle": 4, "": 5}


def test_taking_the_looks_twice_is_the_same_as_once(charted):
    assert looks.take_looks(charted) == (4, 0)
    before = list(charted.expected_looks.values())
    assert looks.take_looks(charted) == (0, 0)
    assert list(charted.expected_looks.values()) == before
    assert charted.expected_looks.filter(middle=True).count() == 1


@pytest.mark.parametrize("to", ["right", "left", "middle", ""])
def test_adding_a_look_that_is_there_keeps_the_one(charted, as_staff, to):
    looks.take_looks(charted)
    line = lines(charted)[to]
    address = reverse("proof:mark", args=[charted.pk])
    for mark in ("add", "pin", "add", "unpin"):
        assert as_staff.post(address, {"look": line.name, "mark": mark}).status_code == 303
    assert charted.expected_looks.count() == 4


@pytest.mark.parametrize("to", ["right", "left", "middle", ""])
def test_each_look_goes_out_and_comes_back_by_itself(charted, to):
    looks.take_looks(charted)
    name = lines(charted)[to].name
    looks.drop_look(charted, name)
    assert looks.take_looks(charted)[0] == 0
    assert set(lines(charted)) == {"right", "left", "middle", ""} - {to}
    (gone,) = looks.count_week(charted).dropped
    assert gone.name == name
    looks.bring_back(charted, name)
    looks.take_looks(charted)
    assert charted.expected_looks.count() == 4


def test_adding_counts_the_share_again(charted, read):
    looks.take_looks(charted)
    before = lines(charted)["middle"]
    read([*run("Middle", 9)], name="second.csv", again=True)
    row = looks.add_look(charted, before.name)
    assert row.pk == before.row.pk
    assert row.share == pytest.approx(lines(charted)["middle"].expected.share)
    assert row.share > before.row.share


def test_a_look_added_by_hand_without_a_side_is_never_brought_in_twice(charted):
    mine = ExpectedLook.objects.create(week=charted, order=0, **trips_power())
    assert looks.take_looks(charted) == (3, 1)
    assert lines(charted)[""].row == mine
    assert looks.take_looks(charted) == (0, 0)


def test_without_such_runs_it_stands_for_the_side_the_concept_goes_to(week, read, opponent):
    mine = ExpectedLook.objects.create(week=week, order=0, **trips_power())
    read([*run("Rt", 6), *run("Lt", 3)])
    words.save_words(opponent, MEANINGS)
    own = looks.own_side(mine)
    assert own in ("left", "right")
    assert lines(week)[own].row == mine
    assert looks.take_looks(week) == (1, 1)
    assert looks.take_looks(week) == (0, 0)


def test_a_flipped_look_counts_as_its_mirror(charted):
    ExpectedLook.objects.create(week=charted, order=0, to="left", flip=True, **trips_power())
    assert lines(charted)["right"].row is not None
    assert lines(charted)["left"].row is None
    looks.take_looks(charted)
    assert looks.take_looks(charted) == (0, 0)


def test_a_look_of_another_opponent_that_stayed_in_the_week_can_be_dropped(charted):
    other = Opponent.objects.create(name="Vellmark")
    data = convert.formation_dict(trips_power()["formation"]) | {"name": "their-own"}
    made_of = trips_power() | {"formation": convert.write_formation(data, other)}
    row = ExpectedLook.objects.create(week=charted, order=0, to="right", **made_of)
    line = next(line for line in looks.count_week(charted).lines if line.row == row)
    looks.add_look(charted, line.name)
    looks.drop_look(charted, line.name)
    assert not charted.expected_looks.filter(pk=row.pk).exists()


def test_names_with_any_letters_can_be_marked(charted, as_staff, opponent):
    """The address of a look is made of no names, so no letter in one can break it."""
    name = 'Trips | "Rip" <b>/..\n\\'
    convert.write_formation(convert.formation_dict(trips_power()["formation"]) | {"name": "theirs"}, opponent)
    Formation.objects.filter(name="theirs").update(name=name)
    Formation.objects.filter(opponent=None, name=TRIPS).update(name="elsewhere")
    words.save_words(opponent, {("formation", "trips"): name})
    for name in [line.name for line in looks.count_week(charted).lines]:
        for mark in ("add", "drop", "bring-back", "pin"):
            answer = as_staff.post(reverse("proof:mark", args=[charted.pk]), {"look": name, "mark": mark})
            assert answer.status_code == 303, mark
    assert charted.expected_looks.count() == 4


def test_runs_on_the_goal_line_come_and_go_by_themselves(charted, read):
    goal = run("Rt", 3)
    for row in goal:
        row[HEADER.index("Yard Ln")] = "+3"
    read(goal, name="goal.csv")
    assert looks.take_looks(charted)[0] == 5
    assert looks.take_looks(charted) == (0, 0)
    (row,) = charted.expected_looks.filter(zone="goal line")
    (line,) = [line for line in looks.count_week(charted).lines if line.expected.key.zone]
    assert (line.row, line.expected.count) == (row, 3)
    assert str(row).endswith(", goal line")
    looks.drop_look(charted, line.name)
    assert charted.expected_looks.filter(to="right").count() == 1, "the same run elsewhere stays"
    assert looks.take_looks(charted)[0] == 0
    looks.bring_back(charted, line.name)
    assert looks.take_looks(charted)[0] == 1


def test_the_page_says_middle(charted, as_staff):
    page = as_staff.get(reverse("proof:looks", args=[charted.pk])).content.decode()
    assert page.count("to the middle") == 1
    assert page.count("direction not charted") == 1


def test_a_situation_weighs_each_charted_side_by_its_own_runs(charted):
    looks.take_looks(charted)
    rows = [look.row for look in proof.weigh_looks(charted)]
    keys = looks.row_keys(rows, looks.charted_keys(looks.week_plays(charted)))
    assert {key.to for key in keys} == {"right", "left", "middle", ""}
    assert LookKey(TRIPS, POWER, "middle") in keys
