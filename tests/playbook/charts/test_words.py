"""The opponent's words: one word may be two formations, told apart by the personnel."""

from __future__ import annotations

from django.urls import reverse

from playbook.charts import queries, words
from playbook.models import Alias
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
    page = as_staff.get(address).content.decode()
    assert "with 12" in page
    assert "with 10" not in page, "the word alone is of that personnel"
    as_staff.post(address, {"formation:doubles:12": ""})
    assert {play.formation for play in queries.plays_of(opponent)} == {"10-doubles"}
    assert Alias.objects.get().with_personnel == ""


def test_a_word_with_one_personnel_is_asked_once(read, opponent):
    read(doubles(30, 0))
    listed = words.words_of(opponent)["formation"]
    assert [(word.word, word.personnel, word.count) for word in listed] == [("Doubles", "", 30)]


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
