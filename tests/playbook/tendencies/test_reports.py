"""The reports: filters in the address, one table for all, files of every table, recent games, us and others."""

from __future__ import annotations

import csv
import io
import random
import re

import openpyxl
import pytest
from django.urls import reverse

from playbook import convert
from playbook.charts import queries as charts
from playbook.charts import words
from playbook.charts.plays import Aliases, read_plays
from playbook.charts.snaps import Snap
from playbook.models import Season, System, Week
from playbook.tendencies import queries, reports
from playbook.tendencies.counting import Share, count_plays
from playbook.tendencies.forms import TheirFilters
from playbook.tendencies.runs import hole_places
from playbook.tendencies.stats import FAR, pooled_p_value, telling_p_value, two_share_p_value
from tests.playbook.charts.made import season

HEADER = (
    "Game", "Qtr", "Time", "Dn", "Dist", "Yard Ln", "Hash", "Pers", "Off Form", "Strength", "Backfield", "Motion",
    "R/P", "Play", "Dir", "Hole", "Gain", "Score Diff", "Def Call",
)  # fmt: skip


def snaps(number: int = 300, seed: int = 3) -> list[list[str]]:
    """Snaps of five games, the last one against us, with everything charted."""
    dice = random.Random(seed)
    rows = []
    for place in range(number):
        game = place * 5 // number
        run = dice.random() < (0.2 if game == 0 else 0.7)
        down = dice.randint(1, 4)
        rows.append([
            f"Game {game + 1}", str(dice.randint(1, 4)), f"{dice.randint(0, 14)}:{dice.randint(0, 59):02}", str(down),
            "10" if down == 1 else str(dice.randint(1, 12)), str(dice.randint(-49, 49) or 50), dice.choice("LMR"),
            dice.choice(("10", "11", "12")), dice.choice(("Trey", "Trips", "Ace")), dice.choice(("L", "R")),
            dice.choice(("Left", "Right")), dice.choice(("", "Jet")),
            "R" if run else "P", dice.choice(("Power", "IZ")) if run else "Curl",
            dice.choice(("Lt", "Rt")) if run else "", str(dice.randint(1, 8)) if run else "", str(dice.randint(-3, 20)),
            str(dice.randint(-20, 20)), dice.choice(("Odd 3", "Bear")) if game == 4 else "",
        ])  # fmt: skip
    return rows


@pytest.fixture
def charted(read, opponent):
    """A chart of five games."""
    convert.load_library()
    read(snaps(), header=HEADER)
    words.save_words(
        opponent,
        {("formation", "trey"): "11-trey", ("concept", "power"): "power", ("concept", "iz"): "inside-zone"},
    )
    return opponent


def looked(opponent, **chosen):
    said = queries.words_said(opponent)
    form = TheirFilters(chosen, opponent=opponent, personnel=queries.their_personnels(opponent, said))
    return queries.look_at(opponent, form.filters, said)


FILTERS = (
        ({"situation": "down-3"}, lambda p: p.snap.down == 3),
        ({"situation": "3rd-7-99"}, lambda p: p.snap.down == 3 and p.snap.distance >= 7),
        ({"personnel": "12"}, lambda p: p.personnel == "12"),
        ({"zone": "80-94"}, lambda p: 80 <= p.snap.yard_line <= 94),
        ({"hash": "left"}, lambda p: p.snap.hash == "left"),
        ({"quarter": "2"}, lambda p: p.snap.quarter == 2),
        ({"minutes": "last"}, lambda p: p.snap.quarter in (2, 4) and p.snap.clock_s <= 120),
        ({"minutes": "rest"}, lambda p: p.snap.quarter not in (2, 4) or p.snap.clock_s > 120),
        ({"score": "behind"}, lambda p: p.snap.margin < -8),
        ({"score": "close"}, lambda p: -8 <= p.snap.margin <= 8),
        ({"against": "us"}, lambda p: p.snap.game == "Game 5"),
        ({"against": "others"}, lambda p: p.snap.game != "Game 5"),
        ({"game": "Game 2"}, lambda p: p.snap.game == "Game 2"),
        ({"situation": "down-1", "hash": "right", "score": "ahead"},
         lambda p: p.snap.down == 1 and p.snap.hash == "right" and p.snap.margin > 8),
)  # fmt: skip


def test_each_filter_counts_just_its_snaps(charted):
    every = looked(charted).plays
    assert len(every) == 300
    for chosen, passes in FILTERS:
        kept = [play.snap.line for play in looked(charted, **chosen).plays]
        assert kept == [play.snap.line for play in every if passes(play)], chosen
        assert 0 < len(kept) < 300


def test_what_is_chosen_stays_in_every_address(as_staff, charted):
    address = reverse("tendencies:opponent", args=[charted.pk])
    page = as_staff.get(address, {"situation": "down-3", "hash": "left", "zone": ""}).content.decode()
    assert "Down and distance: every 3rd down; Hash: Left" in page
    for name in ("personnel", "openers"):
        assert f'href="{reverse("tendencies:report", args=[charted.pk, name])}?situation=down-3&amp;hash=left"' in page
    assert (
        f'href="{reverse("tendencies:export", args=[charted.pk, "all", "xlsx"])}?situation=down-3&amp;hash=left"'
        in page
    )
    part = as_staff.get(address, {"hash": "left"}, headers={"HX-Request": "true"}).content.decode()
    assert part.startswith('<div id="tendencies"')


