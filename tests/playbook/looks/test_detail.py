"""The page of one look."""

import html
import re

import pytest
from django.urls import reverse

from playbook.models import FitRule, Motion, Option
from tests.playbook.looks.made import look_kwargs

pytestmark = pytest.mark.django_db
PART = {"HX-Request": "true"}


@pytest.fixture
def address():
    return reverse("looks:detail", kwargs=look_kwargs())


def test_it_shows_the_drawing_every_man_with_why_and_the_findings(as_staff, address):
    page = as_staff.get(address)
    text = page.content.decode()
    assert page.status_code == 200
    assert text.count("<tr") > 11 and "<svg" in text
    look = page.context["look"]
    for man in look.defenders:
        assert man.role in text
    assert "Rule " in text and "Saw: " in text


def test_a_stranger_goes_to_the_log_in_page_and_a_player_finds_nothing(client, player, address):
    assert client.get(address).status_code == 302
    client.force_login(player)
    assert client.get(address).status_code == 404


def test_only_get(as_staff, address):
    assert as_staff.post(address).status_code == 405


def test_a_look_that_does_not_exist_is_not_found(as_staff):
    kwargs = look_kwargs() | {"concept": 999999}
    assert as_staff.get(reverse("looks:detail", kwargs=kwargs)).status_code == 404


def test_htmx_gets_only_the_look_and_the_address_to_share(as_staff, address):
    part = as_staff.get(address, {"hash": "left", "to": "", "motion": ""}, headers=PART)
    assert b"<html" not in part.content and b'id="look"' in part.content
    assert part.headers["HX-Push-Url"] == f"{address}?hash=left"


@pytest.mark.parametrize(
    "query", [{"hash": "sideways"}, {"motion": "0"}, {"to": "up"}, {"step-RG": "dances"}, {"step-Q9": "in"}]
)
def test_a_choice_that_is_none_is_refused(as_staff, address, query):
    page = as_staff.get(address, query)
    assert page.status_code == 422
    assert b'role="alert"' in page.content


def test_a_run_that_the_formation_cannot_run_is_told(as_staff):
    page = as_staff.get(reverse("looks:detail", kwargs=look_kwargs("10-doubles", "split-zone")))
    assert page.status_code == 422
    assert page.context["refused"] in page.content.decode().replace("&#x27;", "'").replace("&quot;", '"')


def test_what_if_a_first_step_changes_is_derived_and_kept_in_the_address(as_staff, address):
    plain = as_staff.get(address).context["look"]
    tried = as_staff.get(address, {"step-LG": "out", "step-RG": ""})
    assert dict(tried.context["look"].first_steps) == {"LG": "out"}
    assert [d.fit for d in tried.context["look"].defenders] != [d.fit for d in plain.defenders]
    assert tried.context["address"].endswith("step-LG=out")
    again = as_staff.get(tried.context["address"])
    assert again.context["look"] == tried.context["look"]


def test_motion_flip_direction_and_options_reach_the_engine(as_staff, address):
    motion, option = Motion.objects.get(name="across"), Option.objects.get(name="box")
    query = {"motion": motion.pk, "flip": "on", "to": "left", "options": [option.pk]}
    look = as_staff.get(address, query).context["look"]
    assert (look.motion, look.flip, look.to.word, look.options) == ("across", True, "left", ("box",))


def test_choosing_a_man_draws_the_look_with_his_eyes(as_staff, address):
    plain, chosen = as_staff.get(address), as_staff.get(address, {"role": "MS", "up": "defense"})
    assert chosen.context["chosen"].role == "MS"
    assert chosen.context["svg"] != plain.context["svg"]
    assert "aria-current" in chosen.content.decode()
    assert as_staff.get(address, {"role": "nobody"}).status_code == 200


def test_repairs_are_listed_with_a_rule_to_try_in_the_front(as_staff):
    from playbook.looks import queries, specs
    from playbook.looks.asking import Ask
    from playbook.models import Call, Concept, Formation

    call = Call.objects.select_related("system").get(name="odd-three-safety")
    around = specs.surroundings(call.system_id)
    asks = (Ask(call, f, c) for f in Formation.objects.all() for c in Concept.objects.all())
    for bad in (ask for ask in asks if queries.judge(ask, around).state == queries.UNSOUND):
        page = as_staff.get(reverse("looks:repairs", args=[call.pk, bad.formation.pk, bad.concept.pk]))
        assert page.status_code == 200
        if any(item["links"] for item in page.context["found"]):
            break
    for item in page.context["found"]:
        assert item["repair"].look.band != "not sound"
        told = page.content.decode()
        assert all(html.escape(rule.say) in told for rule in item["repair"].rules)
        assert "<svg" not in told, "the list comes first"
        for link in item["links"]:
            front = as_staff.get(link["address"])
            assert front.status_code == 200
            assert html.escape(link["say"]) in front.content.decode(), "the sentence is there to be edited"
        whole = as_staff.get(item["price"])
        assert whole.status_code == 200 and b"<html" in whole.content
        part = as_staff.get(item["price"], headers=PART)
        assert b"<html" not in part.content and part.content.count(b"<svg") == 2
        price = part.context["weight"].price
        assert price.looks == price.better + price.worse + price.same > 50
        assert price.text in part.content.decode()
        other = item["price"].rsplit("of=", 1)[0] + "of=another"
        assert as_staff.get(other, headers=PART).status_code == 409
    assert any(item["links"] for item in page.context["found"])
    drawn = as_staff.get(bad.address()).content.decode()
    address = html.unescape(re.search(r'<div id="repairs" hx-get="([^"]+)"', drawn)[1])
    part = as_staff.get(address, headers=PART)
    assert part.status_code == 200 and b"<html" not in part.content and b'id="repairs"' in part.content
    FitRule.objects.filter(front=call.front).update(leverage="box")
    late = as_staff.get(address, headers=PART)
    assert late.status_code == 409 and b"has changed since it was drawn" in late.content
    assert b"<ol" not in late.content, "no repairs of another look under this drawing"
