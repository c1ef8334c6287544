"""Lists and rows: pages, filters, what is written and what is refused."""

import pytest
from django.urls import reverse

import fits
from playbook import convert
from playbook.models import ExpectedLook, FitRule, Formation, Front, Position, System, Week

pytestmark = pytest.mark.django_db


def first(coach, address, **filters):
    return coach.get(f"/api/{address}/", filters).json()["results"][0]


def test_a_list_comes_in_pages(coach):
    page = coach.get("/api/fit-rules/", {"page_size": 7, "page": 2}).json()
    assert page["count"] == FitRule.objects.count()
    assert len(page["results"]) == 7
    assert page["previous"] and page["next"]
    assert coach.get("/api/fit-rules/", {"page": 10_000}).status_code == 404


def test_a_list_is_filtered(coach, system):
    names = {row["name"] for row in coach.get("/api/positions/", {"system": system.pk}).json()["results"]}
    assert names == set(system.positions.values_list("name", flat=True))
    only = coach.get("/api/positions/", {"system": system.pk, "group": "line"}).json()["results"]
    assert {row["group"] for row in only} == {"line"}


@pytest.mark.parametrize(
    "query",
    ["page_size=0", "page_size=201", "page_size=ten", "group=middle", "system=x", "sistem=1", "system=1&system=2"],
)
def test_a_wrong_parameter_is_named(coach, query):
    response = coach.get(f"/api/positions/?{query}")
    assert response.status_code == 400
    assert list(response.json()["errors"]) == [query.split("=")[0]]


def test_true_and_false_are_the_only_truths(coach):
    assert coach.get("/api/weeks/?released=true").status_code == 200
    assert coach.get("/api/weeks/?released=1").status_code == 400


def test_a_rule_is_changed_and_counts_its_version(coach):
    rule = first(coach, "fit-rules")
    changed = coach.patch(f"/api/fit-rules/{rule['id']}/", {"say": "stay square", "version": rule["version"]})
    assert changed.status_code == 200
    assert changed.json() == rule | {"say": "stay square", "version": rule["version"] + 1}


def test_the_second_of_two_changes_gets_what_the_first_wrote(coach):
    rule = first(coach, "fit-rules")
    address = f"/api/fit-rules/{rule['id']}/"
    coach.patch(address, {"say": "first", "version": rule["version"]})
    late = coach.patch(address, {"say": "second", "version": rule["version"]})
    assert late.status_code == 409
    assert late.json()["current"]["say"] == "first"
    assert coach.get(address).json()["say"] == "first"
    assert coach.delete(f"{address}?version={rule['version']}").status_code == 409


@pytest.mark.parametrize("seen", [None, "1", 1.5, True, -1])
def test_a_change_needs_the_version(coach, seen):
    rule = first(coach, "fit-rules")
    body = {"say": "x"} if seen is None else {"say": "x", "version": seen}
    response = coach.patch(f"/api/fit-rules/{rule['id']}/", body)
    assert response.status_code == 400
    assert "version" in response.json()["errors"]


@pytest.mark.parametrize(
    ("key", "value"), [("fit", "somewhere else"), ("when", "it rains"), ("who", "ZZ"), ("leverage", "sideways")]
)
def test_the_engine_refuses_and_names_the_key(coach, key, value):
    rule = first(coach, "fit-rules")
    response = coach.patch(f"/api/fit-rules/{rule['id']}/", {key: value, "version": rule["version"]})
    assert response.status_code == 422
    assert key in response.json()["errors"]
    assert "expected" in response.json()["detail"]
    assert coach.get(f"/api/fit-rules/{rule['id']}/").json() == rule


@pytest.mark.parametrize(
    ("key", "value"),
    [("say", 5), ("say", None), ("say", "x" * 301), ("order", "1"), ("order", True), ("order", -1), ("speed", "fast")],
)
def test_a_wrong_shape_is_400_and_named(coach, key, value):
    rule = first(coach, "fit-rules")
    response = coach.patch(f"/api/fit-rules/{rule['id']}/", {key: value, "version": rule["version"]})
    assert response.status_code == 400
    assert list(response.json()["errors"]) == [key]


def test_a_rule_is_added_at_its_place(coach, system):
    front = system.fronts.first()
    before = list(front.fitrules.values_list("rule_id", flat=True))
    who = front.fitrules.first().who
    body = {"front": front.pk, "rule_id": "NEW1", "who": who, "when": "kicked", "fit": "box", "order": 1}
    made = coach.post("/api/fit-rules/", body)
    assert made.status_code == 201, made.json()
    after = list(front.fitrules.values_list("rule_id", flat=True))
    assert after == [before[0], "NEW1", *before[1:]]
    assert list(front.fitrules.values_list("order", flat=True)) == list(range(len(after)))