def test_a_filter_that_is_none_is_said_and_leaves_nothing_out(as_staff, charted):
    page = as_staff.get(reverse("tendencies:report", args=[charted.pk, "hash"]), {"hash": "upstairs"}).content.decode()
    assert "upstairs is not one of the available choices" in page
    assert sum(int(n) for n in re.findall(r'data-label="Plays">.*?<span class="of">(\d+) of 300', page)) == 300


def test_every_report_is_a_page_and_two_files_with_the_same_numbers(as_staff, charted):
    every = looked(charted)
    for report in reports.REPORTS:
        _check_report(as_staff, charted, report.name, every)


def _check_report(as_staff, charted, name, every):
    page = as_staff.get(reverse("tendencies:report", args=[charted.pk, name])).content.decode()
    assert "Nothing to count" not in page
    answer = as_staff.get(reverse("tendencies:export", args=[charted.pk, name, "csv"]))
    rows = list(csv.reader(io.StringIO(b"".join(answer.streaming_content).decode("utf-8-sig"))))
    book = as_staff.get(reverse("tendencies:export", args=[charted.pk, name, "xlsx"])).content
    sheet = openpyxl.load_workbook(io.BytesIO(book)).worksheets[0]
    cells = [[("" if cell is None else str(cell)) for cell in row] for row in sheet.iter_rows(values_only=True)]
    for number, row in enumerate(cells):
        assert [_plain(cell) for cell in row if cell] == [_plain(cell) for cell in rows[number] if cell]
    table = reports.tables_of(name, every.plays, every.known)[0]
    for row in table.rows:
        share = next(value for value in row.values if isinstance(value, Share))
        assert f"{share.hits} of {share.n}" in page
        assert any(row.label in line and str(share.hits) in line for line in rows)


def _plain(cell: str) -> str:
    return cell.removesuffix(".0")


def test_all_reports_come_in_one_workbook(as_staff, charted):
    book = as_staff.get(reverse("tendencies:export", args=[charted.pk, "all", "xlsx"]), {"hash": "left"}).content
    sheets = openpyxl.load_workbook(io.BytesIO(book)).sheetnames
    assert {"Openers", "Explosive plays", "Against us and others", "Formations and runs"} <= set(sheets)
    assert as_staff.get(reverse("tendencies:export", args=[charted.pk, "all", "csv"])).status_code == 404
    assert as_staff.get(reverse("tendencies:export", args=[charted.pk, "nothing", "csv"])).status_code == 404
    assert as_staff.get(reverse("tendencies:report", args=[charted.pk, "nothing"])).status_code == 404


def test_no_cell_of_a_file_is_a_live_formula(as_staff, read, opponent):
    rows = snaps(60)
    for row in rows:
        row[8] = "=1+1"
    read(rows, header=HEADER)
    answer = as_staff.get(reverse("tendencies:export", args=[opponent.pk, "formation", "csv"]))
    assert "\n'=1+1" in b"".join(answer.streaming_content).decode().replace("\r", "")


def test_the_openers_are_the_first_fifteen_of_each_game(charted):
    every = looked(charted)
    table = reports.make_table(reports.BY_REPORT["openers"], every.plays, every.known)
    counts = {row.label: row.values[0].hits for row in table.rows if row.section.startswith("The first")}
    assert counts == {
        "all of them": 75, "snaps 1 to 5": 25, "snaps 6 to 10": 25, "snaps 11 to 15": 25, "after them": 225,
    }  # fmt: skip
    third = looked(charted, situation="down-3")
    listed = reports.opening_table(third.plays, third.known)
    first = {line for game in range(5) for line in range(2 + 60 * game, 17 + 60 * game)}
    assert len(listed.rows) == sum(play.snap.line in first for play in third.plays), "filters do not move them"


def test_recent_games_weigh_more_and_it_is_said(as_staff, charted):
    plain, weighed = looked(charted), looked(charted, recent="2")
    plays = weighed.plays
    for play in plays:
        since = 5 - int(play.snap.game.split()[1])
        assert play.weight == pytest.approx(0.5 ** (since / 2))
    tally, same = count_plays("", plays), count_plays("", plain.plays)
    by_hand = sum(p.weight for p in plays if p.run) / sum(p.weight for p in plays)
    assert tally.run.value == pytest.approx(by_hand)
    assert (tally.run.hits, tally.run.n) == (same.run.hits, same.run.n), "counts are of whole snaps"
    assert tally.run.value > same.run.value, "the first game was nearly all passes"
    wide = tally.run.interval.high - tally.run.interval.low
    assert wide > same.run.interval.high - same.run.interval.low, "weighted snaps stand for fewer"
    page = as_staff.get(reverse("tendencies:opponent", args=[charted.pk]), {"recent": "2"}).content.decode()
    assert "a snap counts half as much after 2 newer games" in page
    answer = as_staff.get(reverse("tendencies:export", args=[charted.pk, "hash", "csv"]), {"recent": "2"})
    assert "half as much after 2 newer games" in b"".join(answer.streaming_content).decode()


