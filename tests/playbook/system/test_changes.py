"""The history of a system, and undoing."""

import pytest
from django.urls import reverse

from playbook import convert
from playbook.models import System
from tests.playbook.looks.made import CALL, the_system

# What is told is what was committed, with the person who did it: so real transactions.
pytestmark = pytest.mark.django_db


@pytest.fixture
def front():
    return the_system().calls.select_related("front").get(name=CALL).front


def at(action, front, rule=None, kind="fits"):
    if rule is None:
        return reverse(f"system:{action}-new-rule", args=["front", front.pk, kind])
    return reverse(f"system:{action}-rule", args=["front", front.pk, kind, rule.pk])


def changes(client):
    return client.get(reverse("system:changes", args=[the_system().pk])).context["changes"]


def undo(client, change):
    address = reverse("system:undo", args=[the_system().pk, change.id])
    return client.post(address).headers["Location"]


def whole():
    return convert.system_dict(System.objects.get(name=CALL))


def say(client, front, rule, words):
    rule.refresh_from_db()
    names = ("rule_id", "who", "when", "fit", "leverage")
    data = {name: getattr(rule, name) for name in names} | {"say": words, "version": rule.version}
    assert client.post(at("save", front, rule), data).status_code == 303


def test_a_change_is_told_with_who_when_before_and_after(as_staff, front):
    rule = front.fitrules.first()
    was = rule.say
    say(as_staff, front, rule, "hands on the tackle")
    change = changes(as_staff)[0]
    assert change.who == "the-staff"
    (step,) = change.told
    assert step.words == "changed"
    assert was in step.texts[0] and "hands on the tackle" in step.texts[1]


def test_undoing_a_change_an_addition_a_deletion_and_a_move(as_staff, front):
    start = whole()
    rule = front.fitrules.first()
    say(as_staff, front, rule, "other words")
    undo(as_staff, changes(as_staff)[0])
    assert whole() == start
    as_staff.post(at("save", front), {"rule_id": "X1", "who": "N", "fit": "two-gap", "when": "doubled", "place": 2})
    assert whole() != start
    undo(as_staff, changes(as_staff)[0])
    assert whole() == start
    rule.refresh_from_db()
    as_staff.post(at("delete", front, rule), {"version": rule.version})
    assert whole() != start
    undo(as_staff, changes(as_staff)[0])
    assert whole() == start
    as_staff.post(at("move", front, rule), {"to": "down"})
    assert whole() != start
    undo(as_staff, changes(as_staff)[0])
    assert whole() == start


def test_undoing_an_undoing(as_staff, front):
    rule = front.fitrules.first()
    say(as_staff, front, rule, "other words")
    changed = whole()
    undo(as_staff, changes(as_staff)[0])
    undo(as_staff, changes(as_staff)[0])
    assert whole() == changed


def test_what_was_changed_again_is_not_undone_and_says_why(as_staff, front):
    rule = front.fitrules.first()
    say(as_staff, front, rule, "first")
    first = changes(as_staff)[0]
    say(as_staff, front, rule, "second")
    now = whole()
    page = as_staff.get(undo(as_staff, first))
    assert b"Not undone" in page.content and b"later" in page.content
    assert whole() == now


def test_an_older_change_of_another_rule_can_be_undone(as_staff, front):
    one, two = front.fitrules.all()[:2]
    say(as_staff, front, one, "first")
    first = changes(as_staff)[0]
    say(as_staff, front, two, "second")
    undo(as_staff, first)
    two.refresh_from_db()
    one.refresh_from_db()
    assert two.say == "second" and one.say != "first"


def test_a_whole_import_is_undone_at_once(as_staff, front):
    from django.core.files.uploadedfile import SimpleUploadedFile

    start = whole()
    text = as_staff.get(reverse("system:export", args=[the_system().pk])).content.decode()
    lines = [line for line in text.splitlines() if 'id = "M2"' not in line and 'id = "N1"' not in line]
    as_staff.post(reverse("system:import"), {"file": SimpleUploadedFile("odd.toml", "\n".join(lines).encode())})
    assert whole() != start
    undo(as_staff, changes(as_staff)[0])
    assert whole() == start


def test_nothing_yet_an_unknown_change_and_the_wrong_method(as_staff):
    from uuid import uuid4

    page = as_staff.get(reverse("system:changes", args=[the_system().pk]))
    assert b"Nobody changed anything" in page.content
    address = reverse("system:undo", args=[the_system().pk, uuid4()])
    assert b"not in the history" in as_staff.get(as_staff.post(address).headers["Location"]).content
    assert as_staff.get(address).status_code == 405


def test_saving_a_rule_as_it_was_is_no_change(as_staff, front):
    rule = front.fitrules.first()
    say(as_staff, front, rule, rule.say)
    assert changes(as_staff) == []


def test_a_move_is_told_with_both_places(as_staff, front):
    as_staff.post(at("move", front, front.fitrules.first()), {"to": "down"})
    step = changes(as_staff)[0].told[0]
    assert step.words == "moved" and "Place: 1" in step.texts[0] + step.texts[1]