def test_a_rule_is_moved_and_the_others_keep_their_versions(coach, system):
    front = system.fronts.first()
    ids = list(front.fitrules.values_list("rule_id", flat=True))
    last = front.fitrules.last()
    moved = coach.patch(f"/api/fit-rules/{last.pk}/", {"order": 0, "version": last.version})
    assert moved.json()["order"] == 0
    assert list(front.fitrules.values_list("rule_id", flat=True)) == [ids[-1], *ids[:-1]]
    assert set(front.fitrules.exclude(pk=last.pk).values_list("version", flat=True)) == {1}


def test_a_rule_has_one_owner_and_keeps_it(coach, system):
    body = {"rule_id": "NEW1", "who": "E", "fit": "box"}
    both = {"front": system.fronts.first().pk, "coverage": system.coverages.first().pk}
    assert coach.post("/api/fit-rules/", body).status_code == 422
    assert coach.post("/api/fit-rules/", body | both).status_code == 422
    rule = system.fronts.first().fitrules.first()
    other = Front.objects.exclude(system=system).first()
    moved = coach.patch(f"/api/fit-rules/{rule.pk}/", {"front": other.pk, "version": rule.version})
    assert moved.status_code == 422
    assert list(moved.json()["errors"]) == ["front"]


def test_what_is_in_use_is_not_deleted(coach, system):
    front = system.fronts.first()
    response = coach.delete(f"/api/fronts/{front.pk}/?version={front.version}")
    assert response.status_code == 422
    assert system.calls.first().label in response.json()["detail"]


def test_a_rule_is_deleted_unless_a_man_would_be_left_without(coach, system):
    front = system.fronts.first()
    spare = front.fitrules.exclude(when="").first()
    assert coach.delete(f"/api/fit-rules/{spare.pk}/?version={spare.version}").status_code == 204
    only = front.alignrules.filter(when="", who="N").last()
    response = coach.delete(f"/api/align-rules/{only.pk}/?version={only.version}")
    assert response.status_code == 422
    assert "alignment rule" in response.json()["detail"]
    assert front.alignrules.filter(pk=only.pk).exists()


def test_a_position_renamed_keeps_its_rules(coach, system):
    nose = system.positions.get(name="N")
    rules = system.fronts.first().fitrules.filter(who="N").count()
    assert rules
    response = coach.patch(f"/api/positions/{nose.pk}/", {"name": "NT", "version": nose.version})
    assert response.status_code == 200, response.json()
    assert system.fronts.first().fitrules.filter(who="NT").count() == rules
    assert convert.system_value(System.objects.get(pk=system.pk))


def test_a_twelfth_man_is_refused(coach, system):
    body = {"system": system.pk, "name": "X9", "group": "line", "side": "left"}
    response = coach.post("/api/positions/", body)
    assert response.status_code == 422
    assert "eleven" in response.json()["detail"]
    assert not Position.objects.filter(name="X9").exists()


def test_a_name_is_there_once(coach, system):
    front = system.fronts.first()
    response = coach.post("/api/fronts/", {"system": system.pk, "name": front.name, "label": "Again"})
    assert response.status_code == 422


def test_a_call_joins_parts_of_its_own_system(coach, system):
    other = Front.objects.exclude(system=system).first()
    body = {"system": system.pk, "label": "Mixed", "front": other.pk}
    body["coverage"] = system.coverages.first().pk
    assert coach.post("/api/calls/", body).status_code == 422


def test_a_system_travels_as_a_file(coach, system):
    text = coach.get(f"/api/systems/{system.pk}/file/").json()["file"]
    assert coach.post("/api/systems/", {"file": text}).status_code == 422  # the name is taken
    fresh = text.replace('"odd-three-safety"', '"odd-again"', 1)
    made = coach.post("/api/systems/", {"file": fresh})
    assert made.status_code == 201, made.json()
    again = coach.get(f"/api/systems/{made.json()['id']}/file/").json()["file"]
    assert fits.read_system(again, "x").as_dict()["front"] == fits.read_system(text, "x").as_dict()["front"]


def test_a_bad_file_changes_nothing_and_names_the_line(coach):
    count = System.objects.count()
    response = coach.post("/api/systems/", {"file": "[system]\nname = \n"})
    assert response.status_code == 422
    assert System.objects.count() == count


def test_a_variant_is_made(coach, system):
    made = coach.post(f"/api/systems/{system.pk}/copy/", {"label": "Odd for Vellmark"})
    assert made.status_code == 201
    assert made.json()["base"] == system.pk
    again = coach.post(f"/api/systems/{system.pk}/copy/", {"label": "Odd for Vellmark"})
    assert again.status_code == 422


