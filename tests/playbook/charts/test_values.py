"""Cells in every usual spelling, and the reason for those that cannot be read."""

from __future__ import annotations

import pytest

from playbook.charts import values
from playbook.charts.cells import csv_lines, plain_cell
from playbook.charts.columns import COLUMNS, guess_columns
from playbook.charts.errors import CellError
from playbook.charts.values import NotCounted, YardStyle, read_cell

READ = [
    ("down", "1 2nd 3RD fourth 2.0", [1, 2, 3, 4, 2]),
    ("distance", "10 G goal 7.0 inches 10+ 3yds 2.5 ½ 3½", [10, 0, 0, 7, 1, 10, 3, 3, 1, 4]),
    ("hash", "L left LH M Mid middle C R rt", ["left"] * 3 + ["middle"] * 4 + ["right"] * 2),
    ("hash", "ML LM MR RM", ["middle"] * 4),
    ("quarter", "1 Q2 3rd 4.0 OT 2OT", [1, 2, 3, None, 5, 6]),
    ("clock", "9:05 12:34:00 :34 0:07 905 15:00 9.05 9:05.3 0:14:00", [545, 754, 34, 7, 545, 900, 545, 545, 14]),
    ("clock", "00:12:34 0.378472222 9m05s 9'05 15:00:00", [754, 545, 545, 545, 900]),
    ("half", "own OPP + - minus theirs", ["own", "opp", "opp", None, "own", "opp"]),
    ("unit", "O def K Offense ST", ["O", "D", "K", "O", "K"]),
    ("yard_line", "-35 35 +20 50 own12 opp8 O20 −7", [35, 65, 80, 50, 12, 92, 20, 7]),
    ("play_type", "R Run rush P PASS pa sack RPO", ["run"] * 3 + ["pass"] * 4 + ["rpo"]),
    (
        "direction",
        "L rt Middle strong W F boundary",
        ["left", "right", "middle", "strong", "weak", "field", "boundary"],
    ),
    (
        "strength",
        "L RT balanced Rt. Liz Rip FIB field",
        ["left", "right", "balanced", "right", "left", "right", "boundary", "field"],
    ),
    ("hole", "0 1 2 8 9 C", ["middle", "left A", "right A", "right D", "left D", "C"]),
    ("gain", "4 -2 +7 (3) −1 12yds 3.0 3,0 3.5 -0.5", [4, -2, 7, -3, -1, 12, 3, 3, 3, 0]),
    ("direction", "IB Bound bnd", ["boundary"] * 3),
]


@pytest.mark.parametrize(("column", "cells", "expected"), READ, ids=[case[0] for case in READ])
def test_usual_spellings(column, cells, expected):
    for cell, value in zip(cells.split(), expected, strict=True):
        if value is not None:
            assert read_cell(column, cell) == value, cell


# Source of the table: backs, tight ends, the rest receivers; common practice, agreeing with published personnel tables.
@pytest.mark.parametrize(
    ("cell", "expected"),
    [
        ("11", "11"),
        ("11p", "11"),
        ("11 P", "11"),
        ("P11", "11"),
        ("11 personnel", "11"),
        ("11 Pers.", "11"),
        ("11.0", "11"),
        ("1 RB, 1 TE, 3 WR", "11"),
        ("1RB 1TE 3WR", "11"),
        ("1 rb; 2 te; 2 wr", "12"),
        ("2 backs, 1 tight end", "21"),
        ("1 RB / 0 TE / 4 WR", "10"),
        ("0 RB, 1 TE, 4 WR", "01"),
        ("2 RB 2 TE 1 WR", "22"),
        ("1 HB, 1 FB, 1 TE, 2 WR", "21"),
        ("6 OL, 1 RB, 2 TE, 1 WR", "13"),  # a sixth lineman counts as a tight end, as the engine reads it
        ("1/1", "11"),
        ("11 Posse", "11"),
        ("3 WR, 1 TE, 1 RB", "11"),
        ("1", "01"),
        ("0", "00"),
        ("Heavy", "Heavy"),
        ("13 (jumbo)", "13"),
    ],
)
def test_personnel(cell, expected):
    assert read_cell("personnel", cell) == expected


# Source: a published page that gives 21 one wide receiver; five men besides the line and quarterback make it two.
@pytest.mark.parametrize("cell", ["2 RB, 1 TE, 1 WR", "61", "44", "1 RB, 1 TE, 4 WR", "111", "11 or 12"])
def test_personnel_that_cannot_be(cell):
    with pytest.raises(CellError):
        read_cell("personnel", cell)


@pytest.mark.parametrize("column", [column.name for column in COLUMNS])
@pytest.mark.parametrize("cell", ["", " ", "-", "N/A", "null", "NULL", "nan", "?", "#N/A"])
def test_a_cell_that_says_nothing_reads_as_nothing(column, cell):
    assert read_cell(column, cell) is None


