"""Formations: men on a drawn field, legality while they are placed."""

import pytest
from django.urls import reverse

from playbook import convert
from playbook.models import Alias, Formation
from playbook.opponent import queries
from tests.playbook.looks.made import make_opponent

pytestmark = pytest.mark.django_db
PART = {"HX-Request": "true"}
ADD, CHECK = reverse("opponent:add-formation"), reverse("opponent:check-formation")


def filled(formation=None, label="", seen=0, **moved):
    """A filled form: the men of a formation, some of them elsewhere: `X=(x, y)`."""
    men = queries.men_of(formation)
    data = {"label": label, "note": "", "source": "", "seen": seen, "man-TOTAL_FORMS": len(men), "man-INITIAL_FORMS": 0}
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
    saved = as_staff.post(f"{ADD}?opponent={opponent.pk}", filled(label="Wide Slöt 11", H=(-7, -1.6)))
    made = Formation.objects.get(label="Wide Slöt 11")
    assert saved.headers["Location"] == reverse("opponent:formation", args=[made.pk])
    assert made.name == "wide-slot-11"
    assert made.opponent == opponent and made in opponent.formations.all() and made.personnel == "11"
    assert convert.formation_value(made).player("H").x == -7


def test_an_illegal_one_is_told_live_with_the_rule_and_is_not_saved(as_staff):
    data = filled(label="Seven backs", X=(-18, -2), Y=(4.8, -2))
    part = as_staff.post(CHECK, data, headers=PART)
    assert part.status_code == 422 and b"<html" not in part.content
    assert [violation.rule for violation in part.context["violations"] if violation.refused] == ["backs-maximum"]
    assert b"illegal" in part.content and b"backs-maximum" not in part.content, "in words"
    assert as_staff.post(ADD, data).status_code == 422
    assert not Formation.objects.filter(label="Seven backs").exists()


def test_a_covered_man_is_a_warning_and_can_be_saved(as_staff):
    data = filled(label="Covered", H=(-9, -0.6))
    part = as_staff.post(CHECK, data, headers=PART)
    assert part.status_code == 200 and b"is covered" in part.content and b"warning" in part.content
    assert as_staff.post(ADD, data).status_code == 303


@pytest.mark.parametrize(
    ("moved", "words", "who"),
    [
        ({"H": (-18, -0.6)}, "H and X stand in the same spot", {"H", "X"}),
        ({"Z": (18, -0.1)}, "Z lines up in the neutral zone", {"Z"}),
        ({"X": (-50, -0.6)}, "X at (-50, -0.6) is off the field", {"X"}),
    ],
)
def test_overlap_and_illegal_spots_are_said_and_marked_on_the_drawing(as_staff, moved, words, who):
    part = as_staff.post(CHECK, filled(label="Odd one", **moved), headers=PART)
    text = part.content.decode()
    assert part.status_code == 422 and words in text
    assert who <= set(text.split('data-wrong="')[1].split('"')[0].split())


def test_a_word_of_a_chart_is_drawn_where_it_was_met_and_means_it_then(as_staff):
    opponent = make_opponent()
    address = f"{ADD}?opponent={opponent.pk}&word=Trey+%22Rip%22"
    page = as_staff.get(address).content.decode()
    assert "Trey &quot;Rip&quot;" in page and 'name="label"' in page
    saved = as_staff.post(address, filled(label='Trey "Rip"'))
    assert saved.headers["Location"] == reverse("charts:words", args=[opponent.pk])
    alias = Alias.objects.get(opponent=opponent)
    assert (alias.kind, alias.word, alias.formation.name) == ("formation", 'trey "rip"', "trey-rip")
    assert alias.formation.opponent == opponent
    again = as_staff.post(address, filled(label='Trey "Rip"'))
    assert again.status_code == 422, "the name is taken: nothing is lost"
    alone = as_staff.post(f"{ADD}?word=Trey", filled(label="Of nobody"))
    assert "/formation/" in alone.headers["Location"], "a word is an opponent's"


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
        ({"label": ""}, "required"),
    ],
)
def test_what_does_not_read_is_refused_and_nothing_is_lost(as_staff, change, words):
    before = Formation.objects.count()
    page = as_staff.post(ADD, filled(label="Odd one") | change)
    assert page.status_code == 422 and words in page.content.decode()
    assert Formation.objects.count() == before
    if "label" not in change:
        assert "Odd one" in page.content.decode()


def test_two_people_changing_the_same_formation(as_staff):
    formation = Formation.objects.get(name="11-doubles")
    seen = filled(formation, label="Doubles", seen=formation.revision, Z=(17, -0.6))
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
    assert as_staff.post(address, filled(formation, "Pair left", formation.revision)).status_code == 303
    formation.refresh_from_db()
    assert (formation.name, formation.label) == ("11-doubles", "Pair left")
    other = Formation.objects.get(name="10-doubles")
    taken = as_staff.post(address, filled(formation, other.label, formation.revision))
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
    data = filled(formation, label="Doubles", seen="abc")
    assert as_staff.post(reverse("opponent:formation", args=[formation.pk]), data).status_code == 409
