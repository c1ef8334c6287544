"""A front's page: its rules beside a drawing, tried before they are saved."""

import pytest
from django.urls import reverse

from playbook.models import FitRule, System
from playbook.system import services
from playbook.system.rules import KINDS
from tests.playbook.looks.made import CALL, make_opponent, the_system

pytestmark = pytest.mark.django_db
PART = {"HX-Request": "true"}


@pytest.fixture
def front():
    return the_system().calls.select_related("front").get(name=CALL).front


@pytest.fixture
def view():
    """The drawing's part of every form: an opponent with a short menu, so that the looks are few."""
    opponent = make_opponent()
    return {"opponent": opponent.pk, "formation": opponent.formations.first().pk}


def at(action, front, rule=None, kind="fits", what="front"):
    if rule is None:
        return reverse(f"system:{action}-new-rule", args=[what, front.pk, kind])
    return reverse(f"system:{action}-rule", args=[what, front.pk, kind, rule.pk])


def filled(rule, **changes):
    names = KINDS["fits"].fields
    return {name: getattr(rule, name) for name in names} | {"version": rule.version} | changes


def test_a_front_opens_with_every_rule_and_a_drawing(as_staff, front):
    page = as_staff.get(reverse("system:front", args=[front.pk]))
    text = page.content.decode()
    assert page.status_code == 200 and "<svg" in text
    for rule in front.fitrules.all():
        assert f"rule-fits-{rule.pk}" in text
    assert text.count("<datalist") >= 5


def test_a_coverage_opens_with_pass_duties_and_force(as_staff, front):
    coverage = the_system().calls.get(name=CALL).coverage
    text = as_staff.get(reverse("system:coverage", args=[coverage.pk])).content.decode()
    assert "Pass duties" in text and "Force" in text


def test_without_a_run_the_alignment_alone_is_drawn(as_staff, front):
    page = as_staff.get(reverse("system:front", args=[front.pk]), {"concept": ""})
    assert "look" not in page.context and "<svg" in page.content.decode()


def test_the_rules_of_one_man_can_be_shown_alone(as_staff, front):
    page = as_staff.get(reverse("system:front", args=[front.pk]), {"man": "N"})
    shown = [row.rule.who for section in page.context["sections"]() for row in section.rows]
    assert shown and all("N" in who for who in shown)


def test_strangers_players_and_wrong_methods(client, player, staff, front):
    address = reverse("system:front", args=[front.pk])
    assert client.get(address).status_code == 302
    client.force_login(player)
    assert client.get(address).status_code == 404
    client.force_login(staff)
    assert client.post(address).status_code == 405
    rule = front.fitrules.first()
    for action in ("try", "save", "move", "delete"):
        assert client.get(at(action, front, rule)).status_code == 405


def test_trying_a_rule_redraws_lists_the_looks_that_change_and_saves_nothing(as_staff, front, view):
    rule = front.fitrules.get(rule_id="E5")
    revision = System.objects.get(pk=front.system_id).revision
    address, data = at("try", front, rule), filled(rule, fit="free", leverage="") | view
    tried = as_staff.post(address, data, headers=PART)
    assert tried.status_code == 200 and b"<html" not in tried.content and b"Tried, not saved" in tried.content
    impact = as_staff.post(address, data | {"impact": "1"}, headers=PART)
    found = impact.context["impact"]
    assert b'id="impact"' in impact.content and b"<html" not in impact.content
    assert 0 < len(found.changed) <= found.total
    assert any(change.before.state != change.after.state for change in found.changed)
    assert any(move.role in ("strong E", "weak E") for change in found.changed for move in change.moves)
    rule.refresh_from_db()
    assert rule.fit != "free"
    assert System.objects.get(pk=front.system_id).revision == revision


def test_what_was_announced_is_what_happens(as_staff, front, view):
    from playbook.looks import queries as looks
    from playbook.looks import specs

    rule = front.fitrules.filter(who="N", when="").last()
    data = filled(rule, fit="free", leverage="") | view
    found = as_staff.post(at("try", front, rule), data | {"impact": "1"}, headers=PART).context["impact"]
    as_staff.post(at("save", front, rule), data)
    around = specs.surroundings(front.system_id)
    for change in found.changed:
        change.ask.call.refresh_from_db()
        assert looks.sum_up(looks.known_look(change.ask, around)) == change.after


def test_without_htmx_trying_answers_the_whole_page_with_the_looks(as_staff, front, view):
    rule = front.fitrules.filter(who="N", when="").last()
    page = as_staff.post(at("try", front, rule), filled(rule, fit="free", leverage="") | view)
    assert b"<html" in page.content and b"What changes" in page.content and b"rule-form" in page.content


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("fit", "the moon", "Expected a fit such as"),
        ("when", "raining", "Expected a condition"),
        ("who", "Q", "Expected a position of this system"),
        ("leverage", "sideways", "Select a valid choice"),
        ("rule_id", "", "This field is required"),
        ("fit", "x" * 500, "at most 120 characters"),
    ],
)
@pytest.mark.parametrize("action", ["try", "save"])
def test_a_phrase_the_engine_does_not_know_is_told_beside_its_field(as_staff, front, view, action, field, value, words):
    rule = front.fitrules.first()
    page = as_staff.post(at(action, front, rule), filled(rule, **{field: value}) | view)
    assert page.status_code == 422
    assert any(words in error for error in page.context["form"].errors[field])
    before = rule.version
    rule.refresh_from_db()
    assert rule.version == before


