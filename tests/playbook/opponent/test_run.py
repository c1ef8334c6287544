"""A run written by choosing a man and what he does: redrawn at once, nothing lost, unfinished is no error."""

import re

import pytest
from django.urls import reverse

import fits
from fits.blocking.verbs import VERBS
from playbook import convert
from playbook.models import Alias, Call, Concept, Formation
from playbook.opponent import pictures, run_men
from tests.playbook.looks.made import make_opponent
from tests.playbook.opponent.test_concept import filled

pytestmark = pytest.mark.django_db
PART = {"HX-Request": "true"}
ADD = reverse("opponent:add-concept")


@pytest.fixture
def power():
    return Concept.objects.get(name="power")


@pytest.fixture
def from_doubles():
    return {"formation": Formation.objects.get(name="11-doubles").pk, "call": Call.objects.first().pk}


def men_of(page):
    return {man.role: man for man in page.context["men"]}


def job(page, role, does, when=""):
    man = men_of(page)[role]
    chosen = {"job-who": man.who, "job-names": ",".join(man.names), "job-does": does, "job-when": when}
    return {"do": "job", "man": role} | chosen


def rules(page):
    return [form.initial for form in page.context["sets"]["rules"]]


def test_a_run_starts_from_one_that_is_near_it(as_staff, power):
    opponent = make_opponent()
    page = as_staff.get(ADD, {"opponent": opponent.pk})
    text = page.content.decode()
    for concept in Concept.objects.filter(opponent=None):
        assert f"?copy={concept.pk}&amp;opponent={opponent.pk}" in text
    assert "?copy=0" in text, "and from nothing"
    begun = as_staff.get(ADD, {"copy": power.pk, "opponent": opponent.pk})
    assert b"started from" in begun.content and begun.context["men"]
    assert as_staff.get(ADD, {"copy": "0"}).status_code == 200


def test_the_men_say_what_they_do_and_one_is_picked(as_staff, power, from_doubles):
    page = as_staff.get(reverse("opponent:concept", args=[power.pk]), from_doubles | {"man": "LG"})
    men = men_of(page)
    assert len(men) == 11 and page.context["man"] == men["LG"]
    assert (men["LG"].who, men["C"].who, men["QB"].who) == ("back guard", "centre", "quarterback")
    assert men["C"].does == "back" and men["RG"].does == "down"
    shown = {block.role: block.does for block in page.context["look"].blocks}
    assert {role: man.does for role, man in men.items()} == {role: shown[role] for role in men}, "as it is drawn"
    assert [when for when, _ in men["LG"].rules] == ["with kicker", "end man inside the tight end", ""]
    text = page.content.decode()
    assert re.search(rf'value="{men["LG"].does}" checked', text), "what he does now is chosen"
    assert "With kicker: pull and wrap" in text and "Else: pull and kick" in text
    assert text.count('class="path') == len(VERBS.listing()), "every word has its picture"


def test_a_chosen_word_is_his_job_at_once_and_nothing_is_saved(as_staff, power, from_doubles):
    address, data = reverse("opponent:concept", args=[power.pk]), filled(power) | from_doubles
    page = as_staff.get(address, from_doubles)
    before = {block.role: block.does for block in page.context["look"].blocks}
    part = as_staff.post(address, data | job(page, "LT", "base"), headers=PART)
    after = {block.role: block.does for block in part.context["look"].blocks}
    assert part.status_code == 200 and b"<html" not in part.content
    assert after["LT"] == "base" != before["LT"]
    assert men_of(part)["LT"].does == "base" and part.context["man"].role == "LT"
    assert {role for role in before if before[role] != after[role]} == {"LT"}
    assert [rule["does"] for rule in rules(part) if rule["who"] == "back tackle"] == ["base"], "his old rule is gone"
    assert power.revision == Concept.objects.get(pk=power.pk).revision


def test_a_job_of_many_is_changed_for_one_of_them(as_staff, power, from_doubles):
    address, data = reverse("opponent:concept", args=[power.pk]), filled(power) | from_doubles
    page = as_staff.get(address, from_doubles)
    assert men_of(page)["X"].does == men_of(page)["Z"].does == "stalk"
    part = as_staff.post(address, data | job(page, "X", "crack"), headers=PART)
    assert (men_of(part)["X"].does, men_of(part)["Z"].does) == ("crack", "stalk")


def test_a_condition_leaves_what_he_does_else(as_staff, power, from_doubles):
    address, data = reverse("opponent:concept", args=[power.pk]), filled(power) | from_doubles
    page = as_staff.get(address, from_doubles)
    part = as_staff.post(address, data | job(page, "LT", "base", "covered"), headers=PART)
    his = [(rule["when"], rule["does"]) for rule in rules(part) if rule["who"] == "back tackle"]
    assert his == [("covered", "base"), ("", "hinge")]
    nonsense = as_staff.post(address, data | job(page, "LT", "base", "it rains"), headers=PART)
    assert nonsense.status_code == 200 and ("it rains", "base") in [(r["when"], r["does"]) for r in rules(nonsense)]
    assert b"does not read" in nonsense.content, "said, and what was typed is still there"


