"""The pages of tendencies."""

from django.urls import reverse

from tests.playbook.charts.made import season


def test_our_own_calls(as_staff, read):
    page = as_staff.get(reverse("tendencies:own")).content.decode()
    assert "No charted snap names our call yet" in page
    rows = season(300)
    for row in rows:
        row[15] = "Bear 1" if row[2] == "3" else "Odd 3"
    read(rows)
    page = as_staff.get(reverse("tendencies:own")).content.decode()
    assert "What gives us away" in page
    assert "snaps in Bear 1" in page


def test_the_paper_version_has_the_tables_too(as_staff, read, opponent):
    read(season(80))
    page = as_staff.get(reverse("tendencies:print", args=[opponent.pk])).content.decode()
    assert 'class="paper tendencies"' in page
    assert "Down and distance" in page


def test_one_chart_or_one_game_can_be_looked_at(as_staff, read, opponent):
    first = read(season(30))
    read(season(50, seed=9))
    page = as_staff.get(reverse("tendencies:opponent", args=[opponent.pk]), {"chart": first.pk}).content.decode()
    assert "<dt>Plays</dt><dd>30</dd>" in page
    page = as_staff.get(reverse("tendencies:opponent", args=[opponent.pk])).content.decode()
    assert "<dt>Plays</dt><dd>80</dd>" in page


def test_what_every_staff_asks_about_is_always_there(as_staff, read, opponent):
    read(season(60))
    page = as_staff.get(reverse("tendencies:opponent", args=[opponent.pk])).content.decode()
    for label in ("Third and long", "Second and long", "Goal line"):
        assert label in page
