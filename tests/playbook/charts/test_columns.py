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
