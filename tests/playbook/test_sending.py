"""A form that is sent twice is kept once, in whatever order the two arrive."""

import re
import threading

import pytest
from django.db import connection
from django.test import Client
from django.urls import reverse

from playbook.models import FitGrade, Player, SentForm, User
from playbook.sending import FIELD
from tests.playbook.week.made import make_season, make_week, put_at

GRADE = {"effort": 2, "fit_right": "on", "leverage_right": "on", "snap": 7}


def key_on(client, address):
    page = client.get(address).content.decode()
    return re.findall(rf'name="{FIELD}" value="([0-9a-f-]+)"', page)


@pytest.fixture
def man(db):
    man = Player.objects.create(first_name="Jory", last_name="Wenlack", number=55)
    put_at(man, "M")
    return man


def test_a_grade_sent_twice_is_kept_once_and_the_next_form_is_another(as_staff, man):
    address = reverse("week:grades", args=[make_week(pairs=[]).pk])
    sent = GRADE | {"player": man.pk, FIELD: key_on(as_staff, address)[-1]}
    first, second = as_staff.post(address, sent), as_staff.post(address, sent)
    assert (first.status_code, second.status_code) == (303, 303) and first["Location"] == second["Location"]
    assert FitGrade.objects.count() == 1
    as_staff.post(address, sent | {FIELD: key_on(as_staff, address)[-1]})
    assert FitGrade.objects.count() == 2, "the same grade from a new form is another grade"


def test_a_refused_form_can_be_sent_again_as_it_was(as_staff, man):
    week = make_week(pairs=[])
    address = reverse("week:grades", args=[week.pk])
    sent = GRADE | {"player": man.pk, FIELD: key_on(as_staff, address)[-1]}
    man.spots.all().delete()
    assert as_staff.post(address, sent).status_code == 422
    put_at(man, "M")
    assert as_staff.post(address, sent).status_code == 303
    assert FitGrade.objects.count() == 1


def test_the_same_form_with_other_words_is_another(as_staff, man):
    address = reverse("week:grades", args=[make_week(pairs=[]).pk])
    sent = GRADE | {"player": man.pk, FIELD: key_on(as_staff, address)[-1]}
    as_staff.post(address, sent)
    as_staff.post(address, sent | {"snap": 8})
    assert FitGrade.objects.count() == 2


def test_pressing_save_twice_is_no_conflict(as_staff):
    season = make_season()
    address = reverse("week:season-edit", args=[season.pk])
    sent = {"year": 2031, "book": "college", "contact_day_min": 20, "contact_week_min": 60, "contact_source": "Ours"}
    sent |= {"version": 1, FIELD: key_on(as_staff, address)[-1]}
    assert as_staff.post(address, sent).status_code == 303
    assert as_staff.post(address, sent).status_code == 303
    season.refresh_from_db()
    assert season.version == 2


def test_sent_again_in_place_the_page_is_loaded_anew(as_staff, man):
    week = make_week(pairs=[])
    address = reverse("week:row-add", args=[week.pk, "day"])
    sent, head = {"label": "Thursday", FIELD: key_on(as_staff, address)[-1]}, {"HX-Request": "true"}
    assert as_staff.post(address, sent, headers=head).status_code == 200
    again = as_staff.post(address, sent, headers=head)
    assert again.status_code == 204 and again.headers["HX-Refresh"] == "true"
    assert week.days.filter(label="Thursday").count() == 1


def test_nobody_is_answered_with_what_another_sent(as_staff, admin, man):
    address = reverse("week:grades", args=[make_week(pairs=[]).pk])
    sent = GRADE | {"player": man.pk, FIELD: key_on(as_staff, address)[-1]}
    as_staff.post(address, sent)
    other = Client()
    other.force_login(admin)
    other.post(address, sent)
    assert FitGrade.objects.count() == 2


@pytest.mark.django_db(transaction=True)
def test_two_at_the_same_moment_are_one():
    coach = User.objects.create_user("coach", role="coordinator")
    sent = {"year": 2040, "book": "college", "contact_day_min": 20, "contact_week_min": 60, "contact_source": "Ours"}
    answers = []

    def send():
        client = Client()
        client.force_login(coach)
        answers.append(client.post(reverse("week:season-add"), sent | {FIELD: "a-key"}).status_code)
        connection.close()

    threads = [threading.Thread(target=send) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert answers == [303] * 4 and SentForm.objects.count() == 1
