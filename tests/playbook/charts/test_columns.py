"""Which header is which column."""

from __future__ import annotations

import pytest

from playbook.charts.columns import COLUMNS, guess_columns, plain_header
from tests.playbook.charts.made import HEADER, season


def test_the_usual_headers_in_any_order():
    rows = season(50)
    order = list(range(len(HEADER)))[::-1]
    found = guess_columns([HEADER[i] for i in order], [[row[i] for i in order] for row in rows])
    assert found == {
        "quarter": "Qtr", "clock": "Time", "down": "Dn", "distance": "Dist", "yard_line": "Yard Ln", "hash": "Hash",
        "personnel": "Pers", "formation": "Off Form", "backfield": "Backfield", "motion": "Motion", "play_type": "R/P",
        "concept": "Play", "direction": "Dir", "gain": "Gain", "result": "Result", "our_call": "Def Call",
    }  # fmt: skip


@pytest.mark.parametrize("column", COLUMNS, ids=lambda column: column.name)
def test_every_usual_heading_is_told_without_samples(column):
    for heading in column.headers:
        for spelled in (heading, heading.upper(), heading.title().replace(" ", "_"), f" {heading}. "):
            assert guess_columns([spelled], []) == {column.name: spelled}


@pytest.mark.parametrize(
    ("header", "cells", "column"),
    [
        ("Offensive Formation (tag)", ["Trips"], "formation"),
        ("PlayType", ["Run", "Pass"], "play_type"),
        ("D&D", ["1 & 10", "3rd & G"], "down_distance"),
        ("Formations", ["Ace"], "formation"),
        ("Yds Gained On Play", ["3", "-2"], "gain"),
        ("kind", ["R", "P", "R", "R", "P"], "play_type"),
        ("who", ["11p", "12p", "11p", "21p", "11p"], "personnel"),
        ("spot", ["-35", "20"], "yard_line"),
    ],
)
def test_headers_of_other_shapes(header, cells, column):
    assert guess_columns([header], [[cell] for cell in cells]) == {column: header}


@pytest.mark.parametrize(
    ("header", "cells"),
    [("Play #", ["1", "2", "3"]), ("Play", ["1", "2", "3"]), ("Hash", ["fast", "slow"]), ("Weather", ["rain"])],
)
def test_a_header_that_its_cells_contradict_is_left_alone(header, cells):
    assert guess_columns([header], [[cell] for cell in cells]) == {}


def test_separate_down_and_distance_go_before_one_column():
    rows = [["1", "10", "1 & 10"]]
    assert guess_columns(["Down", "Dist", "D&D"], rows) == {"down": "Down", "distance": "Dist"}


def test_what_was_chosen_before_goes_before_any_guess():
    rows = season(20)
    found = guess_columns(HEADER, rows, {"play": "", "result": "concept"})
    assert found["concept"] == "Result"
    assert "Play" not in found.values()


def test_a_plain_header_forgets_case_and_marks():
    assert plain_header("YARD-LINE") == plain_header("yard line") == plain_header(" Yard_Line: ") == "yard line"


DESCRIPTION = "(9:05) The back goes left end to the 35 for 4 yards"


def test_an_open_files_headers_are_told_by_what_they_hold():
    """Headers of public play-by-play tables, cells invented."""
    table = {
        "gameId": "2031090500", "playDescription": DESCRIPTION, "quarter": "1", "down": "1", "yardsToGo": "10",
        "posteam": "QVL", "defteam": "TRN", "side_of_field": "QVL", "yardline": "35",
        "offenseFormation": "SHOTGUN", "personnel.offense": "1 RB, 1 TE, 3 WR",
        "personnel.defense": "4 DL, 2 LB, 5 DB", "YardsAfterCatch": "3", "airYards": "2", "yards_gained": "4",
        "play_type": "run", "penaltyYards": "0", "run_location": "left",
    }  # fmt: skip
    found = guess_columns(list(table), [list(table.values())] * 8)
    assert found == {
        "offense": "posteam", "down": "down", "distance": "yardsToGo", "yard_line": "yardline",
        "half": "side_of_field", "quarter": "quarter", "personnel": "personnel.offense",
        "formation": "offenseFormation", "play_type": "play_type", "direction": "run_location",
        "gain": "yards_gained", "game": "gameId",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("header", "cell"),
    [
        ("playDescription", DESCRIPTION),
        ("Play", DESCRIPTION),
        ("personnel.defense", "4 DL, 2 LB, 5 DB"),
        ("Defense", "4 DL, 2 LB, 5 DB"),
        ("YardsAfterCatch", "3"),
        ("Defensive Formation", "Odd"),
    ],
)
def test_a_header_or_its_cells_can_say_that_it_is_something_else(header, cell):
    found = guess_columns([header], [[cell]] * 6)
    assert not set(found) & {"concept", "gain", "formation", "personnel"}
    assert "our_call" not in found or cell == "Odd"


def test_who_has_the_ball_and_the_units_are_told():
    rows = [["O", "QVL"], ["D", "TRN"], ["K", "QVL"]] * 4
    assert guess_columns(["mark", "Possession"], rows) == {"unit": "mark", "offense": "Possession"}
