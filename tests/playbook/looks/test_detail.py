"""The page of one look."""

import html
import re

import pytest
from django.urls import reverse

from fits.words import words_of
from playbook.models import FitRule, Motion, Option
from tests.playbook.looks.made import look_kwargs

pytestmark = pytest.mark.django_db
PART = {"HX-Request": "true"}


@pytest.fixture
def address():
    return reverse("looks:detail", kwargs=look_kwargs())


def test_it_shows_the_drawing_every_man_in_a_sentence_and_the_findings(as_staff, address):
    page = as_staff.get(address)
    text = page.content.decode()
    assert page.status_code == 200
    assert text.count("<svg") == 2, "one for a desk, one for a phone"
    look, said = page.context["look"], words_of(page.context["look"])
    listed = re.findall(r'<a id="man-[^"]+".*?</a>', text)
    assert len(listed) == len(look.defenders) == 11
    for man in page.context["men"]:
        d = look.defender(man.role)
        (line,) = [line for line in listed if f'data-man="d:{man.role}"' in line]
        assert f"<b>{said.man(d.role)}</b>" in line and f"<strong>{said.fit(d)}</strong>" in line
        assert man.saw.removesuffix(" …") in said.saw(d)
    assert all(html.escape(said.retell(finding.text)) in text for finding in look.findings)


def test_men_are_listed_as_they_stand_the_secondary_last(as_staff, address):
    for query, turn in (({}, 1), ({"up": "defense"}, -1)):
        page = as_staff.get(address, query)
        look = page.context["look"]
        ordered = [look.defender(man.role) for man in page.context["men"]]
        front = [d for d in ordered if d.group != "secondary"]
        assert ordered[: len(front)] == front
        assert [d.x * turn for d in front] == sorted(d.x * turn for d in front)


def test_its_words_are_switchers_and_each_leads_to_what_it_says(as_staff, address):
    page = as_staff.get(address, {"hash": "left"})
    sentence = {switch.name: switch for switch in page.context["sentence"]}
    assert list(sentence) == [
        "call",
        "formation",
        "concept",
        "to",
        "hash",
        "yard_line",
        "motion",
        "back",
        "pressure",
        "pace",
    ]
    say = " ".join(re.sub(r"<[^>]+>", " ", page.content.decode().split('<p class="say">')[1].split("</p>")[0]).split())
    assert " against " in say and say.endswith(".")
    look, said = page.context["look"], words_of(page.context["look"])
    shown = {choice.value: choice.text for choice in sentence["to"].groups[0][1]}
    assert shown[""] == said.direction, "the side the run goes to by itself is the plain answer"
    (other,) = (value for value in shown if value)
    turned = as_staff.get(address, {"hash": "left", "to": other}).context["look"]
    assert turned.to is look.to.other and words_of(turned).direction == shown[other]
    again = as_staff.get(address, {"hash": "left", "to": other}).context["sentence"]
    (back,) = (switch for switch in again if switch.name == "to")
    assert {choice.text for choice in back.groups[0][1]} == set(shown.values()) and back.value == other
    assert [choice.value for choice in back.groups[0][1] if choice.text == shown[""]] == [look.to.word]


def test_speeds_are_a_switcher_and_change_the_times(as_staff, address):
    arrivals = [
        [d.arrival_s for d in as_staff.get(address, {"pace": pace}).context["look"].defenders if d.arrival_s]
        for pace in ("professional", "", "high-school")
    ]
    assert sum(arrivals[0]) < sum(arrivals[1]) < sum(arrivals[2])
    assert as_staff.get(address, {"pace": "light"}).status_code == 422


def test_a_switched_call_formation_or_run_is_shown_in_place_under_its_own_address(as_staff, address):
    other = look_kwargs("11-trips", "inside-zone")
    query = other | {"hash": "left", "step-LG": "", "motion": ""}
    part = as_staff.get(reverse("looks:start"), query, headers=PART)
    expected = f"{reverse('looks:detail', kwargs=other)}?hash=left"
    assert part.status_code == 200 and b"<html" not in part.content
    assert part.headers["HX-Push-Url"] == expected
    assert as_staff.get(reverse("looks:start"), query).headers["Location"] == expected, "without a script the same"


def test_a_first_step_of_a_man_who_is_not_there_any_more_is_left_out_when_the_formation_is_switched(as_staff):
    query = look_kwargs("10-doubles", "inside-zone") | {"step-Y": "out", "step-LG": "out"}
    part = as_staff.get(reverse("looks:start"), query, headers=PART)
    assert part.status_code == 200 and part.headers["HX-Push-Url"].endswith("?step-LG=out")


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
    assert b"autofocus" in page.content and b'class="say"' in page.content, "another can be chosen there"
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
    assert chosen.context["wide"] != plain.context["wide"] and chosen.context["narrow"] != plain.context["narrow"]
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
