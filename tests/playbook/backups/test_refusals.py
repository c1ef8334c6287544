"""What is not whole, not for this version or not expressly meant is refused, and what was there stays."""

import json
import random
import signal
import stat
import subprocess
import sys
import time
import zipfile
from dataclasses import replace

import psycopg
import pytest

from playbook.backups import archive
from tests.playbook.backups.servers import ROOT, environment, everything, manage, refused, rows


def whole(path):
    """Returns what `check` says of a file: nothing for a whole one."""
    try:
        with path.open("rb") as raw, archive.reading(raw):
            return ""
    except archive.Unreadable as reason:
        return str(reason)


def rewritten(saved, path, **changes):
    """Writes the backup again with another manifest, sealed as if that were true."""
    with saved.open("rb") as raw, archive.reading(raw) as found, path.open("wb") as out, archive.writing(out) as writer:
        for table in found.manifest.tables:
            writer.add_table(table.name, table.columns, found.blocks(table))
        writer.finish(replace(found.manifest, **changes))
    return path


def test_every_damaged_byte_is_found(saved, tmp_path):
    good, bad = saved.read_bytes(), tmp_path / "bad.zip"
    assert whole(saved) == ""
    places = {*range(120), *range(len(good) - 120, len(good)), *range(0, len(good), len(good) // 60)}
    for place in sorted(places):
        bad.write_bytes(good[:place] + bytes([good[place] ^ 4]) + good[place + 1 :])
        assert whole(bad), place


def test_every_cut_is_found_and_so_is_what_was_added(saved, tmp_path):
    good, bad = saved.read_bytes(), tmp_path / "bad.zip"
    for length in {0, 1, 30, 64, 100, len(good) // 2, len(good) - 65, len(good) - 64, len(good) - 1}:
        bad.write_bytes(good[:length])
        assert whole(bad), length
    bad.write_bytes(good + b"\n")
    assert whole(bad)


NOISE = random.Random(17).randbytes(5000)


@pytest.mark.parametrize(
    "content", [b"", b"-- PostgreSQL database dump\n", b"PK\x03\x04", NOISE], ids=["empty", "a dump", "a zip", "noise"]
)
def test_what_is_no_backup_is_called_so(content, tmp_path):
    (tmp_path / "other").write_bytes(content)
    assert "no backup" in whole(tmp_path / "other")


def test_another_zip_archive_is_no_backup(tmp_path):
    with zipfile.ZipFile(tmp_path / "other.zip", "w") as other:
        other.writestr("a.txt", "a")
    assert "no backup" in whole(tmp_path / "other.zip")


def test_a_list_of_contents_that_does_not_fit_is_refused(saved, tmp_path):
    with saved.open("rb") as raw, archive.reading(raw) as found:
        tables = found.manifest.tables
    one = tables[3]
    for wrong in (replace(one, rows=one.rows + 1), replace(one, sha256="0" * 64), replace(one, name="not_there")):
        changed = (*tables[:3], wrong, *tables[4:])
        assert whole(rewritten(saved, tmp_path / "list.zip", tables=changed))


def test_check_says_what_it_is_and_what_is_wrong(saved, full, tmp_path):
    said = manage(full, "check", saved)
    assert said.returncode == 0
    assert (
        b"is whole" in said.stdout and b"by version 0.1.0" in said.stdout and b"it can be restored here." in said.stdout
    )
    bad = tmp_path / "bad.zip"
    bad.write_bytes(saved.read_bytes()[:-1])
    refused(manage(full, "check", bad), "damaged or cut short", str(bad))
    refused(manage(full, "check", "nothing-there"), "There is no file nothing-there")
    refused(manage(full, "check", tmp_path), "cannot be read")


def test_without_a_file_check_checks_the_program(full):
    for labels in ([], ["playbook"]):
        done = manage(full, "check", *labels)
        assert done.returncode == 0 and b"no issues" in done.stdout


def test_what_is_there_is_dropped_for_the_express_word_only(saved, untouched):
    target, before = untouched
    refused(manage(target, "restore", saved), "not empty", "3 people", "--replace", "Nothing was changed")
    assert everything(target) == before


HURT = ["damaged", "cut", "newer migrations", "newer format", "a table too few", "a lost parent", "missing"]


@pytest.mark.parametrize("hurt", HURT)
def test_a_file_that_cannot_come_back_touches_nothing(hurt, saved, untouched, tmp_path):
    (target, before), bad, good = untouched, tmp_path / "bad.zip", saved.read_bytes()
    with saved.open("rb") as raw, archive.reading(raw) as found:
        manifest = found.manifest
    if hurt == "damaged":
        bad.write_bytes(good[:9000] + bytes([good[9000] ^ 1]) + good[9001:])
        words = ["damaged or cut short"]
    elif hurt == "cut":
        bad.write_bytes(good[:-5000])
        words = ["damaged or cut short"]
    elif hurt == "newer migrations":
        later = (*manifest.migrations, ("playbook", "0999_next_year"))
        rewritten(saved, bad, version="7.0", migrations=later)
        words = ["newer version", "7.0", "playbook.0999_next_year", "Update the program"]
    elif hurt == "newer format":
        rewritten(saved, bad, version="8.0", format=archive.FORMAT + 1)
        words = ["newer version", "8.0"]
    elif hurt == "a table too few":
        rewritten(saved, bad, tables=manifest.tables[:-1])
        words = [manifest.tables[-1].name]
    elif hurt == "a lost parent":  # as from a database whose constraints were changed by hand
        hurt_table(saved, bad, "playbook_season", lambda text: b"")
        words = ["playbook_week", "season"]
    else:
        words = ["No such file"]
    refused(manage(target, "restore", "--replace", bad), "Nothing was changed", *words)
    assert everything(target) == before


def hurt_table(saved, path, name, change):
    with saved.open("rb") as raw, archive.reading(raw) as found, path.open("wb") as out, archive.writing(out) as writer:
        for table in found.manifest.tables:
            text = b"".join(found.blocks(table))
            writer.add_table(table.name, table.columns, [change(text) if table.name == name else text])
        writer.finish(replace(found.manifest, tables=tuple(writer.tables)))


def test_while_the_program_runs_nothing_is_restored(saved, untouched):
    target, before = untouched
    with psycopg.connect(target, application_name="a web server"):
        refused(manage(target, "restore", "--replace", saved), "still runs", "a web server", "Nothing was changed")
    assert everything(target) == before


def start_restore(target, saved, code=""):
    """Starts a restore; the code may change what it does on the way."""
    program = "import django; django.setup()\nimport os, signal, sys\nfrom django.core.management import call_command\n"
    program += f"{code}\ncall_command('restore', sys.argv[1], replace=True)"
    command = [sys.executable, "-c", program, str(saved)]
    return subprocess.Popen(command, cwd=ROOT, env=environment(target), stderr=subprocess.PIPE)


def kill_when_building(target, saved):
    process = start_restore(target, saved)
    until = time.monotonic() + 60
    with psycopg.connect(target.rsplit("/", 1)[0] + "/postgres", autocommit=True) as link:
        name = target.rsplit("/", 1)[1]
        while time.monotonic() < until:
            found = link.execute(
                "select query from pg_stat_activity where datname = %s and query ~ 'playbook_week'", [name]
            )
            if found.fetchone():
                break
            time.sleep(0.01)
    process.kill()
    return process


AFTER_DROP = """
from playbook.backups import database
database.move = lambda cursor, source, target: os.kill(os.getpid(), signal.SIGKILL)
"""


@pytest.mark.parametrize("when", ["while building", "after the drop"])
def test_killed_on_the_way_the_old_data_stays(when, saved, untouched):
    target, before = untouched
    building = when == "while building"
    process = kill_when_building(target, saved) if building else start_restore(target, saved, AFTER_DROP)
    assert process.wait(timeout=300) == -signal.SIGKILL, process.stderr.read().decode()
    wait_until_alone(target)
    assert rows(target) == before[0]
    with psycopg.connect(target) as link:
        left = link.execute("select count(*) from pg_tables where schemaname = 'laneproof_restore'").fetchone()[0]
        link.execute("drop schema laneproof_restore cascade")
    assert left, "it was killed on the way, not before"


def test_what_a_killed_restore_left_is_cleared_and_somebody_elses_view_is_not_torn_down(full, saved, new_database):
    """Refused at the very last, by the database itself."""
    target = new_database(full)
    with psycopg.connect(target) as link:
        link.execute("create view report as select count(*) from playbook_week")
        link.execute("create schema laneproof_restore")
        link.execute("create table laneproof_restore.playbook_week (half int)")
    refused(manage(target, "restore", "--replace", saved), "report", "Nothing was changed")
    assert rows(target) == rows(full)
    with psycopg.connect(target) as link:
        link.execute("drop view report")
    assert everything(target) == everything(full), "nothing of this try or the last one is left"


def wait_until_alone(target):
    name, until = target.rsplit("/", 1)[1], time.monotonic() + 30
    with psycopg.connect(target.rsplit("/", 1)[0] + "/postgres", autocommit=True) as link:
        while link.execute("select 1 from pg_stat_activity where datname = %s", [name]).fetchone():
            assert time.monotonic() < until, "the server did not notice"
            time.sleep(0.05)


def test_a_backup_overwrites_nothing_and_is_for_its_owner_only(full, saved, tmp_path):
    kept = tmp_path / "kept.zip"
    kept.write_text("mine")
    refused(manage(full, "backup", kept), "is there already")
    assert kept.read_text() == "mine"
    refused(manage(full, "backup", tmp_path / "no-such-folder" / "b.zip"), "cannot be written", "No such file")
    assert stat.S_IMODE(saved.stat().st_mode) == 0o600
    assert [path.name for path in saved.parent.iterdir()] == [saved.name], "nothing half-made beside it"


def test_a_database_that_is_not_set_up_gives_no_backup(new_database, tmp_path):
    refused(manage(new_database(), "backup", tmp_path / "none.zip"), "nothing to back up")
    assert list(tmp_path.iterdir()) == []


def test_the_list_of_contents_says_what_it_is(saved):
    with zipfile.ZipFile(saved) as found:
        said = json.loads(found.read("manifest.json"))
    assert said["format"] == 1 and said["version"] == "0.1.0"
    assert ["playbook", "0001_initial"] in said["migrations"]
    assert sum(table["rows"] for table in said["tables"]) > 4000
    assert "playbook_revision" in said["sequences"]
