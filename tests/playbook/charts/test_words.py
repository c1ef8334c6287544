"""The opponent's words: one word may be two formations, told apart by the personnel."""

from __future__ import annotations

import pytest
from django.urls import reverse

from playbook import convert
from playbook.charts import families, queries, words
from playbook.models import Alias, Formation
from tests.playbook.charts.made import HEADER, season

FORM, PERS = HEADER.index("Off Form"), HEADER.index("Pers")


def doubles(ten: int, twelve: int) -> list[list[str]]:
    """Snaps from one word with two personnels."""
    rows = season(ten + twelve)
    for number, row in enumerate(rows):
        row[FORM], row[PERS] = "Doubles", "10" if number < ten else "12p"
    return rows


def test_a_word_and_the_personnel_together_choose_the_formation(as_staff, read, opponent):
    read(doubles(30, 20))
    address = reverse("charts:words", args=[opponent.pk])
    page = as_staff.get(address).content.decode()
    assert "with 12" in page
    sent = {"formation:doubles": "10-doubles", "formation:doubles:12": "12-two-tight"}
    assert as_staff.post(address, sent).status_code == 303
    counts = {}
    for play in queries.plays_of(opponent):
        counts[play.formation] = counts.get(play.formation, 0) + 1
    assert counts == {"10-doubles": 30, "12-two-tight": 20}
    rows = words.words_of(opponent)["formation"]
    assert [(row.personnel, row.meaning) for row in rows] == [((), "10-doubles"), (("12",), "12-two-tight")]
    as_staff.post(address, {"formation:doubles:12": ""})
    assert {play.formation for play in queries.plays_of(opponent)} == {"10-doubles"}
    assert Alias.objects.get().with_personnel == ""


def test_a_word_with_one_personnel_is_asked_once(read, opponent):
    read(doubles(30, 0))
    listed = words.words_of(opponent)["formation"]
    assert [(word.word, word.personnel, word.count) for word in listed] == [("Doubles", (), 30)]


def test_what_is_unmapped_only_with_a_personnel_is_no_missing_word(read, opponent):
    read(doubles(30, 20))
    before = words.unmapped_count(opponent)
    words.save_words(opponent, {("formation", "DOUBLES"): "10-doubles"})
    assert words.unmapped_count(opponent) == before - 1


def test_a_word_is_the_same_in_any_case_and_with_any_spaces(read, opponent):
    rows = doubles(30, 0)
    for number, row in enumerate(rows):
        row[FORM] = ("Y Trips", "y-trips", "YTRIPS")[number % 3]
    read(rows)
    assert len(words.words_of(opponent)["formation"]) == 1
    words.save_words(opponent, {("formation", "yTrips"): "11-trips"})
    assert {play.formation for play in queries.plays_of(opponent)} == {"11-trips"}


@pytest.mark.parametrize(
    ("word", "personnel", "meaning"),
    [
        ("Trips", "11", "11-trips"),
        ("Trips", "10", "10-trips"),
        ("Doubles", "10", "10-doubles"),
        ("Doubles", "12", "12-two-tight"),
        ("Doubles TE", "11", "11-doubles"),
        ("Dubs", "11", "11-doubles"),
        ("Empty", "11", "11-empty"),
        ("Empty", "00", "00-empty"),
        ("Pro", "21", "21-pro-i"),
        ("Bunch", "11", "11-bunch"),
        ("Bunch", "10", "10-bunch"),
        ("Twins", "21", "21-twins-i"),
        ("Ace", "12", "12-ace"),
        ("Wing", "12", "12-wing"),
        ("Bunch", "21", ""),
        ("Tiger", "11", ""),
    ],
)
def test_plain_trade_words_have_a_proposed_meaning_by_personnel(db, word, personnel, meaning):
    convert.load_library()
    ours = list(Formation.objects.filter(opponent=None).prefetch_related("players"))
    assert families.propose_formation(word, personnel, ours) == meaning


def test_a_word_with_many_personnels_makes_few_rows_and_each_is_set_at_once(as_staff, read, opponent):
    rows = season(90)
    for number, row in enumerate(rows):
        row[FORM], row[PERS] = "Tiger", ("10", "11", "12", "13", "20", "21", "22", "11", "11")[number % 9]
    read(rows)
    listed = words.words_of(opponent)["formation"]
    assert [row.personnel for row in listed] == [()], "one row: nothing tells its personnels apart yet"
    assert len(listed[0].apart) == 7
    sent = {"formation:tiger": "11-trey", "formation:tiger:12": "12-wing", "formation:tiger:13": "12-wing"}
    sent |= {f"formation:tiger:{group}": "=" for group in ("10", "11", "20", "21", "22")}
    assert as_staff.post(reverse("charts:words", args=[opponent.pk]), sent).status_code == 303
    listed = words.words_of(opponent)["formation"]
    assert [(row.personnel, row.meaning) for row in listed] == [((), "11-trey"), (("12", "13"), "12-wing")]
    page = as_staff.get(reverse("charts:words", args=[opponent.pk])).content.decode()
    assert 'name="formation:tiger:12+13"' in page
    sent = {"formation:tiger": "11-trey", "formation:tiger:12+13": "12-h-back", "formation:tiger:13": "13-gun"}
    as_staff.post(reverse("charts:words", args=[opponent.pk]), sent)
    meant = {play.personnel: play.formation for play in queries.plays_of(opponent)}
    assert (meant["11"], meant["12"], meant["13"]) == ("11-trey", "12-h-back", "13-gun")


def test_motion_that_was_not_charted_is_no_word(as_staff, read, opponent):
    chart = read(doubles(30, 0))
    chart.snaps.update(motion=None)
    assert words.words_of(opponent)["motion"] == []
    assert as_staff.get(reverse("charts:words", args=[opponent.pk])).status_code == 200
