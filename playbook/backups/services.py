"""Makes backups and brings them back."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from contextlib import suppress
from typing import IO, Any

from django.conf import settings
from django.core.management import call_command
from django.db import Error, connection, transaction
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.utils import timezone

from playbook.backups import archive, database
from playbook.migrating import executor_of_single_steps
from playbook.models import ErasedPerson
from playbook.people import erasing

Key = tuple[str, str]
BESIDE = "laneproof_restore"  # the schema in which a restore is built


class NotNow(Exception):
    """The database is not in a state for this; the text says what to do. Nothing was changed."""


def program_version() -> str:
    """Returns the version of this program."""
    return str(tomllib.loads((settings.BASE_DIR / "pyproject.toml").read_text())["project"]["version"])


def back_up(out: IO[bytes]) -> archive.Manifest:
    """Writes a backup to a stream: every row as it was at one moment, while the program runs on. Raises NotNow."""
    with connection.cursor() as cursor:
        before = database.tables(cursor)
    if "django_migrations" not in {table.name for table in before}:
        raise NotNow("There is nothing to back up: the database is not set up yet.")
    with transaction.atomic(durable=True), connection.cursor() as cursor:
        cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        database.lock(cursor, before)  # it sees no rows yet, so the moment of the backup comes after it
        cursor.execute(database.SAME_TEXT)
        found = database.tables(cursor)
        if found != before:
            raise NotNow("The tables are being changed by an update of the program. Try again when it is done.")
        applied = tuple(sorted(MigrationRecorder(connection).applied_migrations()))
        with archive.writing(out) as writer:
            for table in found:
                writer.add_table(table.name, table.columns, database.copy_out(cursor, table))
            manifest = archive.Manifest(
                format=archive.FORMAT,
                version=program_version(),
                made_at=timezone.now().isoformat(timespec="seconds"),
                postgresql=_server_version(cursor),
                migrations=applied,
                tables=tuple(writer.tables),
                sequences=database.sequences(cursor),
            )
            writer.finish(manifest)
    return manifest


def left_out() -> list[str]:
    """Returns the tables beside ours, which no backup holds."""
    with connection.cursor() as cursor:
        return database.others(cursor)


def _server_version(cursor: Any) -> str:
    cursor.execute("SHOW server_version")
    return str(cursor.fetchone()[0])


def check(manifest: archive.Manifest) -> bool:
    """Returns whether the backup is of an older state, which is migrated forward. Raises archive.Unreadable."""
    known = set(MigrationLoader(None).disk_migrations)
    unknown = sorted(f"{app}.{name}" for app, name in set(manifest.migrations) - known)
    if unknown:
        raise archive.Unreadable(
            f"it was made by a newer version of this program ({manifest.version}), whose database has what this one "
            f"({program_version()}) does not know: {', '.join(unknown[:5])}. Update the program, then restore."
        )
    return bool(known - set(manifest.migrations))


def restore(source: archive.Archive, replace: bool) -> None:
    """Brings a backup back: into a database without any of ours, or with `replace` in the place of all that is there.

    It is built in a schema of its own: its tables by the migrations of its time, its rows, compared again with the
    file, and the migrations since then. Only then, in one transaction, what was there is dropped and this is put in
    its place: whatever goes wrong before, what was there stays. Raises NotNow and archive.Unreadable.
    """
    older, gone = check(source.manifest), _erased()
    with connection.cursor() as cursor:
        home = database.home(cursor)
        if not database.only_one(cursor):
            raise NotNow("Another restore is going on.")
        _refuse_without_room(cursor, home, replace)
        database.make_schema(cursor, BESIDE)
        database.work_in(cursor, BESIDE)
        try:
            _build(cursor, source)
            if older:
                call_command("migrate", interactive=False, verbosity=0)
            erasing.erase_again(gone)
            database.work_in(cursor, home)
            _swap(cursor, home, replace)
        except BaseException:
            with suppress(Error):
                database.work_in(cursor, home)
                database.remove_schema(cursor, BESIDE)
            raise
        with suppress(Error):  # it is back now, whatever becomes of this
            cursor.execute("ANALYZE")


def _erased() -> list[erasing.Erased]:
    """Returns who was erased in the database that is there now; nobody where it has no such table."""
    with connection.cursor() as cursor:
        known = {table.name for table in database.tables(cursor)}
    return erasing.erased() if ErasedPerson._meta.db_table in known else []


def _refuse_without_room(cursor: Any, home: str, replace: bool) -> None:
    busy = database.other_connections(cursor)
    if busy:
        raise NotNow(
            f"The program still runs: {len(busy)} other connection{'s' if len(busy) > 1 else ''} to this database "
            f"({', '.join(dict.fromkeys(busy))}). Stop it first; it keeps in memory what it knows of the present rows."
        )
    if database.things(cursor, home) and not replace:
        raise NotNow(f"The database is not empty: {_in_words(cursor)}. To drop all of it, add --replace.")


def _build(cursor: Any, source: archive.Archive) -> None:
    _make_tables(source.manifest.migrations)
    with transaction.atomic(durable=True):
        cursor.execute(database.SAME_TEXT)
        found = database.tables(cursor)
        _compare_tables(found, database.sequences(cursor), source.manifest)
        _load(cursor, found, source)


def _swap(cursor: Any, home: str, replace: bool) -> None:
    with transaction.atomic(durable=True):
        _refuse_without_room(cursor, home, replace)
        database.drop(cursor, home)
        database.move(cursor, BESIDE, home)


def _in_words(cursor: Any) -> str:
    known = {table.name for table in database.tables(cursor)}
    asked = {
        "playbook_user": ("person", "people"),
        "playbook_system": ("system", "systems"),
        "playbook_week": ("week", "weeks"),
    }
    counts = []
    for name in asked.keys() & known:
        cursor.execute(f"SELECT count(*) FROM {name}")
        count = cursor.fetchone()[0]
        counts.append(f"{count} {asked[name][count != 1]}")
    return "it holds " + ", ".join([*sorted(counts, key=lambda said: said.split()[1]), f"{len(known)} tables in all"])


def _make_tables(applied: Iterable[Key]) -> None:
    wanted, executor = set(applied), MigrationExecutor(connection)
    for whole, migration in executor.loader.replacements.items():
        if set(migration.replaces) <= wanted:
            wanted.add(whole)
        elif not wanted.isdisjoint(migration.replaces):
            executor = executor_of_single_steps(connection)
    executor.migrate(_last_of_each_app(executor.loader, wanted & executor.loader.graph.nodes.keys()))


def _last_of_each_app(loader: MigrationLoader, applied: set[Key]) -> list[Key]:
    """Returns those that no other one of the same app builds on."""

    def built_on(key: Key) -> bool:
        return any(child.key in applied for child in loader.graph.node_map[key].children if child.key[0] == key[0])

    return sorted(key for key in applied if not built_on(key))


def _compare_tables(found: list[database.Table], counters: dict[str, int], manifest: archive.Manifest) -> None:
    made = {table.name: set(table.columns) for table in found}
    told = {table.name: set(table.columns) for table in manifest.tables}
    wrong = sorted({name for name in made.keys() | told.keys() if made.get(name) != told.get(name)})
    wrong += sorted(counters.keys() ^ manifest.sequences.keys())
    if wrong:
        raise archive.Unreadable(
            f"its tables are not what version {manifest.version} makes: {', '.join(wrong[:5])}. Was the database that "
            "it comes from changed by hand?"
        )


def _load(cursor: Any, found: list[database.Table], source: archive.Archive) -> None:
    parts = {part.name: part for part in source.manifest.tables}
    database.set_triggers(cursor, found, on=False)
    database.empty_tables(cursor, found)  # of what the migrations wrote themselves
    cursor.execute("SET CONSTRAINTS ALL DEFERRED")
    for table in database.loading_order(found):
        part = parts[table.name]
        database.copy_in(cursor, table.name, part.columns, source.blocks(part))
    cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
    database.set_triggers(cursor, found, on=True)
    for name, following in source.manifest.sequences.items():
        database.set_sequence(cursor, name, following)
    for table in found:
        in_file_order = database.Table(table.name, parts[table.name].columns, table.key, table.collated, table.after)
        if database.digest_of(cursor, in_file_order) != parts[table.name].sha256:
            raise archive.Unreadable(f"the table {table.name} did not come back as it is in the file.")
