"""Runs: a rule for each position, run against a chosen call while they are written."""

import pytest
from django.urls import reverse

from playbook import convert
from playbook.models import Call, Concept, Formation
from playbook.opponent import forms, queries
from tests.playbook.looks.made import make_opponent

pytestmark = pytest.mark.django_db
PART = {"HX-Request": "true"}
ADD, TRY = reverse("opponent:add-concept"), reverse("opponent:try-concept")


def filled(concept, **head):
    data = queries.concept_head(concept) | {"seen": concept.revision, "eyes": ""} | head
    for key, rows in queries.concept_rows(concept).items():
        data |= {f"{key}-TOTAL_FORMS": len(rows), f"{key}-INITIAL_FORMS": 0}
        for number, row in enumerate(rows):
            for name in forms.ROWS[key].form.base_fields:
                value = row.get(name, "")
                data[f"{key}-{number}-{name}"] = "" if value in (None, False) else value
    return data


@pytest.fixture
def power():
    return Concept.objects.get(name="power")


def test_the_page_shows_every_rule_and_the_run_against_a_call(as_staff, power):
    page = as_staff.get(reverse("opponent:concept", args=[power.pk]))
    text = page.content.decode()
    for rule in power.blockrules.all():
        assert rule.does in text and rule.who in text
    assert "<svg" in text and page.context["look"].concept == "power"


def test_saving_what_was_shown_changes_nothing(as_staff, power):
    before = convert.concept_dict(power)
    saved = as_staff.post(reverse("opponent:concept", args=[power.pk]), filled(power))
    assert saved.status_code == 303
    after = convert.concept_dict(Concept.objects.get(pk=power.pk))
    assert [after[key] for key in ("rules", "cast", "threats")] == [before[key] for key in ("rules", "cast", "threats")]


def test_trying_runs_it_against_the_chosen_call_and_saves_nothing(as_staff, power):
    call, formation = Call.objects.first(), Formation.objects.get(name="11-doubles")
    data = filled(power) | {"call": call.pk, "formation": formation.pk}
    plain = as_staff.post(TRY, data, headers=PART)
    assert plain.status_code == 200 and b"<html" not in plain.content and b"<svg" in plain.content
    number = next(i for i, rule in enumerate(power.blockrules.all()) if rule.who == "back tackle")
    tried = as_staff.post(TRY, data | {f"rules-{number}-does": "base"}, headers=PART)
    assert tried.context["look"].blocks != plain.context["look"].blocks
    assert power.revision == Concept.objects.get(pk=power.pk).revision


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("rules-0-does", "dances", "Expected a block such as"),
        ("rules-0-when", "it rains", "Expected a"),
        ("threats-0-where", "the moon", "Expected"),
        ("time_s", "99", "less than or equal to 5"),
        ("to", "up", "Expected one of run strength"),
        ("label", "", "required"),
    ],
)
def test_a_phrase_the_engine_does_not_know_is_told_beside_its_field(as_staff, power, field, value, words):
    data = filled(power) | {field: value}
    page = as_staff.post(reverse("opponent:concept", args=[power.pk]), data)
    assert page.status_code == 422 and words in page.content.decode()
    part = as_staff.post(TRY, data, headers=PART)
    assert part.status_code == 422 and b"<html" not in part.content
    assert power.revision == Concept.objects.get(pk=power.pk).revision


def test_rows_are_added_moved_and_taken_out_without_losing_what_was_typed(as_staff, power):
    address, data = reverse("opponent:concept", args=[power.pk]), filled(power) | {"rules-0-does": "half-typed"}
    who = [rule.who for rule in power.blockrules.all()]
    down = as_staff.post(address, data | {"do": "down rules 0"}, headers=PART)
    assert b"<html" not in down.content
    rows = down.context["sets"]["rules"]
    assert [form.initial["who"] for form in rows] == [who[1], who[0], *who[2:]]
    assert rows.forms[1].initial["does"] == "half-typed"
    added = as_staff.post(address, data | {"do": "add threats"})
    assert len(added.context["sets"]["threats"].forms) == power.threatrules.count() + 1
    dropped = as_staff.post(address, data | {"do": "drop rules 2"})
    assert len(dropped.context["sets"]["rules"].forms) == len(who) - 1
    assert as_staff.post(address, data | {"do": "nonsense"}).status_code == 200


def test_a_run_is_written_for_an_opponent_from_another(as_staff, power):
    opponent = make_opponent()
    page = as_staff.get(f"{ADD}?copy={power.pk}&opponent={opponent.pk}")
    assert b"Power, our own" in page.content
    saved = as_staff.post(f"{ADD}?opponent={opponent.pk}", filled(power, label="Power 22"))
    made = Concept.objects.get(name="power-22")
    assert saved.headers["Location"] == reverse("opponent:concept", args=[made.pk])
    assert made.opponent == opponent and made in opponent.concepts.all()
    taken = as_staff.post(f"{ADD}?opponent={opponent.pk}", filled(power, label="Power 22"))
    assert taken.status_code == 422 and b"here already" in taken.content


def test_two_people_changing_the_same_run(as_staff, power):
    seen = filled(power, time_s=2.5)
    power.blockrules.filter(who="centre").update(does="base")
    page = as_staff.post(reverse("opponent:concept", args=[power.pk]), seen)
    assert page.status_code == 409
    assert b"centre: base" in page.content and b"seconds: 2.5" in page.content


def test_deleting_and_wrong_people_and_methods(client, staff, player, power):
    address = reverse("opponent:concept", args=[power.pk])
    assert client.get(address).status_code == 302
    client.force_login(player)
    assert client.get(address).status_code == 404 and client.post(TRY).status_code == 404
    client.force_login(staff)
    assert client.get(TRY).status_code == 405
    client.post(reverse("opponent:delete-concept", args=[power.pk]))
    assert not Concept.objects.filter(pk=power.pk).exists()
