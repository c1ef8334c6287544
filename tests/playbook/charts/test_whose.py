"""Files with rows that are not this opponent's offense: asked, put aside, counted on the page."""

from __future__ import annotations

from django.urls import reverse

from playbook.charts import queries
from playbook.charts import services as charts
from playbook.models import ChartState
from tests.playbook.charts.made import HEADER, season

TEAMS = ("TRN", "QVL", "SLM")


def league(rows=90):
    """A file of three teams' plays, each play with the team that has the ball."""
    return [[*row, TEAMS[number % 3]] for number, row in enumerate(season(rows))]


def test_a_file_of_many_teams_is_not_one_opponent(as_staff, read, opponent):
    chart = read(league(), header=(*HEADER, "Posteam"))
    assert chart.mapping["offense"] == "Posteam"
    assert chart.theirs == {"offense": "QVL"}, "told by the opponent's short name"
    assert (chart.taken, chart.aside) == (30, [["offense of TRN", 30], ["offense of SLM", 30]])
    assert len(queries.snaps_of(opponent)) == 30
    page = as_staff.get(reverse("charts:chart", args=[chart.pk])).content.decode()
    assert "<strong>30</strong> rows put aside, not their offense: offense of TRN" in page


def test_the_page_asks_which_team_is_theirs(as_staff, upload, opponent):
    opponent.short_name = "XXX"
    opponent.save()
    chart = upload(league(), header=(*HEADER, "Posteam"))
    address = reverse("charts:mapping", args=[chart.pk])
    page = as_staff.get(address).content.decode()
    assert "Posteam: TRN (30), QVL (30), SLM (30)" in page
    form = {"version": chart.version, "yard_style": chart.yard_style}
    chosen = {header: column for column, header in chart.mapping.items()}
    form |= {f"header-{number}": chosen.get(header, "") for number, header in enumerate(chart.headers)}
    answer = as_staff.post(address, form)
    assert answer.status_code == 422
    assert "ay which of them is this opponent" in answer.content.decode()
    assert as_staff.post(address, form | {"offense": "slm"}).status_code == 303
    charts.read_chart(chart.pk)
    chart.refresh_from_db()
    assert chart.taken == 30


def test_a_mark_that_no_row_has_reads_nothing_and_says_what_is_there(upload):
    chart = upload(league(), header=(*HEADER, "Posteam"))
    charts.map_chart(chart, chart.version, chart.mapping, chart.yard_style, {"offense": "NOPE"})
    charts.read_chart(chart.pk)
    chart.refresh_from_db()
    assert chart.state == ChartState.FAILED
    assert "offense of TRN (30)" in chart.trouble


def test_defensive_rows_are_no_tendency(read, opponent):
    rows = [
        [*row, "D" if number % 3 == 2 else "K" if number % 10 == 9 else "O"] for number, row in enumerate(season(60))
    ]
    header = tuple("Own call" if name == "Def Call" else name for name in HEADER)
    chart = read(rows, header=(*header, "ODK"))
    if chart.theirs["unit"] != "O":
        chart.theirs["unit"] = "O"
        charts.map_chart(chart, chart.version, chart.mapping, chart.yard_style, chart.theirs)
        charts.read_chart(chart.pk)
        chart.refresh_from_db()
    assert chart.aside == [["defense", 20], ["kicking", 4]]
    assert chart.taken == 36 == len(queries.snaps_of(opponent))


def test_our_own_chart_marks_their_offense_as_our_defense(upload):
    rows = [[*row, "D" if number % 2 else "O"] for number, row in enumerate(season(20))]
    assert upload(rows, header=(*HEADER, "ODK")).theirs == {"unit": "D"}


def test_unsigned_yard_lines_are_told_and_left_blank(as_staff, read, opponent):
    rows = season(30)
    for row in rows:
        row[HEADER.index("Yard Ln")] = row[HEADER.index("Yard Ln")].lstrip("-")
    chart = read(rows)
    for page in ("charts:mapping", "charts:chart"):
        assert "either side of the fifty" in as_staff.get(reverse(page, args=[chart.pk])).content.decode()
    assert all(snap.yard_line in (None, 50) for snap in queries.snaps_of(opponent))


def test_case_and_spaces_split_no_word_in_a_count(as_staff, read, opponent):
    rows = season(40)
    for number, row in enumerate(rows):
        row[HEADER.index("Off Form")] = ("Y-Trips Rt", "Y TRIPS RT", "y trips  rt")[number % 3]
    read(rows)
    page = as_staff.get(reverse("tendencies:report", args=[opponent.pk, "formation"])).content.decode()
    assert page.count('<th scope="row">Y-Trips') + page.count('<th scope="row">Y TRIPS') == 1