def test_against_us_and_against_others(charted):
    every = looked(charted)
    table = reports.make_table(reports.BY_REPORT["against"], every.plays, every.known)
    assert {row.label: row.values[0].hits for row in table.rows} == {"against us": 60, "against others": 240}
    assert len(charts.games_in_order(words.counted_snaps(charted))) == 5


def test_the_direction_to_the_tight_end_goes_by_our_drawing():
    snap = Snap(play_type="run", formation="Trey", strength="left", direction="left", concept="Power")
    aliases = Aliases(ends={"Trey": "strong", "Nub": "weak"})
    plays = read_plays([snap._replace(formation=name) for name in ("Trey", "Nub", "X")], aliases)
    assert [play.to_end for play in plays] == ["to end", "away from end", ""]


def test_formations_into_the_boundary(charted):
    every = looked(charted)
    table = reports.make_table(reports.BY_REPORT["boundary"], every.plays, every.known)
    into = sum(p.snap.strength == p.snap.hash for p in every.plays if p.snap.hash in ("left", "right"))
    assert {row.label: row.values[0].hits for row in table.rows}["strength into the boundary"] == into


def test_the_top_runs_are_drawn_with_where_they_hit(as_staff, charted):
    page = as_staff.get(reverse("tendencies:report", args=[charted.pk, "top-runs"])).content.decode()
    assert page.count('<ul class="top-runs">') == 1
    drawn = page[page.index('<ul class="top-runs">') : page.index("Drawn strong to the right")]
    runs = [play for play in looked(charted).plays if play.run and play.formation == "Trey"]
    assert f"Trey, {len(runs)} runs: " in drawn
    assert ("<svg" in drawn and " %</tspan>" in drawn) or " %</text>" in drawn


def test_the_holes_stand_where_the_line_has_them():
    places = hole_places(convert.fits.load_library().formations["11-trey"])
    right = [places[f"right {gap}"] for gap in "ABCD"]
    left = [places[f"left {gap}"] for gap in "ABCD"]
    assert right == sorted(right) and left == sorted(left, reverse=True)
    assert right[2] < 4.8 < right[3], "C is inside the tight end, D outside of him"


def test_our_own_calls_have_the_same_reports(as_staff, charted):
    page = as_staff.get(reverse("tendencies:own")).content.decode()
    assert "Bear" in page
    page = as_staff.get(reverse("tendencies:own-report", args=["down-distance"]), {"quarter": "1"}).content.decode()
    assert "Our calls" in page
    assert "Quarter: 1" in page
    answer = as_staff.get(reverse("tendencies:own-export", args=["down-distance", "csv"]))
    rows = list(csv.reader(io.StringIO(b"".join(answer.streaming_content).decode("utf-8-sig"))))
    assert sum(int(row[2]) for row in rows[2:]) == 60
    assert as_staff.get(reverse("tendencies:own-export", args=["all", "xlsx"])).status_code == 200
    assert as_staff.get(reverse("tendencies:own"), {"opponent": charted.pk, "hash": "left"}).status_code == 200


def test_the_players_sheet_is_there_only_with_a_released_week(client, as_staff, charted, player):
    page = as_staff.get(reverse("tendencies:sheet", args=[charted.pk])).content.decode()
    assert "Third and long" in page and "Counted from 300 snaps" in page
    made = Season.objects.create(year=2031)
    week = Week.objects.create(
        season=made, number=3, opponent=charted, system=System.objects.get(name="odd-three-safety")
    )
    client.force_login(player)
    address = reverse("player:scouting", args=[week.pk])
    assert client.get(address).status_code == 404
    assert client.get(reverse("tendencies:sheet", args=[charted.pk])).status_code in (403, 404)
    Week.objects.filter(pk=week.pk).update(released=True)
    page = client.get(address).content.decode()
    assert "Third and long" in page
    assert "power" not in re.sub(r"<[^>]+>", "", page), "no identifier, only labels"


def test_the_quick_test_keeps_every_tell_that_the_exact_one_has():
    """Wherever the pooled test is far from telling, Fisher's exact one is too: all tables up to 24 and 18 answers."""
    for n, other in ((8, 8), (8, 18), (12, 15), (24, 18)):
        for hits in range(n + 1):
            for other_hits in range(other + 1):
                exact = two_share_p_value(hits, n, other_hits, other)
                if pooled_p_value(hits, n, other_hits, other) >= FAR:
                    assert exact > 0.05
                else:
                    assert telling_p_value(hits, n, other_hits, other) == exact


def test_a_long_season_is_counted_in_under_a_second(as_staff, read, opponent):
    """25,000 snaps take a good half second on a quiet machine; four are for a busy one."""
    import time

    read(season(2_000))
    start = time.monotonic()
    as_staff.get(reverse("tendencies:report", args=[opponent.pk, "down-distance"]))
    assert time.monotonic() - start < 4
