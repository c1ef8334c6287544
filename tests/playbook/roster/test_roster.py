"""The roster: adding, changing, finding, conflicts and the depth chart."""

import pytest
from django.urls import reverse

from playbook.models import Player, Position, RosterSpot, System

pytestmark = pytest.mark.django_db
DATA = {"first_name": "Joss", "last_name": "Evermoor", "number": "7", "active": "on", "version": "0"}


@pytest.fixture
def man():
    return Player.objects.create(first_name="Joss", last_name="Evermoor", number=7)


def chosen(*names):
    """The form data that chooses positions of the odd system."""
    system = System.objects.get(name="odd-three-safety")
    return {f"positions_{system.pk}": [position(name).pk for name in names]}


def position(name):
    return Position.objects.get(system__name="odd-three-safety", name=name)


def test_adding_a_man_with_positions_and_speeds(as_staff):
    data = DATA | {"ten_yd_s": "1.65", "forty_yd_s": "4.70"} | chosen("M", "W")
    assert as_staff.post(reverse("roster:add"), data).status_code == 303
    man = Player.objects.get(last_name="Evermoor")
    assert {s.position.name for s in man.spots.all()} == {"M", "W"}
    assert b"1.65" in as_staff.get(reverse("roster:list")).content


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("number", "100", b"99"),
        ("forty_yd_s", "0.5", b"greater than or equal to 3"),
        ("last_name", "", b"required"),
    ],
)
def test_bad_values_are_refused_with_the_reason(as_staff, field, value, said):
    refused = as_staff.post(reverse("roster:add"), DATA | {field: value})
    assert refused.status_code == 422
    assert said in refused.content
    assert not Player.objects.filter(first_name="Joss").exists()


def test_a_position_of_another_system_is_refused(as_staff):
    other = Position.objects.exclude(system__name="odd-three-safety").first()
    data = {name: [other.pk] for name in chosen()}
    assert as_staff.post(reverse("roster:add"), DATA | data).status_code == 422
    assert not Player.objects.filter(first_name="Joss").exists()


def test_the_second_of_two_editors_sees_both_versions_and_nothing_is_lost(as_staff, man):
    man.save_version(1, class_year="Senior")
    answer = as_staff.post(reverse("roster:edit", args=[man.pk]), DATA | {"class_year": "Junior", "version": "1"})
    assert answer.status_code == 409
    assert b"Class: Junior" in answer.content and b"Class: Senior" in answer.content
    man.refresh_from_db()
    assert man.class_year == "Senior"


def test_a_position_taken_away_leaves_the_others_alone(as_staff, man):
    kept = RosterSpot.objects.create(player=man, position=position("M"), order=3)
    RosterSpot.objects.create(player=man, position=position("W"))
    as_staff.post(reverse("roster:edit", args=[man.pk]), DATA | chosen("M") | {"version": "1"})
    assert list(man.spots.values_list("pk", "order")) == [(kept.pk, 3)]


def test_finding_by_name_number_and_position(as_staff, man):
    RosterSpot.objects.create(player=man, position=position("M"))
    Player.objects.create(first_name="Old", last_name="Timer", active=False)
    for words, found in [("ever", True), ("7", True), ("m", True), ("8", False), ("zz", False)]:
        page = as_staff.get(reverse("roster:list"), {"q": words}, headers={"HX-Request": "true"})
        assert (b"Evermoor" in page.content) is found
        assert b"<html" not in page.content
    assert b"Timer" not in as_staff.get(reverse("roster:list")).content
    assert b"Timer" in as_staff.get(reverse("roster:list"), {"all": "1"}).content


def test_moving_up_in_the_depth_chart(as_staff):
    men = [Player.objects.create(first_name=name, last_name="Ardmoor") for name in ("One", "Two", "Three")]
    spots = [RosterSpot.objects.create(player=man, position=position("M"), order=0) for man in men]
    assert as_staff.post(reverse("roster:move-up", args=[spots[2].pk])).status_code == 303
    answer = as_staff.post(reverse("roster:move-up", args=[spots[2].pk]), headers={"HX-Request": "true"})
    assert b'id="depth"' in answer.content and b"<html" not in answer.content
    order = (
        RosterSpot.objects.filter(position=position("M")).order_by("order").values_list("player__first_name", flat=True)
    )
    assert list(order) == ["Three", "One", "Two"]
    as_staff.post(reverse("roster:move-up", args=[spots[2].pk]))
    assert list(order.all()) == ["Three", "One", "Two"]


def test_the_depth_chart_names_every_position(as_staff):
    system = System.objects.get(name="odd-three-safety")
    page = as_staff.get(reverse("roster:depth", args=[system.pk])).content.decode()
    for place in system.positions.all():
        assert place.label in page


def test_a_log_in_can_belong_to_one_man_only(as_staff, man, player):
    refused = as_staff.post(reverse("roster:edit", args=[man.pk]), DATA | {"user": player.pk, "version": "1"})
    assert refused.status_code == 422
