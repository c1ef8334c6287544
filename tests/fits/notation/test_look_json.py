"""The JSON of a look keeps to its written schema."""

import json
import re
from pathlib import Path

import jsonschema
import pytest

import fits
import fits.notation.look_json
from fits.blocking.concepts import STEPS, THREATS
from fits.defense.roles import Group
from fits.offense.formation import Kind
from tests.fits.plays import LIB, again, spread

SCHEMA = json.loads(Path(fits.notation.look_json.__file__).with_name("look.schema.json").read_text(encoding="utf-8"))
CHECK = jsonschema.Draft202012Validator(SCHEMA)
LOOKS = [fits.look_json(look) for look in spread(11, 2)]
CONTRACT = {
    "defenders": {"role", "technique", "x", "y", "key", "saw", "fit", "lane", "leverage", "duty", "why", "margin_s"},
    "blocks": {"role", "step", "does", "on", "x"},
    "lanes": {"index", "name", "gaps", "left", "right", "owners", "threats"},
    "findings": {"code", "severity", "lane", "roles", "text"},
}


def test_the_schema_is_a_schema():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


def test_looks_keep_to_it():
    assert len(LOOKS) > 100
    for look in LOOKS:
        CHECK.validate(look)


def test_looks_with_motion_options_hash_and_what_ifs_keep_to_it():
    settings = {"motion": LIB.motion("across"), "options": (LIB.option("read"),), "hashes": (fits.Hash.LEFT,)}
    looks = list(spread(29, 3, **settings))
    assert len(looks) > 20
    for look in looks:
        CHECK.validate(fits.look_json(again(look, first_steps={"LG": "pull"})))


@pytest.mark.parametrize("part", CONTRACT)
def test_what_other_programs_read_is_required(part):
    entries = SCHEMA["$defs"][SCHEMA["properties"][part]["items"]["$ref"].split("/")[-1]]
    assert CONTRACT[part] <= set(entries["required"]) == set(entries["properties"])


def test_the_words_are_the_engines():
    defs = SCHEMA["$defs"]
    assert defs["step"]["enum"] == list(STEPS)
    assert defs["threat"]["properties"]["kind"]["enum"] == list(THREATS)
    assert defs["defender"]["properties"]["group"]["enum"] == [g.value for g in Group]
    assert defs["player"]["properties"]["kind"]["enum"] == [k.value for k in Kind]


def test_the_numbers_are_rounded_and_have_no_negative_zero():
    for look in LOOKS:
        for entry in (*look["offense"], *look["defenders"], *look["lanes"], *look["blocks"]):
            assert entry["x"] == round(entry["x"], 2)
        assert not re.search(r"-0\.0[,}\]]", json.dumps(look))


@pytest.mark.parametrize(
    "spoil",
    [
        lambda look: look.pop("sound"),
        lambda look: look.update(to="up"),
        lambda look: look["lanes"][0].update(index=-1),
        lambda look: look["defenders"].pop(),
        lambda look: look["defenders"][0].update(margin_s="soon"),
        lambda look: look["findings"].append(
            {"code": "Open", "severity": "bad", "lane": None, "roles": [], "text": ""}
        ),
        lambda look: look["blocks"][0].update(step="jump"),
        lambda look: look.update(extra=1),
    ],
)
def test_what_is_not_a_look_is_refused(spoil):
    look = json.loads(json.dumps(LOOKS[0]))
    spoil(look)
    assert not CHECK.is_valid(look)
