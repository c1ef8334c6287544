"""Rows as snaps: every row is taken or listed with its line and the reason."""

from __future__ import annotations

from datetime import time, timedelta

import pytest

from playbook.charts.columns import guess_columns
from playbook.charts.errors import ChartError
from playbook.charts.reading import open_chart
from playbook.charts.snaps import Aside, ColumnMap, Refused, Snap, read_snaps
from playbook.charts.values import YardStyle
from tests.playbook.charts.made import season, write_csv, write_xlsx

SHORT = ("Dn", "Dist", "Yard", "Type", "Form", "Back", "Motion", "Play", "Dir", "Gain", "Res")
HEADERS = dict(
    zip(
        (
            "down",
            "distance",
            "yard_line",
            "play_type",
            "formation",
            "backfield",
            "motion",
            "concept",
            "direction",
            "gain",
            "result",
        ),
        SHORT,
        strict=True,
    )
)


def read(tmp_path, *rows, headers=HEADERS, style=YardStyle.SIGNED):
    chart = open_chart(write_csv(tmp_path / "c.csv", [row.split("|") for row in rows], header=SHORT))
    return list(read_snaps(chart, ColumnMap(headers, style)))


def test_a_row_is_read_whole(tmp_path):
    (snap,) = read(tmp_path, "3|G|+4|Run|Trips Rt|Gun weak|Jet|Power|L|4|TD")
    assert snap == Snap(
        line=2,
        down=3,
        distance=4,
        yard_line=96,
        formation="Trips",
        strength="right",
        backfield="Gun weak",
        back="weak",
        motion="Jet",
        play_type="run",
        concept="Power",
        direction="left",
        gain=4,
        result="TD",
    )


def test_an_empty_motion_means_none_but_an_unmapped_one_is_not_charted(tmp_path):
    row = "1|10|-20|R|Ace|I||Iso|R|3|Rush"
    assert read(tmp_path, row)[0].motion == ""
    without = {column: header for column, header in HEADERS.items() if column != "motion"}
    assert read(tmp_path, row, headers=without)[0].motion is None


def test_every_unreadable_cell_of_a_row_is_left_blank_and_named(tmp_path):
    snap, listed = read(tmp_path, "9|10|-20|R|Ace|I||Iso|R|three|Rush")
    assert (snap.down, snap.gain) == (None, None)
    assert (snap.distance, snap.formation, snap.concept, snap.direction) == (10, "Ace", "Iso", "right")
    assert (snap.line, listed.line, listed.taken) == (2, 2, True)
    assert "Dn: expected a down from 1 to 4, got “9”" in listed.reason
    assert "Gain: expected yards" in listed.reason
    assert listed.counted


def test_a_row_is_refused_only_where_nothing_tells_what_was_run(tmp_path):
    (refused,) = read(tmp_path, "1|10|-20|north||I|||R|3|")
    assert not refused.taken
    assert "Type: expected run or pass" in refused.reason
    assert "nothing to count" in refused.reason


@pytest.mark.parametrize("row", ["0||35|KO|||||||", "4|5|-40|Punt|||||||", "1|10|-20|Penalty|||||||Offside"])
def test_kicks_and_penalties_are_listed_as_not_counted(tmp_path, row):
    (refused,) = read(tmp_path, row)
    assert not refused.counted
    assert "not counted" in refused.reason


def test_the_result_tells_run_or_pass_when_nothing_else_does(tmp_path):
    snaps = read(
        tmp_path, "1|10|-20|RPO|Ace|I||Glance|R|9|Complete", "1|10|-20|RPO|Ace|I||IZ|R|3|", "1|10|-20||Ace|I|||R|3|Sack"
    )
    assert [snap.play_type for snap in snaps] == ["pass", "run", "pass"]


def test_a_pass_written_where_the_run_concept_stands_is_a_pass(tmp_path):
    snaps = read(tmp_path, "1|10|-20||Ace|I||Pass|R|9|", "1|10|-20||Ace|I||Power|R|3|", "1|10|-20|Run|Ace|I||Boot|R|3|")
    assert [snap.play_type for snap in snaps] == ["pass", "", "run"]


def test_a_row_with_nothing_to_count_is_listed(tmp_path):
    (refused,) = read(tmp_path, "1|10|-20||||||||")
    assert "nothing to count" in refused.reason


def test_taken_and_listed_make_all_rows(tmp_path):
    rows = season(300)
    for number in range(0, 300, 10):
        rows[number][2] = "seven"
    chart = open_chart(write_csv(tmp_path / "c.csv", rows))
    items = list(read_snaps(chart, ColumnMap(guess_columns(chart.headers, [row.cells for row in chart.rows()][:50]))))
    assert sum(isinstance(item, Snap) for item in items) == 300
    listed = [item for item in items if isinstance(item, Refused)]
    assert [item.line for item in listed] == [number + 2 for number in range(0, 300, 10)]
    assert all(item.taken for item in listed)


