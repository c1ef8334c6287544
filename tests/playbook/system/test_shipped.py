"""Shipped rules improved: offered rule by rule, the staff's own edits never overwritten."""

from copy import deepcopy

import pytest
from django.urls import reverse

import fits
from playbook import convert
from playbook.models import FitRule, ShippedCopy
from playbook.system import services, shipped
from tests.playbook.looks.made import CALL, the_system

pytestmark = pytest.mark.django_db

OTHER = "stay square, as we said it before"


@pytest.fixture
def theirs():
    return fits.load_library().systems[the_system().name].as_dict()


@pytest.fixture(params=["kept", "from its history"])
def old(request, theirs):
    """The system as an older program shipped it: one rule said otherwise, one not there, one that is gone since."""
    data, system = deepcopy(theirs), the_system()
    rules = data["front"][0]["fits"]
    data["front"][0]["fits"] = [rules[0] | {"say": OTHER}, rules[1] | {"id": "OLD1"}, *rules[1:4], *rules[5:]]
    convert.write_system(data, system)
    ShippedCopy.objects.filter(system=system).delete()
    if request.param == "kept":
        ShippedCopy.objects.create(system=system, data=convert.plain(data))
    return data


def offered():
    return {item.at: item for item in shipped.improvements(the_system())}


def ids(theirs):
    return [rule["id"] for rule in theirs["front"][0]["fits"]]


def test_nothing_is_offered_of_what_is_shipped_now():
    assert shipped.improvements(the_system()) == []


def test_what_was_improved_is_offered_with_before_and_after(old, theirs):
    items, rules = offered(), theirs["front"][0]["fits"]
    assert set(items) == {(rules[0]["id"],), (rules[4]["id"],), ("OLD1",)}
    changed, new, gone = items[rules[0]["id"],], items[rules[4]["id"],], items["OLD1",]
    assert (changed.words, new.words, gone.words) == ("changed", "added", "taken out")
    assert OTHER in changed.texts[0] and rules[0]["say"] in changed.texts[1] and OTHER not in changed.texts[1]
    assert new.texts[0] == "" and gone.texts[1] == "" and not any(item.edited for item in items.values())


def test_all_of_it_taken_is_the_shipped_system(old, theirs):
    system = the_system()
    services.carry_out(system, lambda: shipped.take(system, [item.key for item in shipped.improvements(system)]))
    assert convert.system_value(the_system()).as_dict() == theirs
    assert shipped.improvements(the_system()) == []
    assert ShippedCopy.objects.get(system=system).data == convert.plain(theirs)


def test_one_is_taken_and_the_others_are_still_offered(old, theirs):
    system, wanted = the_system(), ids(theirs)[4]
    services.carry_out(system, lambda: shipped.take(system, [offered()[wanted,].key]))
    have = [rule.rule_id for rule in system.fronts.get(name=theirs["front"][0]["name"]).fitrules.all()]
    assert have[have.index(wanted) - 1] == ids(theirs)[3] and have[have.index(wanted) + 1] == ids(theirs)[5]
    assert set(offered()) == {(ids(theirs)[0],), ("OLD1",)}


def test_what_the_staff_edited_is_marked_and_stays(as_staff, old, theirs):
    rule = FitRule.objects.get(front__system=the_system(), rule_id=ids(theirs)[0])
    names = ("rule_id", "who", "when", "fit", "leverage")
    data = {name: getattr(rule, name) for name in names} | {"say": "ours", "version": rule.version}
    address = reverse("system:save-rule", args=["front", rule.front_id, "fits", rule.pk])
    assert as_staff.post(address, data).status_code == 303
    item = offered()[ids(theirs)[0],]
    assert item.edited and "ours" in item.texts[0]
    page = as_staff.get(reverse("system:shipped", args=[the_system().pk])).content.decode()
    assert f'value="{item.key}">' in page and page.count(" checked>") == 2
    as_staff.post(
        reverse("system:take-shipped", args=[the_system().pk]),
        {"take": [i.key for i in offered().values() if not i.edited]},
    )
    assert FitRule.objects.get(front__system=the_system(), rule_id=ids(theirs)[0]).say == "ours"
    as_staff.post(reverse("system:leave-shipped", args=[the_system().pk]), {"take": item.key})
    assert offered() == {}
    assert FitRule.objects.get(front__system=the_system(), rule_id=ids(theirs)[0]).say == "ours"


def test_a_rule_the_staff_took_out_or_made_is_its_own(as_staff, theirs):
    rule = FitRule.objects.get(front__system=the_system(), rule_id=ids(theirs)[2])
    address = reverse("system:delete-rule", args=["front", rule.front_id, "fits", rule.pk])
    assert as_staff.post(address, {"version": rule.version}).status_code == 303
    new = {"rule_id": "OURS", "who": rule.who, "when": "to the strength", "fit": "free", "leverage": "", "say": "x"}
    assert as_staff.post(reverse("system:save-new-rule", args=["front", rule.front_id, "fits"]), new).status_code == 303
    assert offered() == {}
    ShippedCopy.objects.filter(system=the_system()).delete()
    assert offered() == {}


def test_the_page_tells_which_looks_change_and_takes_nothing(as_staff, theirs):
    system, data = the_system(), deepcopy(theirs)
    called = next(call["front"] for call in data["call"] if call["name"] == CALL)
    front = next(part for part in data["front"] if part["name"] == called)
    for rule in front["fits"]:
        rule["fit"], rule["leverage"] = "free", "gap"
    convert.write_system(data, system)
    ShippedCopy.objects.filter(system=system).update(data=convert.plain(data))
    system.refresh_from_db()
    keys = [item.key for item in shipped.improvements(system)]
    assert len(keys) > 5
    before = convert.system_dict(system)
    address = reverse("system:try-shipped", args=[system.pk])
    page = as_staff.post(address, {"take": keys}, headers={"HX-Request": "true"})
    said = page.content.decode()
    assert " looks</b> against the library change" in said and "changed-looks" in said and "<html" not in said
    assert convert.system_dict(the_system()) == before
    assert b"Choose at least one" in as_staff.post(reverse("system:try-shipped", args=[system.pk])).content


def test_what_was_changed_meanwhile_is_refused(as_staff, old):
    as_staff.post(reverse("system:take-shipped", args=[the_system().pk]), {"take": "f" * 20})
    answer = as_staff.get(reverse("system:shipped", args=[the_system().pk]))
    assert "Look at the list again" in answer.content.decode()
    assert len(offered()) == 3


def test_a_system_of_the_staffs_own_has_none():
    own = convert.copy_system(the_system(), "our-own", "Our own")
    assert shipped.improvements(own) == []