def test_a_rule_id_is_there_once(as_staff, front, view):
    first, second = front.fitrules.all()[:2]
    page = as_staff.post(at("save", front, second), filled(second, rule_id=first.rule_id) | view)
    assert page.status_code == 422


def test_saving_changes_the_rule_and_htmx_gets_the_bench(as_staff, front, view):
    rule = front.fitrules.first()
    page = as_staff.post(at("save", front, rule), filled(rule, say="outside shoulder, hands up") | view, headers=PART)
    assert page.status_code == 200 and b'id="bench"' in page.content and b"<html" not in page.content
    rule.refresh_from_db()
    assert rule.say == "outside shoulder, hands up"
    again = as_staff.post(at("save", front, rule), filled(rule, say="again") | view)
    assert again.status_code == 303 and again.headers["Location"].endswith(f"#rule-fits-{rule.pk}")


def test_the_second_of_two_editors_sees_both_versions_and_nothing_is_lost(as_staff, front, view):
    rule = front.fitrules.first()
    seen = filled(rule, say="mine") | view
    services.carry_out(front.system, lambda: services.change_rule(rule, rule.version, {"say": "theirs"}))
    page = as_staff.post(at("save", front, rule), seen)
    assert page.status_code == 409
    assert b"mine" in page.content and b"theirs" in page.content
    part = as_staff.post(at("save", front, rule), seen, headers=PART)
    assert part.status_code == 409 and part.headers["HX-Retarget"] == "#bench"
    rule.refresh_from_db()
    assert rule.say == "theirs"


def test_a_rule_that_was_deleted_meanwhile_is_a_conflict(as_staff, front, view):
    rule = front.fitrules.exclude(when="").first()
    seen, address = filled(rule, say="mine") | view, at("save", front, rule)
    rule.delete()
    page = as_staff.post(address, seen)
    assert page.status_code == 409 and b"mine" in page.content and b"It was deleted" in page.content


def test_adding_at_a_place_moving_and_deleting_keep_the_list_whole(as_staff, front, view):
    ids = lambda: list(FitRule.objects.filter(front=front).values_list("rule_id", flat=True))  # noqa: E731
    before = ids()
    new = {"rule_id": "N9", "who": "N", "when": "doubled", "fit": "two-gap", "place": 1} | view
    assert as_staff.post(at("save", front), new).status_code == 303
    assert ids() == ["N9", *before]
    rule = front.fitrules.get(rule_id="N9")
    as_staff.post(at("move", front, rule), {"to": "down"})
    assert ids() == [before[0], "N9", *before[1:]]
    as_staff.post(at("move", front, rule), {"to": "up"})
    as_staff.post(at("move", front, rule), {"to": "up"})
    assert ids() == ["N9", *before]
    rule.refresh_from_db()
    as_staff.post(at("delete", front, rule), {"version": rule.version})
    assert ids() == before


def test_moving_among_the_rules_of_one_man_passes_the_next_of_his(as_staff, front):
    mine = [rule for rule in front.fitrules.all() if "N" in rule.who.split(", ")]
    as_staff.post(at("move", front, mine[-1]), {"to": "up", "man": "N"})
    after = [rule.pk for rule in front.fitrules.all() if "N" in rule.who.split(", ")]
    assert after == [rule.pk for rule in (*mine[:-2], mine[-1], mine[-2])]


def test_the_last_rule_that_always_holds_cannot_be_deleted(as_staff, front):
    rule = front.alignrules.get(who="N", when="")
    address = as_staff.post(at("delete", front, rule, "align"), {"version": rule.version}).headers["Location"]
    assert b"Not deleted" in as_staff.get(address).content
    assert front.alignrules.filter(pk=rule.pk).exists()


def test_a_kind_of_rule_that_a_front_has_not_is_not_found(as_staff, front):
    assert as_staff.post(at("save", front, kind="takes"), {"who": "N", "takes": "flat"}).status_code == 404
    assert as_staff.get(reverse("system:front", args=[front.pk]), {"edit": "fits-999999"}).status_code == 404
    assert as_staff.get(reverse("system:front", args=[front.pk]), {"edit": "dance-1"}).status_code == 404


def test_an_unused_front_asks_for_a_call(as_staff):
    system = the_system()
    made = services.carry_out(system, lambda: services.add_front(system, {"name": "bear"}, None))
    page = as_staff.get(reverse("system:front", args=[made.pk]))
    assert page.status_code == 200 and b"No call uses this front yet" in page.content


def test_a_proposed_rule_comes_filled_in_is_tried_at_once_and_is_not_saved(as_staff, front):
    query = {"edit": "fits-new", "rule_id": "fix", "who": "N", "fit": "two-gap", "when": "doubled", "place": "1"}
    text = as_staff.get(reverse("system:front", args=[front.pk]), query).content.decode()
    assert 'value="two-gap"' in text and "from:#rule-form, load" in text
    assert text.index('id="rule-form"') < text.index(f"rule-fits-{front.fitrules.first().pk}")
    assert not front.fitrules.filter(rule_id="fix").exists()


@pytest.mark.parametrize("query", [{"edit": "x\ny"}, {"formation": "x"}, {"call": "0"}, {"hash": "up"}, {"man": "Q"}])
def test_an_address_with_nonsense_shows_the_front_all_the_same(as_staff, front, query):
    assert as_staff.get(reverse("system:front", args=[front.pk]), query).status_code == 200
