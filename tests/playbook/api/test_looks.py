"""Looks on demand: the engine's JSON and drawing, and its words when it refuses."""

import pytest
from jsonschema import Draft202012Validator

import fits
from playbook.api.look_shape import LOOK
from playbook.models import Opponent

pytestmark = pytest.mark.django_db
PLAIN = {"call": "odd-three-safety", "formation": "10-doubles", "concept": "inside-zone"}


def with_nulls(shape):
    """The OpenAPI 3.0 shape as a JSON schema: nullable written out, nothing more allowed than is named."""
    if not isinstance(shape, dict):
        return shape
    out = {key: with_nulls(value) for key, value in shape.items() if key != "nullable"}
    if "properties" in out and isinstance(out.get("type"), str):
        out["properties"] = {key: with_nulls(value) for key, value in shape["properties"].items()}
        out["additionalProperties"] = False
    if shape.get("nullable") is True:
        out["type"] = [out["type"], "null"]
    return out


def test_it_is_what_the_engine_says(coach):
    library = fits.load_library()
    look = fits.derive_look(
        library.call("odd-three-safety"), library.formation("10-doubles"), library.concept("inside-zone"),
    )  # fmt: skip
    told, alone = coach.get("/api/looks/derive/", PLAIN).json(), fits.look_json(look)
    judged = {"findings", "band", "sound"}  # what men cannot tell apart among the looks it comes with is added to these
    assert {key: told[key] for key in told.keys() - judged} == {key: alone[key] for key in alone.keys() - judged}
    added = [finding for finding in told["findings"] if finding not in alone["findings"]]
    assert len(told["findings"]) == len(alone["findings"]) + len(added)
    assert {finding["code"] for finding in added} <= {"cannot-know"}


def test_every_part_of_the_question_counts(coach):
    plain = coach.get("/api/looks/derive/", PLAIN).json()
    for extra in (
        {"to": "right"}, {"flip": "true"}, {"hash": "left"}, {"with": ["read"]}, {"first_step": ["RG=pull"]},
        {"motion": "jet", "formation": "11-doubles"},
    ):  # fmt: skip
        response = coach.get("/api/looks/derive/", PLAIN | extra)
        assert response.status_code == 200, response.json()
        assert response.json() != plain, extra


def test_the_shape_is_the_one_in_the_schema(coach):
    validator = Draft202012Validator(with_nulls(LOOK))
    for extra in ({}, {"concept": "power"}, {"with": ["bubble"], "hash": "left"}, {"concept": "buck-sweep"}):
        look = coach.get("/api/looks/derive/", PLAIN | extra).json()
        assert [error.message for error in validator.iter_errors(look)] == []


def test_the_drawing_is_svg(coach):
    response = coach.get("/api/looks/draw/", PLAIN | {"role": "M", "up": "defense"})
    assert response["Content-Type"] == "image/svg+xml"
    assert response.content.startswith(b"<svg ") and b'xmlns="http://www.w3.org/2000/svg"' in response.content


@pytest.mark.parametrize(
    ("key", "value", "told"),
    [
        ("call", "odd-three-safty", "odd-three-safety"),
        ("system", "odd", "unknown system"),
        ("formation", "10-double", "10-doubles"),
        ("concept", "insid-zone", "inside-zone"),
        ("motion", "jeet", "jet"),
        ("with", ["raed"], "read"),
        ("first_step", ["RG"], "ROLE=STEP"),
        ("first_step", ["RG=hop"], "hop"),
        ("opponent", 999_999, "none with the number"),
    ],
)
def test_the_engine_names_what_it_does_not_know(coach, key, value, told):
    response = coach.get("/api/looks/derive/", PLAIN | {key: value})
    assert response.status_code == 422
    assert told in response.json()["detail"]


@pytest.mark.parametrize("query", [{"to": "up"}, {"flip": "1"}, {"hash": "field"}, {"sort": "x"}, {"call": ""}])
def test_a_wrong_parameter_is_400(coach, query):
    response = coach.get("/api/looks/derive/", PLAIN | query)
    assert response.status_code == 400
    assert list(response.json()["errors"]) == list(query)


def test_what_cannot_be_run_says_why(coach):
    response = coach.get("/api/looks/derive/", PLAIN | {"formation": "00-empty", "concept": "iso"})
    assert response.status_code == 422
    assert response.json()["detail"].startswith("Iso to the right cannot be run from Empty")


def test_an_opponents_own_entry_comes_first(coach):
    from playbook import convert

    opponent = Opponent.objects.create(name="Vellmark")
    own = fits.load_library().formation("11-trips" if "11-trips" in fits.load_library().formations else "11-doubles")
    convert.write_formation(own.as_dict() | {"name": "10-doubles"}, opponent)
    theirs = coach.get("/api/looks/derive/", PLAIN | {"opponent": opponent.pk}).json()
    assert theirs["offense"] != coach.get("/api/looks/derive/", PLAIN).json()["offense"]


def test_players_do_not_derive(man):
    assert man.get("/api/looks/derive/", PLAIN).status_code == 403
    assert man.get("/api/looks/draw/", PLAIN).status_code == 403
