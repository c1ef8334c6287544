"""A front's page: its rules beside a drawing, tried before they are saved."""

from html import unescape

import pytest
from django.urls import reverse

from playbook.models import FitRule, System, Week
from playbook.system import services
from playbook.system.rules import KINDS
from tests.playbook.looks.made import CALL, make_opponent, the_system
from tests.playbook.week.made import make_week

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
    assert "look" not in page.context and b'class="pick-man"' in page.content and "<svg" in page.content.decode()


def test_the_rules_of_one_man_stand_first_and_the_others_are_folded(as_staff, front):
    page = as_staff.get(reverse("system:front", args=[front.pk]), {"man": "N"})
    his = [row.rule.who for section in page.context["sections"]() for row in section.rows]
    others = [row.rule.who for section in page.context["sections"]() for row in section.others]
    assert his and all("N" in who.split(", ") for who in his)
    assert others and not any("N" in who.split(", ") for who in others)
    text = page.content.decode()
    assert text.index("Other men of this front") > text.index(f"rule-fits-{front.fitrules.filter(who='N').last().pk}")


def test_somebody_is_always_chosen(as_staff, front):
    address = reverse("system:front", args=[front.pk])
    assert as_staff.get(address).context["bench"].man == "M", "a backer of this front"
    rule = front.fitrules.filter(who="N").first()
    assert as_staff.get(address, {"edit": f"fits-{rule.pk}"}).context["bench"].man == "N", "whose rule is opened"
    assert as_staff.get(address, {"edit": "fits-new", "who": "left E"}).context["bench"].man == "E"
    coverage = the_system().calls.get(name=CALL).coverage
    chosen = as_staff.get(reverse("system:coverage", args=[coverage.pk])).context["bench"].man
    assert any(chosen in rule.who for rule in coverage.fitrules.all())


def test_a_man_is_picked_on_the_drawing_or_from_the_row_below(as_staff, front):
    page = as_staff.get(reverse("system:front", args=[front.pk]), {"man": "W"})
    picture = page.context["men_picture"]
    assert len(picture.ours) == 11 and {spot.position for spot in picture.ours} == {
        position.name for position in the_system().positions.all()
    }
    for spot in picture.ours:
        near = [o for o in picture.ours if o is not spot and (o.x - spot.x) ** 2 + (o.y - spot.y) ** 2 < 20**2]
        assert not near, "two men on one place cannot be touched"
        assert 0 < spot.x < picture.width and 0 < spot.y < picture.line
    text = page.content.decode()
    for position in the_system().positions.all():
        assert text.count(f"man={position.name}&amp;") + text.count(f'man={position.name}"') >= 2
    assert text.count('aria-current="true"') == 2, "on the drawing and in the row"


def test_his_rules_say_how_often_they_decide_in_the_week(as_staff, front):
    week = make_week(pairs=[("10-doubles", "inside-zone"), ("11-doubles", "power"), ("11-doubles", "counter")])
    Week.objects.filter(pk=week.pk).update(opponent=make_opponent("Week's Own"))
    for order, share in enumerate((0.5, 0.25, None)):
        week.expected_looks.filter(order=order).update(share=share)
    page = as_staff.get(reverse("system:front", args=[front.pk]), {"man": "M"})
    bench, uses = page.context["bench"], page.context["uses"]()
    assert bench.week == week and bench.ask.setting.week == week
    assert sum(use.looks for use in uses.values()) == 3, "one rule decides each look"
    assert sum(use.share for use in uses.values()) == pytest.approx(0.75)
    text = page.content.decode()
    assert "% of their runs" in text and "never fires this week" in text
    fired = page.context["fired"]
    assert text.count("fires") > 1 and fired <= set(uses)


def test_his_ladder_and_what_he_cannot_know_come_after_the_rules(as_staff, front, view):
    address = reverse("system:knows", args=["front", front.pk])
    part = as_staff.get(address, view | {"man": "M"}, headers=PART)
    known = part.context["known"]
    assert b"<html" not in part.content and known.ladder.role == "M" and known.ladder.rungs
    for rung in known.ladder.rungs:
        assert rung.then in unescape(part.content.decode())
    whole = as_staff.get(address, view | {"man": "M"})
    assert b"<html" in whole.content and b"His ladder" in whole.content
    assert b"too many looks" in as_staff.get(address, {"opponent": "", "man": "M"}).content
    page = as_staff.get(reverse("system:front", args=[front.pk]), view)
    assert f"{address}?".encode() in page.content, "the rules do not wait for it"


def test_what_he_cannot_know_names_both_looks(as_staff, front, view):
    front.fitrules.filter(who="M").exclude(when="").delete()
    front.fitrules.filter(who="M", when="").update(fit="inside kick else B gap", leverage="inside")
    front.keyrules.filter(who="M").update(reads="#1")
    part = as_staff.get(reverse("system:knows", args=["front", front.pk]), view | {"man": "M"}, headers=PART)
    known = part.context["known"]
    assert known.alike, "he sees too little now"
    for pair in known.alike:
        text = unescape(part.content.decode())
        assert pair.one.address() in text and pair.other.address() in text
        assert pair.one != pair.other and pair.here != pair.there


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


def test_a_new_rule_gets_an_id_of_the_programs_own(as_staff, front, view):
    page = as_staff.post(at("save", front), {"who": "left E", "fit": "free", "when": "doubled", "place": 1} | view)
    assert page.status_code == 303
    made = front.fitrules.get(who="left E", when="doubled")
    assert (
        made.rule_id
        and b'type="hidden" name="rule_id"'
        in as_staff.get(reverse("system:front", args=[front.pk]), {"edit": f"fits-{made.pk}"}).content
    )


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


def test_a_rule_is_dropped_some_places_on(as_staff, front):
    ids = lambda: [rule.rule_id for rule in front.fitrules.all() if "M" in rule.who.split(", ")]  # noqa: E731
    before = ids()
    first = front.fitrules.get(rule_id=before[0])
    as_staff.post(at("move", front, first), {"to": "2", "man": "M"})
    assert ids() == [before[1], before[2], before[0], *before[3:]]
    as_staff.post(at("move", front, first), {"to": "-2", "man": "M"})
    assert ids() == before
    for nonsense in ("sideways", "0", "", "--1"):
        assert as_staff.post(at("move", front, first), {"to": nonsense, "man": "M"}).status_code == 404
    assert ids() == before


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
    made = services.carry_out(system, lambda: services.add_front(system, {"label": "Bear"}, None))
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