PLAYERS = [
    {"role": "QB", "kind": "quarterback", "x": 0, "y": -5},
    {"role": "T", "kind": "back", "x": -1.6, "y": -5},
    {"role": "Y", "kind": "tight end", "x": 4.8, "y": -0.6},
    {"role": "X", "kind": "receiver", "x": -18, "y": -0.6},
    {"role": "Z", "kind": "receiver", "x": 18, "y": -1.6},
    {"role": "R", "kind": "receiver", "x": 10, "y": -1.6},
]


def test_a_formation_is_written_whole(coach):
    made = coach.post("/api/formations/", {"label": "Own one", "personnel": "11", "players": PLAYERS})
    assert made.status_code == 201, made.json()
    formation = Formation.objects.get(name="own-one")
    assert formation.players.count() == len(PLAYERS)
    wider = [dict(p, x=20) if p["role"] == "Z" else p for p in PLAYERS]
    seen = made.json()["version"]
    changed = coach.patch(f"/api/formations/{formation.pk}/", {"players": wider, "version": seen})
    assert changed.status_code == 200
    assert formation.players.get(role="Z").x == 20
    late = coach.patch(f"/api/formations/{formation.pk}/", {"players": PLAYERS, "version": seen})
    assert late.status_code == 409
    gone = coach.delete(f"/api/formations/{formation.pk}/?version={changed.json()['version']}")
    assert gone.status_code == 204


def test_an_illegal_formation_names_the_rule(coach):
    off_the_line = [dict(p, y=-1.6) if p["role"] in "XY" else p for p in PLAYERS]
    response = coach.post("/api/formations/", {"label": "Own two", "personnel": "11", "players": off_the_line})
    assert response.status_code == 422
    assert "(line-minimum)" in response.json()["detail"] or "(backs-maximum)" in response.json()["detail"]
    assert not Formation.objects.filter(name="own-two").exists()


def test_a_concept_is_refused_with_the_key(coach):
    concept = first(coach, "concepts", name="power")
    rules = [dict(rule, does="fly") for rule in concept["rules"]]
    response = coach.patch(f"/api/concepts/{concept['id']}/", {"rules": rules, "version": concept["version"]})
    assert response.status_code == 422
    assert "does" in response.json()["detail"]
    assert first(coach, "concepts", name="power") == concept


def test_a_concept_comes_back_as_it_was_sent(coach):
    concept = first(coach, "concepts", name="power")
    body = {key: value for key, value in concept.items() if key not in ("id", "version")} | {"name": "own-power"}
    made = coach.post("/api/concepts/", body)
    assert made.status_code == 201, made.json()
    assert made.json() | {"id": 0, "version": 0} == body | {"id": 0, "version": 0}


def test_a_week_is_built(coach, week):
    call = week.system.calls.first()
    assert coach.post("/api/menu-calls/", {"week": week.pk, "call": call.pk, "down": 3}).status_code == 201
    formation, concept = first(coach, "formations", name="10-doubles"), first(coach, "concepts", name="inside-zone")
    body = {"week": week.pk, "formation": formation["id"], "concept": concept["id"], "share": 0.25}
    look = coach.post("/api/expected-looks/", body)
    assert look.status_code == 201, look.json()
    twice = coach.post("/api/expected-looks/", body)
    assert twice.status_code == 422
    day = coach.post("/api/days/", {"week": week.pk, "label": "Tuesday"}).json()
    entry = {"day": day["id"], "text": "Fit the zone", "look": look.json()["id"], "contact": "thud"}
    assert list(coach.post("/api/plan-entries/", entry).json()["errors"]) == ["minutes"]
    assert coach.post("/api/plan-entries/", entry | {"minutes": 8}).status_code == 201


def test_a_call_of_another_system_is_no_menu_call(coach, week):
    other = System.objects.exclude(pk=week.system_id).first().calls.first()
    response = coach.post("/api/menu-calls/", {"week": week.pk, "call": other.pk})
    assert response.status_code == 422
    assert list(response.json()["errors"]) == ["call"]


def test_a_look_that_cannot_be_run_is_not_expected(coach, week):
    formation, concept = first(coach, "formations", name="00-empty"), first(coach, "concepts", name="iso")
    body = {"week": week.pk, "formation": formation["id"], "concept": concept["id"]}
    response = coach.post("/api/expected-looks/", body)
    assert response.status_code == 422
    assert not ExpectedLook.objects.exists()


