"""Motion and the back's side are part of a look that comes from a chart."""

from __future__ import annotations

import pytest
from django.urls import reverse

import fits
from playbook import convert
from playbook.charts import words
from playbook.looks.specs import asks_of, specs_of, surroundings
from playbook.models import Formation, Season, System, Week
from playbook.proof import expected as looks
from playbook.proof.expecting import LookKey
from tests.playbook.charts.made import HEADER, season

FORM, BACK, MOTION, KIND, PLAY, DIR, SPOT = (
    HEADER.index(name) for name in ("Off Form", "Backfield", "Motion", "R/P", "Play", "Dir", "Yard Ln")
)
TRIPS, POWER = "11-trips", "power"  # drawn with the back away from strength


def rows(plain: int, jet: int, strong: int) -> list[list[str]]:
    """Power to strength from Trips: as it is drawn, with a motion, with the back on the other side."""
    made = season(plain + jet + strong)
    for number, row in enumerate(made):
        row[FORM], row[KIND], row[PLAY], row[DIR], row[SPOT] = "Trips Rt", "R", "Power", "Rt", "-30"
        row[MOTION] = "Zip" if plain <= number < plain + jet else ""
        row[BACK] = "Right" if number >= plain + jet else "Left"
    return made


@pytest.fixture
def week(opponent, read):
    """A week with a chart of three looks that differ in motion and the back's side alone."""
    convert.load_library()
    made = Season.objects.create(year=2031)
    week = Week.objects.create(
        season=made, number=3, opponent=opponent, system=System.objects.get(name="odd-three-safety")
    )
    read(rows(12, 8, 6))
    meanings = {("formation", "trips"): TRIPS, ("concept", "power"): POWER, ("motion", "zip"): "jet"}
    words.save_words(opponent, meanings)
    return week


def test_looks_are_told_apart_by_motion_and_the_back(week):
    counted = {line.expected.key: line.expected.count for line in looks.count_week(week).lines if line.expected.count}
    key = LookKey(TRIPS, POWER, "right")
    assert counted == {
        key: 12,
        LookKey(TRIPS, POWER, "right", motion="jet"): 8,
        LookKey(TRIPS, POWER, "right", back="strong"): 6,
    }


def test_they_come_into_the_week_with_both_and_only_once(week):
    new, _ = looks.take_looks(week)
    assert new == 3
    assert looks.take_looks(week)[0] == 0, "they are found again"
    rows = {(row.motion and row.motion.name, row.back): row for row in week.expected_looks.all()}
    assert set(rows) == {(None, ""), ("jet", ""), (None, "strong")}
    listed = list(rows.values())
    specs = specs_of(asks_of(week, listed, week.system.calls.first()), surroundings(week.system_id, week))
    backs = {rows_key: spec.formation.offset_back for rows_key, spec in zip(rows, specs, strict=True)}
    assert backs[None, "strong"].side is fits.RIGHT
    assert backs[None, ""].side is fits.LEFT
    assert [spec.motion.name for spec in specs if spec.motion] == ["jet"]
    drawn = Formation.objects.get(name=TRIPS)
    assert convert.formation_value(drawn).offset_back.side is fits.LEFT, "the drawing itself stays"


def test_the_page_shows_them_and_a_dropped_one_stays_out(as_staff, week):
    page = as_staff.get(reverse("proof:looks", args=[week.pk])).content.decode()
    assert "Jet motion" in page
    assert "back to strength" in page
    line = next(line for line in looks.count_week(week).lines if line.expected.key.motion)
    as_staff.post(reverse("proof:mark", args=[week.pk]), {"look": line.name, "mark": "drop"})
    counted = looks.count_week(week)
    assert not [one for one in counted.lines if one.expected.key.motion]
    assert counted.dropped[0].key == line.expected.key
    page = as_staff.get(reverse("proof:looks", args=[week.pk])).content.decode()
    assert "Jet motion" in page[page.index("Dropped") :]
    as_staff.post(reverse("proof:mark", args=[week.pk]), {"look": line.name, "mark": "bring-back"})
    assert [one for one in looks.count_week(week).lines if one.expected.key.motion]


def test_a_motion_without_a_meaning_is_said_and_counts_as_if_nobody_moved(as_staff, week, opponent):
    words.save_words(opponent, {("motion", "zip"): ""})
    counted = looks.count_week(week)
    assert counted.unmoved == 8
    assert {line.expected.key: line.expected.count for line in counted.lines}[LookKey(TRIPS, POWER, "right")] == 20
    page = as_staff.get(reverse("proof:looks", args=[week.pk])).content.decode()
    assert "8 of them with" in page
    page = as_staff.get(reverse("charts:words", args=[opponent.pk])).content.decode()
    assert "Motions" in page and 'name="motion:zip"' in page


def test_the_weeks_pages_say_motion_and_back(as_staff, week):
    looks.take_looks(week)
    page = as_staff.get(reverse("week:detail", args=[week.pk])).content.decode()
    assert "back to strength" in page
    page = as_staff.get(reverse("proof:weighed", args=[week.pk])).content.decode()
    assert "of the 100 % of their charted runs" in page
    week.expected_looks.exclude(motion=None, back="").delete()
    page = as_staff.get(reverse("proof:weighed", args=[week.pk])).content.decode()
    assert "14 of those in it had a motion, or the back on the other side" in page


def test_a_formation_without_one_offset_back_is_drawn_as_it_is():
    library = fits.load_library()
    for name in ("21-pro-i", "11-pistol", "11-empty"):
        formation = library.formations[name]
        assert formation.offset_back is None
        assert formation.with_back(fits.RIGHT) is formation
    trips = library.formations[TRIPS]
    assert trips.with_back(fits.RIGHT).with_back(fits.LEFT) == trips
