"""Rule ids are once in a system: an old database is made so, and everything that named a rule finds it still."""

import copy
import uuid
from contextlib import contextmanager

import pytest
from django.db import IntegrityError, connection, transaction
from django.db.migrations.executor import MigrationExecutor

import fits
from playbook import convert
from playbook import models as m
from playbook.migrating import executor_of_single_steps

BEFORE, AFTER = [("playbook", "0003_left_men")], [("playbook", "0004_rule_ids")]


def small_system():
    """A shipped system's file shape with one front and one coverage, both with fit rules."""
    data = copy.deepcopy(fits.load_library().systems["odd-three-safety"].as_dict())
    for part in ("front", "coverage", "call"):
        data[part] = data[part][:1]
    data["system"] |= {"name": "ours", "label": "Ours"}
    return data


def migrate(to):
    executor_of_single_steps(connection).migrate(to)
    return executor_of_single_steps(connection).loader.project_state(to).apps


@contextmanager
def connected(name):
    """The tests' connection goes to that database instead of their own."""
    own = connection.settings_dict["NAME"]
    connection.close()
    connection.settings_dict["NAME"] = name
    try:
        yield
    finally:
        connection.close()
        connection.settings_dict["NAME"] = own


@contextmanager
def made(name, copy_of="template1"):
    """A database for the while."""
    with connection._nodb_cursor() as cursor:
        cursor.execute(f'create database "{name}" template "{copy_of}"')
        yield name
        cursor.execute(f'drop database "{name}" with (force)')


@pytest.fixture(scope="module")
def before(django_db_setup, django_db_blocker):
    """A database of the old shape, filled, and its rows by their key."""
    with django_db_blocker.unblock(), made(f"{connection.settings_dict['NAME']}_before") as name:
        with connected(name):
            rows = fill(migrate(BEFORE))
        yield name, rows


@pytest.fixture(scope="module")
def today(before, django_db_blocker):
    """The same, brought through the change to today's shape, which today's models need."""
    old, rows = before
    with django_db_blocker.unblock(), made(f"{old}_today", old) as name:
        with connected(name):
            executor = MigrationExecutor(connection)
            executor.migrate(executor.loader.graph.leaf_nodes())
        yield name, rows


@pytest.fixture
def rows(today, django_db_blocker):
    """The rows by their key, with the tests connected to where they are now."""
    with django_db_blocker.unblock(), connected(today[0]):
        yield today[1]


def fill(old):
    """A system of the old shape in which a coverage's rule has the id of a front's, with what hangs on it."""
    get = lambda name: old.get_model("playbook", name)  # noqa: E731
    scheme = get("TechniqueScheme").objects.create(name="ours")
    system = get("System").objects.create(name="ours", scheme=scheme)
    other = get("System").objects.create(name="theirs", scheme=scheme)
    rows = {}
    for owner in (system, other):
        front = get("Front").objects.create(system=owner, name="base", order=0)
        over = get("Front").objects.create(system=owner, name="over", order=1)
        coverage = get("Coverage").objects.create(system=owner, name="Three Sky", order=0)
        for key, part in (("front", front), ("over", over), ("coverage", coverage)):
            noun = "coverage" if key == "coverage" else "front"
            make = get("FitRule").objects.create
            rows[owner.name, key] = make(**{noun: part}, order=0, rule_id="R1", who="M", fit=f"{key} fit")
            rows[owner.name, key, 2] = make(**{noun: part}, order=1, rule_id=f"{key}-2", who="M", fit="free")
        get("FitRule").objects.create(coverage=coverage, order=2, rule_id="R1-three-sky", who="M", fit="free")
    parts = {"front": front_of(rows), "coverage": coverage_of(rows)}
    call = get("Call").objects.create(system=system, name="base three", **parts)
    season = get("Season").objects.create(year=2031)
    week = get("Week").objects.create(season=season, number=1, system=system)
    player = get("Player").objects.create(first_name="A", last_name="B")
    formation = get("Formation").objects.create(name="doubles", personnel="11")
    concept = get("Concept").objects.create(name="dive", family="inside", to=["right"], time_s=1.1)
    look = get("ExpectedLook").objects.create(week=week, formation=formation, concept=concept)
    get("FitGrade").objects.create(week=week, player=player, look=look, call=call, correction="box it")
    get("QuizAnswer").objects.create(
        week=week, player=player, look=look, call=call, role="M", ask="fit", given="a", expected="b", right=False
    )
    get("FitRule").objects.filter(pk=rows["ours", "coverage"].pk).update(say="as the coach says it")
    return {key: row.pk for key, row in rows.items()}


