"""What the database itself refuses, and what it counts."""

import pytest
from django.db import IntegrityError, connection, transaction
from django.db.models import RestrictedError

from playbook import models as m

pytestmark = pytest.mark.django_db


@pytest.fixture
def system():
    scheme = m.TechniqueScheme.objects.create(name="our techniques")
    system = m.System.objects.create(name="ours", scheme=scheme)
    m.Front.objects.create(system=system, name="base", strength="passing")
    m.Coverage.objects.create(system=system, name="three")
    return system


def revision(row):
    row.refresh_from_db()
    return row.revision


def check_deferred():
    connection.cursor().execute("set constraints all immediate")


def test_a_call_joins_a_front_and_a_coverage_of_its_own_system(system):
    other = m.System.objects.create(name="theirs", scheme=system.scheme)
    foreign = m.Front.objects.create(system=other, name="odd")
    with pytest.raises(IntegrityError, match="call_one_system"):
        m.Call.objects.create(system=system, name="x", front=foreign, coverage=system.coverages.get())


def test_a_rule_belongs_to_a_front_or_to_a_coverage_not_to_both_or_neither(system):
    both = {"front": system.fronts.get(), "coverage": system.coverages.get()}
    for owners in (both, {}):
        with pytest.raises(IntegrityError, match="alignrule_one_owner"), transaction.atomic():
            m.AlignRule.objects.create(who="N", at="0", **owners)


def test_rules_can_be_reordered_within_a_transaction_but_not_share_a_place(system):
    front = system.fronts.get()
    rules = [m.AlignRule.objects.create(front=front, order=i, who="N", at="0") for i in range(3)]
    for rule, place in zip(rules, (2, 0, 1), strict=True):
        m.AlignRule.objects.filter(pk=rule.pk).update(order=place)
    check_deferred()
    assert [r.pk for r in front.alignrules.all()] == [rules[1].pk, rules[2].pk, rules[0].pk]
    with pytest.raises(IntegrityError, match="alignrule_in_front"):
        front.alignrules.update(order=0)


@pytest.mark.parametrize(
    ("model", "fields", "constraint"),
    [
        ("Position", {"name": "N", "group": "kicker", "side": "both"}, "position_group_known"),
        ("Position", {"name": "", "group": "line", "side": "both"}, "position_named"),
        ("Position", {"name": "N", "group": "line", "side": "up"}, "position_side_known"),
        ("Position", {"name": "N", "group": "line", "side": "both", "v_yd_s": 99}, "position_speed"),
        ("Front", {"name": "base"}, "front_name_once"),
        ("Coverage", {"name": "three"}, "coverage_name_once"),
    ],
)
def test_nonsense_is_refused_by_name(system, model, fields, constraint):
    with pytest.raises(IntegrityError, match=constraint):
        getattr(m, model).objects.create(system=system, order=7, **fields)


def test_a_formation_name_is_free_for_each_opponent_and_once_in_the_library():
    opponent = m.Opponent.objects.create(name="Wexmoor")
    for owner in (None, opponent):
        m.Formation.objects.create(name="doubles", personnel="11", opponent=owner)
        with pytest.raises(IntegrityError, match="formation_name_once"), transaction.atomic():
            m.Formation.objects.create(name="doubles", personnel="11", opponent=owner)


def test_an_offensive_man_stands_on_his_side_of_the_ball():
    formation = m.Formation.objects.create(name="doubles", personnel="11")
    with pytest.raises(IntegrityError, match="formationplayer_y_behind_ball"):
        m.FormationPlayer.objects.create(formation=formation, role="X", kind="receiver", x=0, y=3)


def test_any_change_below_a_system_raises_its_revision_and_nothing_else_does(system):
    seen = revision(system)
    front, coverage = system.fronts.get(), system.coverages.get()
    rule = m.FitRule.objects.create(front=front, rule_id="n-1", who="N", fit="own gap")
    steps = [
        lambda: m.FitRule.objects.filter(pk=rule.pk).update(fit="frontside A"),
        lambda: m.TakeRule.objects.create(coverage=coverage, who="CB", takes="#1"),
        lambda: m.ForceRule.objects.create(coverage=coverage, who="CB"),
        lambda: m.Position.objects.create(system=system, name="N", group="line", side="middle"),
        lambda: m.Call.objects.create(system=system, name="base three", front=front, coverage=coverage),
        lambda: m.Technique.objects.create(scheme=system.scheme, label="3", man="guard", shade="outside"),
        lambda: m.System.objects.filter(pk=system.pk).update(label="Our own"),
        lambda: rule.delete(),
    ]
    for step in steps:
        step()
        now = revision(system)
        assert now > seen
        seen = now
    m.System.objects.filter(pk=system.pk).update(version=9)
    m.Opponent.objects.create(name="Wexmoor")
    assert revision(system) == seen


def test_a_revision_that_was_rolled_back_is_never_given_out_again(system):
    front = system.fronts.get()
    given = set()
    for _ in range(2):
        with transaction.atomic():
            m.AlignRule.objects.create(front=front, who="N", at="0")
            given.add(revision(system))
            transaction.set_rollback(True)
    assert len(given) == 2


def test_the_second_of_two_edits_is_told_and_changes_nothing(system):
    front = system.fronts.get()
    front.save_version(1, label="First")
    with pytest.raises(m.StaleVersion) as told:
        m.Front.objects.get(pk=front.pk).save_version(1, label="Second")
    assert told.value.current.label == "First"
    assert m.Front.objects.get(pk=front.pk).version == 2


def test_history_keeps_bulk_changes_and_deletes(system):
    front = system.fronts.get()
    m.AlignRule.objects.bulk_create(m.AlignRule(front=front, order=i, who="N", at="0") for i in range(2))
    front.alignrules.update(at="1")
    front.alignrules.all().delete()
    events = m.AlignRule.pgh_event_model.objects.filter(front=front).order_by("pgh_id")
    assert [(e.pgh_label, e.at) for e in events] == [
        *[("insert", "0")] * 2,
        *[("update", "1")] * 2,
        *[("delete", "1")] * 2,
    ]


def test_a_call_on_a_weeks_menu_cannot_be_deleted(system):
    call = m.Call.objects.create(system=system, name="base", front=system.fronts.get(), coverage=system.coverages.get())
    week = m.Week.objects.create(season=m.Season.objects.create(year=2026), number=1, system=system)
    m.MenuCall.objects.create(week=week, call=call, down=1)
    with pytest.raises(RestrictedError):
        call.delete()