@pytest.mark.parametrize(
    ("headers", "said"),
    [
        ({"down": "Dn", "play_type": "Nope"}, "no header “Nope”"),
        ({"down": "Dn", "concept": "Dn"}, "used for two columns"),
        ({"down": "Dn"}, "nothing could be counted"),
        ({"weather": "Dn"}, "is not a column"),
    ],
)
def test_a_mapping_that_does_not_fit_is_refused(tmp_path, headers, said):
    with pytest.raises(ChartError, match=said):
        read(tmp_path, "1|10|-20|R|Ace|I||Iso|R|3|Rush", headers=headers)


# --- whose rows, whose half ---------------------------

MARKED = ("ODK", "Offense", "Side", "Yard", "Time", "Form", "Type", "Play")
MARKED_COLUMNS = dict(
    zip(("unit", "offense", "half", "yard_line", "clock", "formation", "play_type", "concept"), MARKED, strict=True)
)


def read_marked(tmp_path, *rows, theirs):
    chart = open_chart(write_csv(tmp_path / "m.csv", [row.split("|") for row in rows], header=MARKED))
    return list(read_snaps(chart, ColumnMap(MARKED_COLUMNS, YardStyle.UNTOLD, theirs=theirs)))


def test_rows_of_others_are_put_aside(tmp_path):
    rows = ("O|QVL|QVL|35|9:05|Ace|R|Iso", "D|TRN|QVL|35|9:00|4-2|R|Iso", "K|QVL|||||KO|", "O|trn|TRN|20||Ace|R|Iso")
    items = read_marked(tmp_path, *rows, theirs={"unit": "O", "offense": "qvl"})
    assert [item.whose for item in items if isinstance(item, Aside)] == ["offense of TRN", "kicking", "offense of trn"]
    (snap,) = [item for item in items if isinstance(item, Snap)]
    assert (snap.line, snap.yard_line) == (2, 35)


def test_the_mark_of_our_own_charts_is_defense(tmp_path):
    rows = ("O|TRN||20||Ace|R|Iso", "D|QVL|TRN|20||Ace|R|Iso")
    items = read_marked(tmp_path, *rows, theirs={"unit": "D", "offense": "QVL"})
    assert [item.whose for item in items if isinstance(item, Aside)] == ["offense of TRN"]
    assert [item.yard_line for item in items if isinstance(item, Snap)] == [80]


def test_a_bare_yard_line_without_a_side_stays_blank(tmp_path):
    (snap,) = read_marked(tmp_path, "O|QVL||35||Ace|R|Iso", theirs={"unit": "O", "offense": "QVL"})
    assert snap.yard_line is None


def test_which_team_is_theirs_must_be_said(tmp_path):
    with pytest.raises(ChartError, match="say which of them is this opponent"):
        read_marked(tmp_path, "O|QVL||35||Ace|R|Iso", theirs={})


@pytest.mark.parametrize(("hash_", "side"), [("L", "right"), ("R", "left"), ("M", "")])
def test_a_strength_to_the_field_is_the_wide_side(tmp_path, hash_, side):
    header = ("Hash", "Strength", "Form", "Type")
    chart = open_chart(write_csv(tmp_path / "f.csv", [[hash_, "Field", "Ace", "R"]], header=header))
    columns = dict(zip(("hash", "strength", "formation", "play_type"), header, strict=True))
    (snap,) = read_snaps(chart, ColumnMap(columns))
    assert snap.strength == side


def test_a_mended_row_is_read_in_place_of_the_files(tmp_path):
    row = ["9", "10", "-20", "R", "Ace", "I", "", "Iso", "R", "3", "Rush"]
    chart = open_chart(write_csv(tmp_path / "c.csv", [row], header=SHORT))
    (snap,) = read_snaps(chart, ColumnMap(HEADERS), {2: ["3", *row[1:]]})
    assert snap.down == 3


def test_a_workbooks_times_are_minutes_and_seconds(tmp_path):
    header = ("Time", "Form", "Type")
    rows = [[time(0, 14), "Ace", "R"], [time(9, 5), "Ace", "R"], [timedelta(hours=12, minutes=34), "Ace", "R"]]
    chart = open_chart(write_xlsx(tmp_path / "t.xlsx", rows, header=header))
    columns = dict(zip(("clock", "formation", "play_type"), header, strict=True))
    assert [snap.clock_s for snap in read_snaps(chart, ColumnMap(columns))] == [14, 545, 754]