def front_of(rows):
    return rows["ours", "front"].front


def coverage_of(rows):
    return rows["ours", "coverage"].coverage


def test_the_first_keeps_its_id_and_the_others_get_an_alias(rows):
    for system in ("ours", "theirs"):
        ids = {key: m.FitRule.objects.get(pk=rows[system, key]).rule_id for key in ("front", "over", "coverage")}
        assert ids == {"front": "R1", "over": "R1-over", "coverage": "R1-three-sky-2"}  # the plain name was taken
        assert m.FitRule.objects.get(pk=rows[system, "coverage", 2]).rule_id == "coverage-2"
        found = m.FitRule.objects.filter(system__name=system)
        assert len(set(found.values_list("rule_id", flat=True))) == found.count() == 7
    aliases = {(a.rule_id_now, a.old_id) for a in aliases_now()}
    assert aliases == {("R1-over", "R1"), ("R1-three-sky-2", "R1")}


def aliases_now():
    found = list(m.RuleAlias.objects.select_related("rule"))
    assert len(found) == 4  # two systems
    for alias in found:
        alias.rule_id_now = alias.rule.rule_id
    return found


def test_grades_answers_and_history_follow(rows):
    grade, answer = m.FitGrade.objects.get(), m.QuizAnswer.objects.get()
    assert (grade.correction, grade.call.name, grade.look) == ("box it", "base three", answer.look)
    renamed = m.FitRule.objects.get(pk=rows["ours", "coverage"])
    model = m.FitRule.pgh_event_models["insert"]
    events = model.objects.filter(pgh_obj_id=renamed.pk).order_by("pgh_id")
    assert [(e.pgh_label, e.rule_id, e.say) for e in events] == [
        ("insert", "R1-three-sky-2", ""), ("update", "R1-three-sky-2", "as the coach says it"),
    ]  # fmt: skip
    m.FitRule.objects.filter(pk=renamed.pk).update(say="")  # and history goes on
    assert events.all().count() == 3
    m.FitRule.objects.filter(pk=renamed.pk).update(version=renamed.version)
    assert events.all().count() == 3


def test_the_way_back_gives_every_rule_its_id_again(before, django_db_blocker):
    name, rows = before
    with django_db_blocker.unblock(), made(f"{name}_and_back", name) as copy, connected(copy):
        migrate(AFTER)
        get = migrate(BEFORE).get_model("playbook", "FitRule").objects.get
        assert {get(pk=rows["ours", key]).rule_id for key in ("front", "over", "coverage")} == {"R1"}


@pytest.mark.django_db
def test_the_database_refuses_an_id_twice_in_a_system():
    system = convert.write_system(small_system())
    front, coverage = system.fronts.get(), system.coverages.get()
    first = front.fitrules.first()
    with pytest.raises(IntegrityError, match="fitrule_id_once_in_system"), transaction.atomic():
        m.FitRule.objects.create(coverage=coverage, order=99, rule_id=first.rule_id, who="M", fit="free")
        connection.check_constraints()
    other = m.System.objects.exclude(pk=system.pk).first()
    m.FitRule.objects.create(front=other.fronts.first(), order=99, rule_id=f"{uuid.uuid4()}"[:20], who="M", fit="free")
    connection.check_constraints()
    assert front.fitrules.first().system == system


@pytest.mark.django_db
def test_a_rule_may_move_from_a_coverage_to_a_front_in_one_import():
    system = convert.write_system(small_system())
    data = small_system()
    moved = data["coverage"][0]["fits"].pop(0)
    data["coverage"][0]["fits"].append(moved | {"id": "another"})
    data["front"][0]["fits"].insert(0, moved)
    convert.write_system(data, system)
    connection.check_constraints()
    assert system.fronts.get().fitrules.first().rule_id == moved["id"]


@pytest.mark.django_db
def test_a_copied_front_has_ids_of_its_own():
    from playbook.system import services

    system = convert.write_system(small_system())
    start = system.fronts.get()
    values = {"label": "Goal line", "strength": "passing"}
    front = services.carry_out(system, lambda: services.add_front(system, values, start))
    connection.check_constraints()
    old, new = (list(f.fitrules.values_list("rule_id", flat=True)) for f in (start, front))
    assert len(old) == len(new) and new == [f"{rule_id}-goal-line" for rule_id in old]
