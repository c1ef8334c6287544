"""Rows to the shape of the files and back: nothing is lost, and only what differs is written."""

import copy

import pytest

from playbook import convert
from playbook import models as m

pytestmark = pytest.mark.django_db

SYSTEM = {
    "system": {"name": "tiny", "label": "Tiny", "source": "made up", "techniques": "standard"},
    "role": [
        {"name": "N", "group": "line", "side": "middle", "label": "Nose"},
        {"name": "E", "group": "line", "side": "both", "label": "End", "v_yd_s": 8.5, "tau_s": 0.7},
    ],
    "front": [
        {
            "name": "base",
            "label": "Base",
            "strength": "run",
            "align": [{"who": "N", "when": "", "at": "0"}, {"who": "E", "when": "", "at": "5"}],
            "keys": [{"who": "N", "when": "", "reads": "C"}],
            "fits": [
                {"id": "n-1", "who": "N", "when": "", "fit": "own gap"},
                {"id": "e-1", "who": "E", "when": "", "fit": "own gap", "leverage": "spill", "say": "Wrong arm."},
            ],
        }
    ],
    "coverage": [
        {
            "name": "three",
            "label": "Three",
            "shell": "one high",
            "align": [],
            "keys": [],
            "fits": [],
            "takes": [{"who": "N", "when": "", "takes": "flat"}],
            "force": [{"who": "E", "when": ""}],
        }
    ],
    "call": [{"name": "base three", "front": "base", "coverage": "three", "note": ""}],
}
CONCEPT = {
    "name": "dive",
    "family": "inside",
    "label": "Dive",
    "source": "made up",
    "to": ["run strength", "right"],
    "time_s": 1.1,
    "flags": ["read"],
    "eyes": "back",
    "cast": [{"part": "lead", "from": ["fullback"], "required": True}],
    "rules": [{"who": "C", "when": "covered", "does": "base", "step": "in"}],
    "threats": [{"kind": "dive", "who": "T", "where": "frontside A", "time_s": 1.0}],
}
FORMATION = {
    "name": "ace",
    "personnel": "12",
    "note": "gun",
    "source": "made up",
    "players": [
        {"role": "C", "kind": "line", "x": 0.0, "y": -0.6},
        {"role": "Y", "kind": "tight end", "x": 4.8, "y": -0.6},
    ],
}


def changed_rows():
    models = (m.AlignRule, m.FitRule, m.Front, m.Coverage, m.Call, m.Position, m.TakeRule)
    return sum(model.pgh_event_model.objects.count() for model in models)


def test_a_system_comes_back_as_it_went_in():
    system = convert.write_system(SYSTEM)
    assert convert.system_dict(system) == SYSTEM


def test_an_inline_technique_table_comes_back_too():
    data = copy.deepcopy(SYSTEM)
    del data["system"]["techniques"]
    technique = {"label": "3", "man": "guard", "shade": "outside", "gap": "B"}
    data["techniques"] = {"name": "ours", "source": "made up", "technique": [technique]}
    assert convert.system_dict(convert.write_system(data)) == data


def test_writing_the_same_again_touches_no_row():
    system = convert.write_system(SYSTEM)
    before, revision = changed_rows(), system.revision
    assert convert.write_system(SYSTEM, system).revision == revision
    assert changed_rows() == before


def test_only_the_rule_that_differs_is_written_and_its_key_stays():
    system = convert.write_system(SYSTEM)
    rule = m.FitRule.objects.get(rule_id="e-1")
    before = changed_rows()
    data = copy.deepcopy(SYSTEM)
    data["front"][0]["fits"][1]["leverage"] = "box"
    convert.write_system(data, system)
    assert changed_rows() == before + 1
    assert m.FitRule.objects.get(rule_id="e-1").pk == rule.pk
    assert convert.system_dict(system) == data


def test_rows_left_out_of_the_file_are_deleted_and_others_move_up():
    system = convert.write_system(SYSTEM)
    data = copy.deepcopy(SYSTEM)
    data["front"][0]["fits"].pop(0)
    data["front"][0]["align"].reverse()
    del data["role"][1]["v_yd_s"]
    convert.write_system(data, system)
    assert convert.system_dict(m.System.objects.get()) == data


def test_a_copy_is_a_variant_and_leaves_the_first_alone():
    system = convert.write_system(SYSTEM)
    variant = convert.copy_system(system, "tiny-week-3", "Tiny, week 3")
    m.FitRule.objects.filter(front__system=variant).update(fit="other")
    assert variant.base == system
    assert convert.system_dict(system) == SYSTEM
    assert convert.copy_system(variant, "again", "Again").base == system


def test_concepts_and_formations_come_back_for_each_owner():
    opponent = m.Opponent.objects.create(name="Wexmoor")
    for owner in (None, opponent):
        assert convert.concept_dict(convert.write_concept(CONCEPT, owner)) == CONCEPT
        assert convert.formation_dict(convert.write_formation(FORMATION, owner)) == FORMATION
    plain = {k: v for k, v in CONCEPT.items() if k not in ("flags", "eyes")}
    assert convert.concept_dict(convert.write_concept(plain, opponent)) == plain
    assert convert.concept_dict(m.Concept.objects.get(opponent=None)) == CONCEPT


@pytest.mark.parametrize(
    "motion",
    [
        {"name": "across", "kind": "motion", "who": ["wing"], "mirror": True, "note": "", "source": ""},
        {"name": "jet", "kind": "motion", "who": ["slot", "Z"], "x": -3.2, "x_of": "ball", "y": -3.6, "y_of": "line",
         "note": "fast", "source": "made up"},
        {"name": "trade", "kind": "shift", "who": ["end man"], "x": 1.6, "x_of": "last man", "balance": True,
         "note": "", "source": ""},
    ],
)  # fmt: skip
def test_a_motion_comes_back(motion):
    row = convert.write_motion(motion)
    assert convert.motion_dict(row) == motion
    assert convert.motion_dict(convert.write_motion(motion)) == motion
