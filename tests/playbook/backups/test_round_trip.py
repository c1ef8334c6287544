"""What a backup holds comes back: every row of every table, what sequences give out next, and the schema."""

import io
import threading
import zipfile

import psycopg

from tests.playbook.backups.servers import ROOT, everything, manage, next_numbers, rows, run, schema


def test_everything_comes_back_into_an_empty_database(full, saved, new_database):
    before = everything(full)
    assert [name for name, found in before[0].items() if not found] == [], "a table without rows proves nothing"
    target = new_database()
    done = manage(target, "restore", saved)
    assert done.returncode == 0, done.stderr.decode()
    assert everything(target) == before
    assert b"shut out again" in done.stdout
    goes_on_from_there(target)


GO_ON = """
from procrastinate.contrib.django import app
from playbook.api import tokens
from playbook.models import *
from playbook.week import services
week = Week.objects.first()
events = Week.pgh_event_model.objects.filter(pgh_obj=week)
before = events.count()
week.save_version(week.version, note="after the restore")
assert events.count() == before + 1, (before, events.count())
system = week.system
before = system.revision
system.fronts.first().fitrules.all().update(say="after the restore")
system.refresh_from_db()
assert system.revision > before
made = services.add_week({"season": week.season, "number": 29, "system": system}, week)
assert made.days.count() == week.days.count()
coach = User.objects.get(username="coach")
tokens.make_token(coach)
coach.is_active = False
coach.save()
assert not tokens.tokens_of(coach)
app.configure_task("retry_stalled_jobs").defer(timestamp=1)
"""


def goes_on_from_there(address):
    """Asserts that the program works on it: rows are added everywhere, triggers fire once."""
    with psycopg.connect(address) as link:
        found = link.execute(
            "select s.relname, d.refobjid::regclass::text, a.attname"
            " from pg_class s join pg_depend d on d.objid = s.oid"
            " join pg_attribute a on a.attrelid = d.refobjid and a.attnum = d.refobjsubid"
            " where s.relkind = 'S' and d.deptype in ('a', 'i')"
        ).fetchall()
        assert len(found) > 80
        numbers = next_numbers(address)
        for sequence, table, column in found:
            (highest,) = link.execute(f'select max("{column}") from {table}').fetchone()
            assert highest is None or numbers[sequence] > highest, sequence
    run(address, GO_ON)


def test_through_standard_output_and_input_in_the_place_of_what_was_there(full, new_database):
    """What is not ours is left alone, and said to be in no backup."""
    target = new_database(full)
    with psycopg.connect(target) as link:
        link.execute("create table scoreboard (points int)")
        link.execute("insert into scoreboard values (21)")
    run(target, "from playbook.models import *\nOpponent.objects.create(name='Here')\nAlias.objects.all().delete()")
    sent = manage(full, "backup", "-")
    assert sent.returncode == 0 and b"rows written to standard output" in sent.stderr
    assert manage(target, "check", "-", stdin=sent.stdout).returncode == 0
    done = manage(target, "restore", "--replace", "-", stdin=sent.stdout)
    assert done.returncode == 0, done.stderr.decode()
    other = manage(target, "backup", "-")
    assert b"Not in it, because not this program's: scoreboard." in other.stderr
    assert "tables/scoreboard.copy" not in zipfile.ZipFile(io.BytesIO(other.stdout)).namelist()
    with psycopg.connect(target) as link:
        assert link.execute("select * from scoreboard").fetchall() == [(21,)]
        link.execute("drop table scoreboard")
    assert everything(target) == everything(full)


GO_BACK = """
import sys
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder
from playbook.migrating import executor_of_single_steps
MigrationRecorder.Migration.objects.filter(app="playbook", name__contains="squashed").delete()
executor_of_single_steps(connection).migrate([("playbook", sys.argv[1])])
"""


def test_a_backup_of_an_older_state_is_brought_up_to_this_one(full, new_database, tmp_path):
    """Of the state before the last migration. The target is not quite empty: another program has a table there."""
    old, target = new_database(full), new_database()
    with psycopg.connect(target) as link:
        link.execute("create table scoreboard (points int)")
    steps = sorted(path.stem for path in (ROOT / "playbook" / "migrations").glob("0*.py"))
    before_last, last = [name for name in steps if "squashed" not in name][-2:]
    run(old, GO_BACK, before_last)
    before, columns = rows(old), columns_of(old)
    assert manage(old, "backup", tmp_path / "old.zip").returncode == 0
    checked = manage(target, "check", tmp_path / "old.zip")
    assert checked.returncode == 0 and b"brought up to this version" in checked.stdout
    done = manage(target, "restore", tmp_path / "old.zip")
    assert done.returncode == 0, done.stderr.decode()
    after, columns_now = rows(target, "scoreboard"), columns_of(target)
    assert any(last in row for row in after["django_migrations"])
    emptied = {"django_migrations", "authtoken_token", "django_session"}  # migration 0024 moves or ends what they hold
    same = {name for name in before if columns_now.get(name) == columns[name]} - emptied
    counted = {"playbook_system"}  # a system counts what is written to its parts, and a migration may write to them
    added = {"django_content_type", "auth_permission"}  # Django's own, of tables that are new in the last migration
    assert len(same) > 80 and {name for name in same - counted - added if after[name] != before[name]} == set()
    for name in added:
        assert set(before[name]) <= set(after[name])
    for name in before.keys() - (same - counted) - emptied - added:
        assert len(after.get(name, before[name])) == len(before[name])
    with psycopg.connect(target) as link:
        link.execute("drop table scoreboard")
    assert schema(target) == schema(full)
    assert manage(target, "migrate", "--check").returncode == 0


def columns_of(address):
    """Returns the columns of each table."""
    with psycopg.connect(address) as link:
        found = link.execute(
            "select table_name, array_agg(column_name::text order by ordinal_position)"
            " from information_schema.columns where table_schema = 'public' group by 1"
        )
        return dict(found.fetchall())


def test_it_is_one_moment_of_a_running_program(full, new_database, tmp_path):
    """A writer adds a row to two tables in each transaction; a backup never has the one without the other."""
    busy, target, stop = new_database(full), new_database(), threading.Event()

    def write():
        with psycopg.connect(busy) as link:
            for number in range(1_000_000):
                link.execute(
                    "insert into axes_accesslog (username, user_agent, attempt_time, path_info, http_accept,"
                    " session_hash) values ('pair', '', now(), '', '', '')"
                )
                link.execute("insert into django_session values (%s, '', now())", [f"pair {number}"])
                link.commit()
                if stop.is_set():
                    return

    writer = threading.Thread(target=write)
    writer.start()
    try:
        done = manage(busy, "backup", tmp_path / "busy.zip")
    finally:
        stop.set()
        writer.join()
    assert done.returncode == 0, done.stderr.decode()
    assert manage(target, "restore", tmp_path / "busy.zip").returncode == 0
    kept = rows(target)
    pairs = len([row for row in kept["django_session"] if "pair" in row])
    assert 0 < pairs == len([row for row in kept["axes_accesslog"] if "pair" in row])
    assert pairs < len([row for row in rows(busy)["django_session"] if "pair" in row]), "the writer went on meanwhile"
    goes_on_from_there(target)


def test_any_unzip_can_look_into_it(saved):
    with zipfile.ZipFile(saved) as found:
        assert found.testzip() is None
        assert found.namelist()[-1] == "manifest.json"
        assert b"Fennick Vale" in found.read("tables/playbook_season.copy")
