"""Rows to the shape of the files and back: nothing is lost, and only what differs is written."""

import copy

import pytest

import fits
from playbook import convert
from playbook import models as m

pytestmark = pytest.mark.django_db

SYSTEM: dict = {
    "system": {"name": "tiny", "label": "Tiny", "source": "made up", "techniques": "standard", "frame": "own"},
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
            "align": [],
            "keys": [],
            "fits": [],
            "takes": [{"who": "N", "when": "", "takes": "flat"}],
            "force": [{"who": "E", "when": ""}],
        }
    ],
    "call": [{"name": "base three", "label": "Base three", "front": "base", "coverage": "three", "note": ""}],
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
    "label": "Ace",
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
    data["techniques"] = {"name": "ours", "label": "Our own numbers", "source": "made up", "technique": [technique]}
    assert convert.system_dict(convert.write_system(data)) == data


def test_what_comes_without_a_label_is_called_by_words_of_its_identifier():
    data = copy.deepcopy(SYSTEM)
    for row in (data["system"], data["front"][0], data["coverage"][0], data["call"][0]):
        del row["label"]
    system = convert.write_system(data)
    assert [str(row) for row in (system, system.fronts.get(), system.calls.get())] == ["Tiny", "Base", "Base three"]
    formation = convert.write_formation({k: v for k, v in FORMATION.items() if k != "label"} | {"name": "wing-left"})
    assert (formation.name, str(formation)) == ("wing-left", "Wing left")


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
    assert convert.system_dict(m.System.objects.get(name="tiny")) == data


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
    assert convert.concept_dict(m.Concept.objects.get(opponent=None, name="dive")) == CONCEPT


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
    motion = motion | {"label": "Our way"}
    row = convert.write_motion(motion)
    assert convert.motion_dict(row) == motion
    assert convert.motion_dict(convert.write_motion(motion)) == motion


def test_the_shipped_library_goes_through_the_tables_unchanged():
    convert.load_library()
    library = fits.load_library()
    for name, value in library.systems.items():
        assert convert.system_value(m.System.objects.get(name=name)).as_dict() == value.as_dict()
    for model, values, to_value in [
        (m.Formation, library.formations, convert.formation_value),
        (m.Motion, library.motions, convert.motion_value),
        (m.Concept, library.concepts, convert.concept_value),
        (m.Option, library.options, convert.option_value),
    ]:
        assert model.objects.count() == len(values)
        for name, value in values.items():
            assert to_value(model.objects.get(name=name, opponent=None)).as_dict() == value.as_dict()


def test_loading_the_library_again_leaves_what_the_staff_changed():
    convert.load_library()
    m.FitRule.objects.update(say="Our own words.")
    events = changed_rows()
    convert.load_library()
    assert changed_rows() == events


def test_what_the_staff_deleted_does_not_come_back_by_itself():
    convert.load_library()
    m.System.objects.get(name="over-quarters").delete()
    m.Formation.objects.get(name="00-empty", opponent=None).delete()
    convert.load_library()
    assert not m.System.objects.filter(name="over-quarters").exists()
    assert not m.Formation.objects.filter(name="00-empty").exists()
    assert convert.shipped_left_out() == {"over-quarters": "Over, quarters"}
    back = convert.write_shipped("over-quarters")
    shipped = fits.load_library().systems["over-quarters"]
    assert convert.system_value(back).as_dict() == shipped.as_dict() and back.shipped.data
    assert convert.shipped_left_out() == {}


def test_a_look_derived_from_rows_is_the_look_of_the_library():
    convert.load_library()
    library = fits.load_library()
    system = m.System.objects.get(name="odd-three-safety")
    name, call = next(iter(convert.calls_of(system).items()))
    ours = fits.derive_look(
        call,
        convert.formation_value(m.Formation.objects.get(name="11-doubles")),
        convert.concept_value(m.Concept.objects.get(name="power")),
        to=fits.RIGHT,
    )
    theirs = fits.derive_look(
        library.calls[name], library.formation("11-doubles"), library.concept("power"), to=fits.RIGHT
    )
    assert fits.look_json(ours) == fits.look_json(theirs)


def test_what_the_engine_builds_is_kept_until_a_rule_changes():
    convert.load_library()
    system = m.System.objects.get(name="odd-three-safety")
    first = convert.system_value(system)
    assert convert.system_value(m.System.objects.get(pk=system.pk)) is first
    m.FitRule.objects.filter(front__system=system).update(say="Changed.")
    assert convert.system_value(m.System.objects.get(pk=system.pk)) is not first


def test_a_system_file_goes_out_and_comes_back():
    convert.load_library()
    system = m.System.objects.get(name="okie-two-gap")
    text = convert.export_system(system)
    events = changed_rows()
    assert convert.import_system(text, "okie.toml") == system
    assert changed_rows() == events
    system.delete()
    fresh = convert.import_system(text, "okie.toml")
    assert convert.export_system(fresh) == text


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('group = "line"', 'group = "kicker"', "line"),
        ("[[front]]", "[[front", "line"),
        ('strength = "', 'strength = "sunny', "passing"),
    ],
)
def test_a_bad_file_names_the_place_and_changes_nothing(old, new, said):
    convert.load_library()
    text = convert.export_system(m.System.objects.get(name="okie-two-gap"))
    events = changed_rows()
    with pytest.raises(fits.FileError, match=said) as refused:
        convert.import_system(text.replace(old, new, 1), "okie.toml")
    assert "okie.toml" in str(refused.value)
    assert changed_rows() == events


def test_a_file_that_drops_a_call_on_a_weeks_menu_is_refused_whole():
    convert.load_library()
    system = m.System.objects.get(name="okie-two-gap")
    call = system.calls.first()
    week = m.Week.objects.create(season=m.Season.objects.create(year=2026), number=1, system=system)
    m.MenuCall.objects.create(week=week, call=call)
    data = convert.system_dict(system)
    data["call"][0]["name"] = "Another call"
    data["front"][0]["label"] = "Renamed"
    with pytest.raises(convert.InUse, match="still in use"):
        convert.import_system(fits.format_toml(data), "okie.toml")
    assert not m.Front.objects.filter(label="Renamed").exists()