def test_history_tells_who_and_what(coach, staff):
    rule = first(coach, "fit-rules")
    coach.patch(f"/api/fit-rules/{rule['id']}/", {"say": "hello", "version": rule["version"]})
    told = coach.get(f"/api/fit-rules/{rule['id']}/history/").json()["results"]
    assert [item["what"] for item in told] == ["update", "insert"]
    assert told[0]["who"] == str(staff)
    assert (told[1]["row"]["say"], told[0]["row"]["say"]) == (rule["say"], "hello")


def test_history_outlives_the_row(coach, system):
    spare = system.fronts.first().fitrules.exclude(when="").first()
    coach.delete(f"/api/fit-rules/{spare.pk}/?version={spare.version}")
    assert coach.get(f"/api/fit-rules/{spare.pk}/").status_code == 404
    told = coach.get(f"/api/fit-rules/{spare.pk}/history/").json()["results"]
    assert told[0]["what"] == "delete"


def test_history_of_a_formation_tells_of_its_men(coach):
    formation = Formation.objects.get(name="10-doubles")
    tables = {item["table"] for item in coach.get(f"/api/formations/{formation.pk}/history/").json()["results"]}
    assert tables == {"formation", "formation player"}


@pytest.mark.parametrize("pk", ["0", "999999", "9" * 30, "x", "-1", "1.0", "²"])
def test_what_is_not_there_is_404(coach, pk):
    for address in (f"/api/fronts/{pk}/", f"/api/fronts/{pk}/history/"):
        response = coach.get(address)
        assert response.status_code == 404
        assert response["Content-Type"] == "application/json"
        assert response.json()["detail"]


@pytest.mark.parametrize("method", ["put", "delete", "patch"])
def test_a_list_is_only_read_and_added_to(coach, method):
    assert getattr(coach, method)("/api/fronts/").status_code == 405


def test_what_is_no_json_is_refused(coach):
    response = coach.post("/api/fronts/", "{", content_type="application/json")
    assert response.status_code == 400
    assert coach.post("/api/fronts/", "a=1", content_type="application/x-www-form-urlencoded").status_code == 415


def test_a_body_that_is_too_big_is_refused_in_words(coach, settings):
    settings.DATA_UPLOAD_MAX_MEMORY_SIZE = 1000
    response = coach.post("/api/systems/", {"file": "x" * 2000})
    assert (response.status_code, response["Content-Type"]) == (400, "application/json")
    assert response.json()["detail"]


# Players


def test_a_player_writes_nothing(man, system):
    rule = FitRule.objects.first()
    assert man.patch(f"/api/fit-rules/{rule.pk}/", {"say": "x", "version": 1}).status_code == 403
    assert man.post("/api/seasons/", {"year": 2040}).status_code == 403


def test_a_player_sees_nothing_before_a_week_is_released(man, week):
    for address in ("systems", "positions", "fronts", "calls", "fit-rules", "weeks", "opponents"):
        assert man.get(f"/api/{address}/").json()["count"] == 0, address
    assert man.get(f"/api/weeks/{week.pk}/").status_code == 404


def test_a_player_sees_only_what_is_his(man, player, week):
    from playbook.models import Day, PlanEntry, Player, RosterSpot

    Week.objects.filter(pk=week.pk).update(released=True, note="for coaches")
    day = Day.objects.create(week=week, label="Tuesday")
    for order, group in enumerate(("", "linebacker", "secondary")):
        PlanEntry.objects.create(day=day, group=group, text=f"for {group or 'all'}", order=order)
    position = week.system.positions.filter(group="linebacker").first()
    RosterSpot.objects.create(player=player.player, position=position)
    Player.objects.create(first_name="Somebody", last_name="Else", ten_yd_s=1.8)

    def names(address, key):
        return {row[key] for row in man.get(f"/api/{address}/", {"page_size": 200}).json()["results"]}

    assert names("systems", "id") == {week.system_id}
    assert names("positions", "name") == {position.name}
    assert {name.removeprefix("left ").removeprefix("right ") for who in names("fit-rules", "who")
            for name in who.split(", ")} >= {position.name}  # fmt: skip
    assert all(position.name in who for who in names("fit-rules", "who") | names("take-rules", "who"))
    assert names("plan-entries", "group") == {"", "linebacker"}
    assert names("players", "last_name") == {player.player.last_name}
    assert names("weeks", "note") == {""}
    assert names("formations", "opponent") == {None}
    assert man.get(f"/api/weeks/{week.pk}/history/").status_code == 403


def test_nobody_signed_in_sees_nothing(client):
    response = client.get(reverse("api:fronts-list"))
    assert response.status_code == 401
    assert response["WWW-Authenticate"] == "Token"