def test_another_man_and_another_formation_keep_what_was_chosen(as_staff, power, from_doubles):
    address, data = reverse("opponent:concept", args=[power.pk]), filled(power) | from_doubles
    data["rules-0-does"] = "lead outside"
    page = as_staff.post(address, data | {"do": "man RG"}, headers=PART)
    assert page.context["man"].role == "RG" and rules(page)[0]["does"] == "lead outside"
    wide = Formation.objects.get(name="21-pro-i")
    moved = as_staff.post(
        address, data | {"do": "ball", "man": "RG", "formation": wide.pk, "ball": "play B"}, headers=PART
    )
    assert moved.context["formation"] == wide and moved.context["man"].role == "RG"
    assert moved.context["sets"]["threats"].forms[0].initial["where"] == "play B"
    assert rules(moved)[0]["does"] == "lead outside"


def test_a_man_without_a_job_is_no_error_and_is_named_when_it_is_saved(as_staff, power, from_doubles):
    address, data = reverse("opponent:concept", args=[power.pk]), filled(power) | from_doubles
    number = next(n for n, rule in enumerate(power.blockrules.all()) if rule.who == "back tackle")
    gone = as_staff.post(address, data | {"do": f"drop rules {number}"}, headers=PART)
    assert [man.role for man in gone.context["idle"]] == ["LT"] == [gone.context["man"].role]
    assert b"Has no job yet: LT (back tackle)" in gone.content and b"<svg" in gone.content
    left = {key: value for key, value in data.items() if not key.startswith("rules-")}
    kept = rules(gone)
    left |= {"rules-TOTAL_FORMS": len(kept), "rules-INITIAL_FORMS": 0}
    left |= {f"rules-{n}-{name}": value for n, rule in enumerate(kept) for name, value in rule.items()}
    saved = as_staff.post(address, left)
    assert saved.status_code == 303
    assert b"these have no job yet: LT" in as_staff.get(saved.headers["Location"]).content
    assert not Concept.objects.get(pk=power.pk).blockrules.filter(who="back tackle").exists()
    again = as_staff.get(address, from_doubles)
    assert [man.role for man in again.context["idle"]] == ["LT"], "and it opens as it was left"


def test_a_word_of_a_chart_is_written_where_it_was_met_and_means_it_then(as_staff, power):
    opponent = make_opponent()
    start = as_staff.get(ADD, {"opponent": opponent.pk, "word": "Big Hammer"})
    assert f"?copy={power.pk}&amp;opponent={opponent.pk}&amp;word=Big%20Hammer" in start.content.decode()
    address = f"{ADD}?copy={power.pk}&opponent={opponent.pk}&word=Big%20Hammer"
    assert as_staff.get(address).context["form"].initial["label"] == "Big Hammer"
    saved = as_staff.post(address, filled(power, label="Big Hammer"))
    assert saved.headers["Location"] == reverse("charts:words", args=[opponent.pk])
    alias = Alias.objects.get(opponent=opponent, kind="concept")
    assert (alias.word, alias.concept.name) == ("big hammer", "big-hammer")


def test_every_word_of_the_engine_has_a_picture_of_its_own():
    found = pictures.pictures()
    assert list(found) == [entry["example"] for entry in VERBS.listing()]
    drawn = {(picture.boxes, picture.dots, picture.path) for picture in found.values()}
    assert len(drawn) == len(found)
    for kind in fits.offense.formation.Kind:
        first, others = pictures.usual(kind)
        assert first and len(first) + len(others) == len(found), kind
    for picture in found.values():
        x, y = picture.boxes[0]
        assert 4 <= x <= 68 and 4 <= y <= 44, picture.word


@pytest.mark.parametrize("formation", ["10-doubles", "12-wing", "21-pro-i", "11-h-back", "02-empty"])
def test_every_man_of_a_shipped_formation_is_called_something_that_a_rule_can_name(formation, power):
    value = convert.formation_value(Formation.objects.get(name=formation, opponent=None))
    offense = fits.Deriver().stand(value).snap.offense
    zone = convert.concept_value(Concept.objects.get(name="inside-zone"))
    try:
        men = run_men.run_men(zone, offense)
    except fits.NotRunnable:
        pytest.skip("nobody carries it")
    called = [man.who for man in men]
    assert len(set(called)) >= 10, called
    data = zone.as_dict()
    for man in men:
        data["rules"] = run_men.give_job(data["rules"], man.who, man.names, "fake")
    built = fits.build_concept(data, "run")
    assert {man.does for man in run_men.run_men(built, offense)} == {"fake"}
