"""Formations: men on a drawn field, legality while they are placed."""

import pytest
from django.urls import reverse

from playbook import convert
from playbook.models import Formation
from playbook.opponent import queries
from tests.playbook.looks.made import make_opponent

pytestmark = pytest.mark.django_db
PART = {"HX-Request": "true"}
ADD, CHECK = reverse("opponent:add-formation"), reverse("opponent:check-formation")


def filled(formation=None, name="", seen=0, **moved):
    """A filled form: the men of a formation, some of them elsewhere: `X=(x, y)`."""
    men = queries.men_of(formation)
    data = {"name": name, "note": "", "source": "", "seen": seen, "man-TOTAL_FORMS": len(men), "man-INITIAL_FORMS": 0}
    for number, man in enumerate(men):
        x, y = moved.get(man["role"], (man["x"], man["y"]))
        data |= {f"man-{number}-{key}": value for key, value in (man | {"x": x, "y": y}).items()}
    return data


def test_the_editor_shows_eleven_men_that_keys_and_numbers_can_move(as_staff):
    formation = Formation.objects.get(name="11-doubles")
    page = as_staff.get(reverse("opponent:formation", args=[formation.pk])).content.decode()
    assert page.count('data-man="') == 11 and page.count('tabindex="0" role="button"') == 11
    assert page.count('type="number"') == 22 and "field-editor.js" in page
    assert "legal</span> in the college book" in page


def test_a_formation_is_drawn_for_an_opponent_and_goes_on_his_menu(as_staff):
    opponent = make_opponent()
    saved = as_staff.post(f"{ADD}?opponent={opponent.pk}", filled(name="wide-slot", H=(-7, -1.6)))
    made = Formation.objects.get(name="wide-slot")
    assert saved.headers["Location"] == reverse("opponent:formation", args=[made.pk])
    assert made.opponent == opponent and made in opponent.formations.all() and made.personnel == "11"
    assert convert.formation_value(made).player("H").x == -7


def test_an_illegal_one_is_told_live_with_the_rule_and_is_not_saved(as_staff):
    data = filled(name="seven-backs", X=(-18, -2), Y=(4.8, -2))
    part = as_staff.post(CHECK, data, headers=PART)
    assert part.status_code == 422 and b"<html" not in part.content
    assert b"backs-maximum" in part.content and b"illegal" in part.content
    assert as_staff.post(ADD, data).status_code == 422
    assert not Formation.objects.filter(name="seven-backs").exists()


def test_a_covered_man_is_a_warning_and_can_be_saved(as_staff):
    data = filled(name="covered", H=(-9, -0.6))
    part = as_staff.post(CHECK, data, headers=PART)
    assert part.status_code == 200 and b"covered-eligible" in part.content and b"warning" in part.content
    assert as_staff.post(ADD, data).status_code == 303


def test_a_legal_one_is_read_as_a_defense_counts_it(as_staff):
    part = as_staff.post(CHECK, filled(), headers=PART)
    assert part.context["personnel"] == "1 back, 1 tight end, 3 receivers"
    assert b"run strength right" in part.content


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"man-5-x": "far"}, "Enter a number"),
        ({"man-5-x": "nan"}, "Enter a number"),
        ({"man-5-y": "3"}, "less than or equal to 0"),
        ({"man-5-role": "Too long"}, "one to four letters"),
        ({"man-5-role": "QB", "man-6-role": "QB"}, "not listed yet"),
        ({"man-TOTAL_FORMS": "9"}, "at least 11"),
        ({"name": ""}, "required"),
    ],
)
def test_what_does_not_read_is_refused_and_nothing_is_lost(as_staff, change, words):
    before = Formation.objects.count()
    page = as_staff.post(ADD, filled(name="odd-one") | change)
    assert page.status_code == 422 and words in page.content.decode()
    assert Formation.objects.count() == before
    if "name" not in change:
        assert "odd-one" in page.content.decode()


def test_two_people_changing_the_same_formation(as_staff):
    formation = Formation.objects.get(name="11-doubles")
    seen = filled(formation, name="11-doubles", seen=formation.revision, Z=(17, -0.6))
    formation.players.filter(role="Z").update(x=16)
    page = as_staff.post(reverse("opponent:formation", args=[formation.pk]), seen)
    assert page.status_code == 409, (
        page.context["form"].errors,
        page.context.get("unread"),
        page.context["violations"],
    )
    assert b"Z: 17" in page.content and b"Z: 16" in page.content


def test_saving_again_renaming_and_a_name_that_is_taken(as_staff):
    formation = Formation.objects.get(name="11-doubles")
    address = reverse("opponent:formation", args=[formation.pk])
    assert as_staff.post(address, filled(formation, "11-pair", formation.revision)).status_code == 303
    formation.refresh_from_db()
    assert formation.name == "11-pair" and not Formation.objects.filter(name="11-doubles").exists()
    taken = as_staff.post(address, filled(formation, "10-doubles", formation.revision))
    assert taken.status_code == 422 and b"here already" in taken.content


def test_deleting_and_wrong_people_and_methods(client, staff, player):
    formation = Formation.objects.get(name="11-doubles")
    address = reverse("opponent:formation", args=[formation.pk])
    assert client.get(address).status_code == 302
    client.force_login(player)
    assert client.get(address).status_code == 404 and client.post(CHECK).status_code == 404
    client.force_login(staff)
    assert client.get(CHECK).status_code == 405
    client.post(reverse("opponent:delete-formation", args=[formation.pk]))
    assert not Formation.objects.filter(pk=formation.pk).exists()


def test_a_hidden_field_that_was_tampered_with_is_a_conflict_and_no_fault(as_staff):
    formation = Formation.objects.get(name="11-doubles")
    data = filled(formation, name="11-doubles", seen="abc")
    assert as_staff.post(reverse("opponent:formation", args=[formation.pk]), data).status_code == 409
