"""Links with which men sign in on their own phones: many at once, once each, and a lost phone."""

import re

import pytest
from django.test import Client
from django.urls import reverse

from playbook.models import AskedLink, Player, User

pytestmark = pytest.mark.django_db


@pytest.fixture
def men():
    return [
        Player.objects.create(first_name="Pell", last_name=f"Ardmoor {letter}", number=n)
        for n, letter in enumerate("abc")
    ]


def links_of(client, *men):
    answer = client.post(reverse("roster:links"), {"man": [man.pk for man in men]})
    assert answer.status_code == 200 and "no-store" in answer["Cache-Control"]
    return re.findall(r'href="https?://[^/"]+(/[^"]*welcome[^"]+)"', answer.content.decode()), answer.content.decode()


def open_link(phone, link):
    return phone.get(link, follow=True)


def sign_in(phone, link):
    page = open_link(phone, link)
    return phone.post(page.redirect_chain[-1][0], {"phone": "1"}, follow=True)


def test_a_card_with_a_code_for_each_chosen_man(as_staff, men):
    links, page = links_of(as_staff, men[0], men[2])
    assert len(links) == 2 and page.count("data:image/svg+xml") == 2
    assert "Ardmoor a" in page and "Ardmoor b" not in page
    assert User.objects.filter(player__in=men).count() == 2


def test_nobody_chosen_is_said(as_staff, men):
    answer = as_staff.post(reverse("roster:links"))
    assert answer.status_code == 422 and "Choose at least one man." in answer.content.decode()


def test_a_man_signs_in_without_a_password_once(as_staff, men):
    (link,), _ = links_of(as_staff, men[0])
    phone, other = Client(), Client()
    assert "Sign in on this phone" in open_link(phone, link).content.decode()
    assert "_auth_user_id" not in phone.session, "a preview of the link signs nobody in"
    assert sign_in(phone, link).context["user"].player == men[0]
    assert phone.session.get_expiry_age() > 100 * 24 * 3600
    assert "no longer works" in open_link(other, link).content.decode()


def test_a_password_may_be_set_as_well(as_staff, men):
    (link,), _ = links_of(as_staff, men[0])
    phone = Client()
    page = open_link(phone, link)
    words = {"new_password1": "over the top with him", "new_password2": "over the top with him"}
    phone.post(page.redirect_chain[-1][0], words)
    assert User.objects.get(player=men[0]).check_password("over the top with him")


def test_a_lost_phone_is_shut_out_at_once(as_staff, men):
    (link,), _ = links_of(as_staff, men[0])
    phone = Client()
    sign_in(phone, link)
    (second,), _ = links_of(as_staff, men[0])
    assert as_staff.post(reverse("roster:shut-out", args=[men[0].pk])).status_code == 303
    assert phone.get("/my/week").status_code == 302 and "log-in" in phone.get("/my/week")["Location"]
    assert "no longer works" in open_link(Client(), second).content.decode()
    (third,), _ = links_of(as_staff, men[0])
    assert sign_in(Client(), third).context["user"].player == men[0]


def test_a_coach_makes_no_links_for_coaches(as_staff, men):
    coach = User.objects.create_user("other", role="admin")
    Player.objects.filter(pk=men[0].pk).update(user=coach)
    assert as_staff.post(reverse("roster:links"), {"man": men[0].pk}).status_code == 422
    assert as_staff.post(reverse("roster:shut-out", args=[men[0].pk])).status_code == 404
    assert "Make a link" not in as_staff.get(reverse("roster:edit", args=[men[0].pk])).content.decode()


def test_a_coach_cannot_sign_in_without_a_password(as_admin):
    coach = User.objects.create_user("other", role="coordinator")
    answer = as_admin.post(reverse("people:link", args=[coach.pk])).content.decode()
    link = re.search(r'href="https?://[^/"]+(/[^"]*welcome[^"]+)"', answer)[1]
    phone = Client()
    page = open_link(phone, link)
    assert "Sign in on this phone" not in page.content.decode()
    assert phone.post(page.redirect_chain[-1][0], {"phone": "1"}).status_code == 422
    assert "_auth_user_id" not in phone.session


def test_who_never_signed_in_is_chosen_and_comes_first(as_staff, men):
    (link,), _ = links_of(as_staff, men[0])
    sign_in(Client(), link)
    page = as_staff.get(reverse("roster:links")).content.decode()
    assert page.index("Ardmoor b") < page.index("Ardmoor a")
    assert re.search(rf'value="{men[1].pk}" checked', page) and not re.search(rf'value="{men[0].pk}" checked', page)


def ask(**data):
    return Client().post(reverse("people:ask"), data)


def test_a_man_without_a_way_in_asks_and_his_coaches_see_it(as_staff, men):
    (link,), _ = links_of(as_staff, men[1])
    sign_in(Client(), link)
    assert ask(last_name=" ardmoor B", number="1").status_code == 200
    assert ask(last_name="Ardmoor b", number="1").status_code == 200, "asked again"
    assert "1 man asks for a log-in link" in as_staff.get(reverse("home:start")).content.decode()
    page = as_staff.get(reverse("roster:links")).content.decode()
    assert "asked for a link" in page and re.search(rf'value="{men[1].pk}" checked', page)
    links_of(as_staff, men[1])
    assert "asks for a log-in link" not in as_staff.get(reverse("home:start")).content.decode()


def test_a_stranger_learns_nothing_by_asking(as_staff, men):
    Player.objects.filter(pk=men[2].pk).update(user=User.objects.create_user("coach-too", role="admin"))
    there, nobody, coach = (
        ask(last_name="Ardmoor a", number="0"),
        ask(last_name="X", number="0"),
        ask(last_name="Ardmoor c", number="2"),
    )
    words = [
        re.sub(r'csrf\w*"?:? ?"[^"]+"|value="[^"]+"|nonce="[^"]+"', "", a.content.decode())
        for a in (there, nobody, coach)
    ]
    assert words[0] == words[1] == words[2] and AskedLink.objects.count() == 1
    assert ask(last_name="", number="x").status_code == 422
