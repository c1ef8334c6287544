"""A man touched on the desk: why he fits there, his rules, and changing one in place."""

import html
import re

import pytest
from django.urls import reverse

from fits.words import words_of
from playbook.models import FitRule
from tests.playbook.looks.made import week_ask

pytestmark = pytest.mark.django_db
PART = {"HX-Request": "true"}


@pytest.fixture
def address():
    return week_ask().address() + "&role=M"


def test_he_has_what_he_saw_his_fit_and_the_rule_that_decides(as_staff, address):
    page = as_staff.get(address)
    man, said = page.context["chosen"], words_of(page.context["look"])
    text = page.content.decode()
    part = html.unescape(text[text.index('class="one-man"') : text.index("men-list")])
    assert said.fit(man) in part and said.saw(man)[1:] in part
    (fires,) = re.findall(r'<li class="fires">(.*?)</li>', part, re.DOTALL)
    assert man.rule.rule.fit in fires and "decides here" in fires
    kinds = [section.kind.key for of in page.context["rules_of"] for section in of.sections]
    assert kinds[0] == "fits" and "align" in kinds and "keys" in kinds
    rules = [row.rule.who for of in page.context["rules_of"] for section in of.sections for row in section.rows]
    assert rules and all("M" in re.split(r"[ ,]+", who) for who in rules), "nobody else's"


def test_his_ladder_comes_from_the_page_of_his_rules(as_staff, address):
    page = as_staff.get(address)
    (knows,) = re.findall(r'<div id="knows" hx-get="([^"]+)"', page.content.decode())
    part = as_staff.get(html.unescape(knows), headers=PART)
    assert part.status_code == 200 and b"His ladder" in part.content and part.context["bench"].man == "M"


def test_a_rule_is_tried_and_saved_from_the_look_and_leads_back_to_it(as_staff, address):
    page = as_staff.get(address)
    rule = FitRule.objects.get(front=page.context["ask"].call.front, rule_id=page.context["chosen"].rule.rule.id)
    opened = next(a for a in re.findall(r'hx-get="([^"]+)"', page.content.decode()) if f"edit=fits-{rule.pk}" in a)
    form = as_staff.get(html.unescape(opened), headers=PART)
    assert form.status_code == 200 and form.headers["HX-Push-Url"] == "false", "the look stays in the address bar"
    inner = form.content.decode()
    assert 'id="rule-form"' in inner and 'hx-target="#preview"' in inner
    hidden = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', inner))
    given = {name: html.unescape(value) for name, value in hidden.items()}
    given |= {"who": rule.who, "when": rule.when, "fit": "B gap", "leverage": "", "say": "", "version": rule.version}
    where = ["front", rule.front_id, "fits", rule.pk]
    tried = as_staff.post(reverse("system:try-rule", args=where), given, headers=PART)
    assert tried.status_code == 200 and b"Tried, not saved" in tried.content
    bad = as_staff.post(reverse("system:save-rule", args=where), given | {"fit": "the moon"}, headers=PART)
    assert bad.status_code == 422 and b'id="preview"' in bad.content and b"rule-errors" in bad.content
    saved = as_staff.post(reverse("system:save-rule", args=where), given, headers=PART)
    assert saved.headers["HX-Redirect"] == page.context["address"]
    rule.refresh_from_db()
    assert rule.fit == "B gap"


@pytest.mark.parametrize("desk", ["https://elsewhere.example/looks/1/2/3", "//elsewhere.example/looks/", "/people/"])
def test_no_other_address_is_gone_back_to(as_staff, address, desk):
    front = as_staff.get(address).context["ask"].call.front
    page = as_staff.get(reverse("system:front", args=[front.pk]), {"desk": desk})
    assert page.status_code == 200 and page.context["bench"].desk == ""