BAD = [
    ("down", ["5", "0", "1st & 10", "half"]),
    ("distance", ["0", "100", "-3", "ten"]),
    ("hash", ["7", "left right"]),
    ("yard_line", ["0", "-51", "own 60", "midfield-ish"]),
    ("quarter", ["0", "11", "half"]),
    ("clock", ["16:00", "5:75", "noon"]),
    ("personnel", ["99"]),
    ("play_type", ["run pass", "12"]),
    ("direction", ["north"]),
    ("hole", ["10", "Q"]),
    ("gain", ["3.25", "1000", "lots"]),
    ("down_distance", ["2024-03-10", "10", "1 & 200"]),
    ("concept", ["x" * 81]),
    ("strength", ["up"]),
]


@pytest.mark.parametrize(("column", "cells"), BAD, ids=[case[0] for case in BAD])
def test_what_cannot_be_read_says_what_was_expected_and_what_came(column, cells):
    for cell in cells:
        with pytest.raises(CellError, match=r"expected .*, got|counted"):
            read_cell(column, cell)


@pytest.mark.parametrize(
    "cell", ["KO", "Punt", "FG", "Extra Pt", "Extra Pt.", "PAT", "Penalty", "No Play", "Kneel", "2pt"]
)
def test_kicks_penalties_and_kneels_are_named(cell):
    with pytest.raises(NotCounted):
        read_cell("play_type", cell)


def test_bare_yard_lines_follow_the_style():
    assert values.read_yard_line("72", YardStyle.FROM_OWN_GOAL) == 72
    assert values.read_yard_line("72", YardStyle.TO_GOAL) == 28
    assert values.guess_yard_style(["-35", "20", "50"]) is YardStyle.SIGNED
    assert values.guess_yard_style(["35", "72", "20"]) is YardStyle.FROM_OWN_GOAL
    assert values.guess_yard_style(["35", "12", "20"]) is YardStyle.UNTOLD, "never silently the other half"
    assert values.guess_yard_style(["own 35", "20"]) is YardStyle.SIGNED
    assert values.guess_yard_style(["35"], "yardline_100") is YardStyle.TO_GOAL
    assert values.read_yard_line("35", YardStyle.UNTOLD) is None
    assert values.read_yard_line("-35", YardStyle.UNTOLD) == 35
    assert values.read_yard_line("QVL 35", team="Qvl") == 35
    assert values.read_yard_line("TRN 35", team="QVL") == 65
    assert values.read_yard_line("34.5") == 66
    with pytest.raises(CellError):
        values.read_yard_line("72")


@pytest.mark.parametrize("cell", ["=1+1", "+cmd", "-2+3", "@SUM(A1)", "\t=1", "\r=1", "  =1", "＝1"])
def test_no_text_leaves_as_a_live_formula(cell):
    assert str(plain_cell(cell)).startswith("'")


def test_numbers_and_words_leave_as_they_are():
    assert [plain_cell(value) for value in (-3, 2.5, "power", None, "")] == [-3, 2.5, "power", "", ""]


def test_an_exported_csv_is_disarmed_line_by_line():
    text = "".join(csv_lines(["Line", "=Reason"], [[2, "=HYPERLINK(1)"], [3, "half, a row"]]))
    assert text == "\ufeffLine,'=Reason\r\n2,'=HYPERLINK(1)\r\n3,\"half, a row\"\r\n"


@pytest.mark.parametrize(
    ("cell", "seconds"),
    [
        ("12:14:00 AM", 14),  # what a spreadsheet shows of 0:14
        ("9:05:00 AM", 545),
        ("2:30:00 PM", 870),
        ("1899-12-30 09:05:00", 545),
        ("1900-01-01 12:34:00", 754),
        ("0.0097222222", 14),
    ],
)
def test_clocks_that_a_spreadsheet_took_for_times_of_day(cell, seconds):
    assert read_cell("clock", cell) == seconds


def test_a_clock_column_with_real_seconds_has_hours_first():
    style = values.guess_clock_style(["00:14:00", "00:12:34"])
    assert style is values.ClockStyle.HOURS_FIRST
    assert values.read_clock("00:14:00", style) == 840
    assert values.guess_clock_style(["0:14:00", "9:05:00"]) is values.ClockStyle.MINUTES_FIRST


@pytest.mark.parametrize(
    ("one", "other"), [("Trips Rt", "TRIPS  RT"), ("I Z", "iz"), ("Y-Trips", "y trips"), ("IZ.", "IZ")]
)
def test_case_spaces_and_dashes_split_no_word(one, other):
    assert values.same_word(one, other)


def test_a_plus_and_a_number_do_split_words():
    assert not values.same_word("Trips+", "Trips")
    assert not values.same_word("36", "37")


@pytest.mark.parametrize(
    ("cell", "kind"), [("Draw", "run"), ("PT Draw/Option", "run"), ("Extra Pt.", None), ("Pass - Screen", "pass")]
)
def test_kinds_of_play_in_staffs_words(cell, kind):
    if kind is None:
        with pytest.raises(NotCounted):
            read_cell("play_type", cell)
    else:
        assert read_cell("play_type", cell) == kind


def test_the_score_is_read_as_points_ahead():
    header = ("Down", "Distance", "R/P", "posteam_score", "defteam_score")
    rows = [["1", "10", "R", "14", "17"], ["2", "4", "P", "", "7"]] * 3
    guessed = guess_columns(header, rows)
    assert guessed["points"] == "posteam_score" and guessed["points_against"] == "defteam_score"
    assert "our_call" not in guessed
