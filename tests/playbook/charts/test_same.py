"""A game that two charts have is found by its snaps and counted once, until the staff say otherwise."""

from __future__ import annotations

import random
import time

import pytest
from django.urls import reverse

from playbook.charts import queries, same
from playbook.charts import services as charts
from playbook.charts.snaps import Snap
from playbook.models import ChartedSnap, SameGame
from tests.playbook.charts.conftest import as_bytes
from tests.playbook.charts.made import HEADER, season

GAIN, KIND, FORM, CLOCK = (HEADER.index(name) for name in ("Gain", "R/P", "Off Form", "Time"))


def without(rows, *columns):
    """The rows and their header without these columns."""
    left = [number for number, name in enumerate(HEADER) if name not in columns]
    return [[row[number] for number in left] for row in rows], [HEADER[number] for number in left]


def changed(rows, share, seed=3):
    """The rows with some of their gains and formations charted otherwise."""
    dice = random.Random(seed)
    return [
        [*row[:FORM], "Other", *row[FORM + 1 : GAIN], "99", *row[GAIN + 1 :]] if dice.random() < share else list(row)
        for row in rows
    ]


@pytest.mark.parametrize("share", [0.0, 0.1, 0.2])
@pytest.mark.parametrize("clock", [True, False])
def test_the_same_game_in_another_file_with_rows_changed_counts_once(read, opponent, share, clock):
    rows = season(80)
    gone = () if clock else ("Time", "Qtr")
    first, header = without(rows, *gone)
    read(first, header=header)
    second, _ = without(changed(rows, share), *gone)
    again = read(second, name="by-hand.csv", header=header, delimiter=";")
    (pair,) = queries.same_games(opponent)
    assert pair.chart == again
    assert pair.shared >= 32
    assert len(queries.snaps_of(opponent)) == 80


def test_two_games_are_two_games(read, opponent):
    read(season(80))
    read(season(80, seed=8), name="next.csv")
    read(without(season(80, seed=9), "Time", "Qtr")[0], name="third.csv", header=without([], "Time", "Qtr")[1])
    assert not queries.same_games(opponent).exists()
    assert len(queries.snaps_of(opponent)) == 240


def test_a_game_inside_a_season_is_found_and_the_rest_counts(read, opponent):
    one, rest = season(60), season(120, seed=5)
    read(one)
    read([*rest[:50], *changed(one, 0.1), *rest[50:]], name="season.csv")
    assert queries.same_games(opponent).count() == 1
    assert 180 <= len(queries.snaps_of(opponent)) <= 186


def test_the_page_says_it_and_the_staff_decide(as_staff, read, opponent):
    first = read(season(60))
    second = read(changed(season(60), 0.1), name="copy.csv")
    page = as_staff.get(reverse("charts:opponent", args=[opponent.pk])).content.decode()
    assert "is also in" in page
    pair = SameGame.objects.get()
    address = reverse("charts:decide", args=[pair.pk])
    assert as_staff.post(address, {"version": pair.version, "decided": "both"}).status_code == 303
    assert len(queries.snaps_of(opponent)) == 120
    for sent, said in (({"version": pair.version, "decided": "once"}, "Somebody else has just decided"),
                       ({"version": 2, "decided": "x"}, "Nothing was changed")):  # fmt: skip
        as_staff.post(address, sent)
        assert said in as_staff.get(reverse("charts:opponent", args=[opponent.pk])).content.decode()

    charts.map_chart(second, second.version, second.mapping, second.yard_style)
    charts.read_chart(second.pk)
    assert SameGame.objects.get().decided == "both", "what was decided is kept when the file is read again"
    pair = SameGame.objects.get()
    as_staff.post(reverse("charts:decide", args=[pair.pk]), {"version": pair.version, "decided": "once"})
    assert len(queries.snaps_of(opponent)) == 60
    charts.count_chart(first, False)
    assert len(queries.snaps_of(opponent)) == 60, "the other copy counts where the first one does not"
    charts.count_chart(first, True)
    assert ChartedSnap.objects.filter(chart=second, repeated=True).count() == 60
    charts.delete_chart(first)
    assert not ChartedSnap.objects.filter(repeated=True).exists()


def test_words_and_counts_of_a_game_are_counted_once(as_staff, read, opponent):
    data = as_bytes(season(60))
    read(data)
    read(data, name="again.csv", again=True)
    assert queries.opponents().get(pk=opponent.pk).snap_count == 60
    page = as_staff.get(reverse("tendencies:opponent", args=[opponent.pk])).content.decode()
    assert "<dt>Plays</dt><dd>60</dd>" in page


def test_a_file_of_thousands_of_like_rows_is_compared_in_a_moment():
    """Only run or pass is charted: matching each row with each would take minutes."""
    old = [Snap(line=number + 2, play_type="run") for number in range(12_000)]
    new = [snap._replace(play_type="pass" if snap.line == 9_000 else "run") for snap in old]
    started = time.monotonic()
    changes = same.compare_snaps(old, new)
    assert time.monotonic() - started < 10
    assert [(change["line"], change["fields"]) for change in changes] == [(9_000, [["Run or pass", "run", "pass"]])]
