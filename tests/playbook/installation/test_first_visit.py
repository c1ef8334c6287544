"""The first visit to an empty installation: only with the code, once, and then step by step."""

import threading

import pytest
from django.db import connection
from django.urls import reverse

from playbook.installation import queries, services
from playbook.models import Concept, Formation, Installation, Opponent, Rights, System, User, Week

FIRST = "installation:first"
WHO = {
    "username": "ottilie",
    "first_name": "O",
    "last_name": "B",
    "password1": "long enough 77",
    "password2": "long enough 77",
}


def step(name):
    return reverse("installation:step", args=[name])


@pytest.mark.django_db
def test_whoever_comes_first_is_asked_for_the_code(client):
    assert client.get(reverse("people:log-in")).headers["Location"] == reverse(FIRST)
    for code in ("", "AAAA-AAAA-AAAA-AAAA"):
        refused = client.post(reverse(FIRST), WHO | {"code": code})
        assert refused.status_code == 422 and not User.objects.exists()
    made = client.post(reverse(FIRST), WHO | {"code": queries.code().lower().replace("-", " ")})
    assert made.headers["Location"] == step("name")
    assert User.objects.get().role == Rights.ADMIN and client.get(step("name")).status_code == 200


@pytest.mark.django_db
def test_once_there_is_an_admin_the_code_is_worth_nothing(client, admin):
    assert client.post(reverse(FIRST), WHO | {"code": queries.code()}).headers["Location"] == reverse("home:start")
    assert User.objects.count() == 1 and client.get(reverse("people:log-in")).status_code == 200
    with pytest.raises(services.Taken):
        services.add_first_admin("other", "", "", "long enough 77")


@pytest.mark.django_db(transaction=True)
def test_of_two_at_once_one_becomes_the_admin():
    told = []

    def come(name):
        try:
            services.add_first_admin(name, "", "", "long enough 77")
        except services.Taken:
            told.append(name)
        finally:
            connection.close()

    both = [threading.Thread(target=come, args=[name]) for name in ("one", "two")]
    for one in both:
        one.start()
    for one in both:
        one.join()
    assert len(told) == 1 and User.objects.filter(role=Rights.ADMIN).count() == 1


@pytest.mark.django_db
def test_the_code_hangs_on_the_secret_key(settings):
    before = queries.code()
    settings.SECRET_KEY = "another " * 9
    assert queries.code() != before


@pytest.mark.django_db
def test_the_whole_way_ends_with_a_week_and_a_name_on_every_page(as_admin):
    system = System.objects.get(name="okie-two-gap")
    formation, concept = Formation.objects.first(), Concept.objects.first()
    forms = {
        "name": {"name": "Wexmoor & Sons"},
        "system": {"system": system.pk},
        "words": {"frame": "own"},
        "opponent": {"name": "Harnley Vale", "formations": [formation.pk], "concepts": [concept.pk]},
    }
    following = [*list(forms)[1:], "week"]
    for (name, data), after in zip(forms.items(), following, strict=True):
        assert as_admin.get(step(name)).status_code == 200
        assert as_admin.post(step(name), data).headers["Location"] == step(after)
    opponent = Opponent.objects.get()
    week = {"year": 2026, "book": "high school", "system": system.pk, "opponent": opponent.pk, "game_on": "2026-09-04"}
    assert as_admin.post(step("week"), week).headers["Location"] == reverse("installation:show")
    assert queries.left() == []
    system.refresh_from_db()
    assert system.frame == "own" and Week.objects.get().system == system
    assert list(opponent.formations.all()) == [formation] and list(opponent.concepts.all()) == [concept]
    page = as_admin.get(reverse("home:start")).content.decode()
    assert "Wexmoor &amp; Sons</title>" in page and page.count("Wexmoor &amp; Sons") >= 2
    assert "Harnley Vale" in page


@pytest.mark.django_db
def test_every_step_can_be_left_out_and_taken_up_again(as_admin):
    for name in queries.STEPS:
        as_admin.post(step(name), {"later": "1"})
        left = [
            after
            for after in queries.left()
            if f'href="{step(after)}"' in as_admin.get(reverse("home:start")).content.decode()
        ]
        assert left == queries.left()
    assert queries.left() == [] and Installation.objects.get().name == "" and not Week.objects.exists()
    assert queries.put_off() == ["name", "opponent", "system", "week"]
    assert as_admin.get(reverse("installation:show")).content.decode().count("left for later") == 4
    as_admin.post(step("name"), {"name": "Later on"})
    assert queries.program() == "Later on" and "name" not in queries.put_off()


@pytest.mark.django_db
def test_before_there_is_a_week_every_page_begins_with_the_chosen_system(as_admin):
    system = System.objects.get(name="under-cover-3")
    as_admin.post(step("system"), {"system": system.pk})
    board = as_admin.get(reverse("board:show"))
    assert board.context["system"] == system and "no week yet" in board.content.decode()
    assert as_admin.get(reverse("home:start")).context["front"].system == system
    assert as_admin.get(reverse("looks:start")).context["form"].initial["call"].system == system
    assert as_admin.get(reverse("roster:add")).context["form"].position_fields()[0].label == str(system)


@pytest.mark.django_db
def test_going_back_makes_no_second_first_opponent(as_admin):
    Opponent.objects.create(name="Harnley Vale")
    assert as_admin.get(step("opponent")).headers["Location"] == reverse("opponent:list")
    assert as_admin.get(step("week")).status_code == 200


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("name", {"name": ""}, "required"),
        ("name", {"name": "two\nlines"}, "one line"),
        ("system", {"system": "x"}, "valid choice"),
        ("words", {"frame": "own"}, "Choose your system first"),
        ("opponent", {"name": ""}, "required"),
        ("week", {"year": 1}, "greater than or equal to 1900"),
    ],
)
def test_what_is_wrong_is_said_and_nothing_is_kept(as_admin, name, data, said):
    refused = as_admin.post(step(name), data)
    assert refused.status_code == 422 and said in refused.content.decode()
    assert not Installation.objects.exists()


@pytest.mark.django_db
def test_no_such_step(as_admin):
    assert as_admin.get(step("nothing")).status_code == 404


@pytest.mark.django_db
def test_the_admin_is_told_what_is_open_without_https(as_admin):
    said = "passwords can be read on the way"
    assert said in as_admin.get(reverse("installation:show")).content.decode()
    assert said not in as_admin.get(reverse("installation:show"), secure=True).content.decode()


@pytest.mark.django_db
def test_each_shipped_system_has_its_sentence_and_none_is_chosen(as_admin):
    page = as_admin.get(step("system")).content.decode()
    assert page.count('type="radio"') == System.objects.count() == len(queries.ABOUT)
    assert "checked" not in page
