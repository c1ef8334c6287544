"""What this program has in its database, seen from PostgreSQL: tables, sequences, and what a restore has to drop."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from graphlib import TopologicalSorter
from typing import Any

from django.apps import apps
from psycopg import sql

BLOCK = 1 << 18

# Text that any server reads and writes the same way.
SAME_TEXT = """
    SET LOCAL datestyle = 'ISO, YMD'; SET LOCAL timezone = 'UTC'; SET LOCAL intervalstyle = 'postgres';
    SET LOCAL extra_float_digits = 1; SET LOCAL bytea_output = 'hex'; SET LOCAL client_encoding = 'UTF8';
"""

NOT_OF_AN_EXTENSION = "NOT EXISTS (SELECT FROM pg_depend d WHERE d.objid = {0}.oid AND d.deptype = 'e')"
HERE = "(SELECT oid FROM pg_namespace WHERE nspname = current_schema())"

TABLES = f"""
    SELECT c.relname,
        array(SELECT a.attname::text FROM pg_attribute a
            WHERE a.attrelid = c.oid AND a.attnum > 0 AND NOT a.attisdropped AND a.attgenerated = '' ORDER BY a.attnum),
        array(SELECT a.attname::text FROM pg_index i CROSS JOIN unnest(i.indkey::int[]) WITH ORDINALITY k(attnum, place)
            JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum = k.attnum
            WHERE i.indrelid = c.oid AND i.indisprimary ORDER BY k.place),
        array(SELECT a.attname::text FROM pg_attribute a WHERE a.attrelid = c.oid AND a.attcollation <> 0),
        array(SELECT f.relname::text FROM pg_constraint r JOIN pg_class f ON f.oid = r.confrelid
            WHERE r.conrelid = c.oid AND r.contype = 'f' AND f.oid <> c.oid AND NOT r.condeferrable)
    FROM pg_class c
    WHERE c.relkind IN ('r', 'p') AND c.relnamespace = {HERE} AND {NOT_OF_AN_EXTENSION.format("c")}
    ORDER BY c.relname
"""
SEQUENCES = f"""
    SELECT c.relname, s.seqincrement FROM pg_class c JOIN pg_sequence s ON s.seqrelid = c.oid
    WHERE c.relnamespace = {HERE} AND {NOT_OF_AN_EXTENSION.format("c")} ORDER BY c.relname
"""
# In this order nothing needs CASCADE, which would take what others have built on it.
THINGS = f"""
    SELECT kind, name, said FROM (
        SELECT 1 AS turn, CASE c.relkind WHEN 'v' THEN 'VIEW' ELSE 'MATERIALIZED VIEW' END AS kind, c.relname AS name,
            format('%%I.%%I', %(schema)s, c.relname) AS said
        FROM pg_class c WHERE c.relkind IN ('v', 'm') AND c.relnamespace = {{there}}
            AND {NOT_OF_AN_EXTENSION.format("c")}
        UNION ALL
        SELECT 2, 'TRIGGER', c.relname, format('%%I ON %%I.%%I', t.tgname, %(schema)s, c.relname)
        FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid WHERE NOT t.tgisinternal AND c.relnamespace = {{there}}
        UNION ALL
        SELECT 3, 'ROUTINE', p.proname, p.oid::regprocedure::text
        FROM pg_proc p WHERE p.pronamespace = {{there}} AND {NOT_OF_AN_EXTENSION.format("p")}
        UNION ALL
        SELECT 4, 'TABLE', c.relname, format('%%I.%%I', %(schema)s, c.relname)
        FROM pg_class c WHERE c.relkind IN ('r', 'p') AND c.relnamespace = {{there}}
            AND {NOT_OF_AN_EXTENSION.format("c")}
        UNION ALL
        SELECT 5, 'SEQUENCE', c.relname, format('%%I.%%I', %(schema)s, c.relname)
        FROM pg_class c WHERE c.relkind = 'S' AND c.relnamespace = {{there}} AND {NOT_OF_AN_EXTENSION.format("c")}
            AND NOT EXISTS (SELECT FROM pg_depend d WHERE d.objid = c.oid AND d.deptype IN ('a', 'i')
                AND d.refclassid = 'pg_class'::regclass)
        UNION ALL
        SELECT 6, 'TYPE', t.typname, format('%%I.%%I', %(schema)s, t.typname)
        FROM pg_type t LEFT JOIN pg_class c ON c.oid = t.typrelid
        WHERE t.typnamespace = {{there}} AND {NOT_OF_AN_EXTENSION.format("t")}
            AND (t.typtype IN ('e', 'd', 'r') OR (t.typtype = 'c' AND c.relkind = 'c'))
    ) AS everything ORDER BY turn, name
""".format(there="(SELECT oid FROM pg_namespace WHERE nspname = %(schema)s)")
SHARED = "_pgtrigger_should_ignore"  # triggers name it with its schema, and every migration that makes one replaces it


@dataclass(frozen=True, slots=True)
class Table:
    """A table: its columns, its primary key, which columns sort by language, and what must be loaded before it."""

    name: str
    columns: tuple[str, ...]
    key: tuple[str, ...]
    collated: frozenset[str]
    after: frozenset[str]


def ours(name: str) -> bool:
    """Returns whether a thing of that name is this program's: it begins with the name of one of its apps."""
    labels = {"django", "pgh", *(app.label for app in apps.get_app_configs())}
    return name != SHARED and name.lstrip("_").startswith(tuple(f"{label}_" for label in labels))


def tables(cursor: Any) -> list[Table]:
    """Returns our tables by name."""
    cursor.execute(TABLES)
    return [
        Table(name, tuple(columns), tuple(key), frozenset(collated), frozenset(filter(ours, after)))
        for name, columns, key, collated, after in cursor.fetchall()
        if ours(name)
    ]


def others(cursor: Any) -> list[str]:
    """Returns the names of tables in the same schema that are not ours."""
    cursor.execute(TABLES)
    return [row[0] for row in cursor.fetchall() if not ours(row[0])]


def loading_order(found: Iterable[Table]) -> list[Table]:
    """Returns the tables so that each comes after those that its rows must find there at once."""
    by_name = {table.name: table for table in found}
    order = TopologicalSorter({table.name: table.after for table in by_name.values()}).static_order()
    return [by_name[name] for name in order]


def lock(cursor: Any, found: Iterable[Table]) -> None:
    """Holds the tables as they are to the end of the transaction; rows may still be written."""
    names = sql.SQL(", ").join(sql.Identifier(table.name) for table in found)
    cursor.execute(sql.SQL("LOCK TABLE {} IN ACCESS SHARE MODE").format(names))


def copy_out(cursor: Any, table: Table) -> Iterator[bytes]:
    """Yields the table's rows in text COPY format, in the order of the primary key, in blocks of whole rows."""
    key = [_in_order(table, column) for column in table.key or table.columns]
    asked = sql.SQL("COPY (SELECT {} FROM {} ORDER BY {}) TO STDOUT").format(
        _names(table.columns), sql.Identifier(table.name), sql.SQL(", ").join(key)
    )
    held = bytearray()
    with cursor.copy(asked) as rows:
        for row in rows:
            held += row
            if len(held) >= BLOCK:
                yield bytes(held)
                held.clear()
    yield bytes(held)


def _in_order(table: Table, column: str) -> sql.Composable:
    name = sql.Identifier(column)
    return sql.SQL('{} COLLATE "C"').format(name) if column in table.collated else name


def copy_in(cursor: Any, table: str, columns: Sequence[str], blocks: Iterable[bytes]) -> int:
    """Writes rows in text COPY format; returns how many."""
    told = sql.SQL("COPY {} ({}) FROM STDIN").format(sql.Identifier(table), _names(columns))
    with cursor.copy(told) as rows:
        for block in blocks:
            rows.write(block)
    return int(cursor.rowcount)


def digest_of(cursor: Any, table: Table) -> str:
    """Returns the SHA-256 of the table's rows, as they are written into a backup."""
    digest = hashlib.sha256()
    for block in copy_out(cursor, table):
        digest.update(block)
    return digest.hexdigest()


def sequences(cursor: Any) -> dict[str, int]:
    """Returns what each of our sequences gives out next. Read it after the rows: a sequence knows no snapshot."""
    cursor.execute(SEQUENCES)
    steps = {name: step for name, step in cursor.fetchall() if ours(name)}
    asked = [
        sql.SQL("SELECT {}, last_value, is_called FROM {}").format(sql.Literal(name), sql.Identifier(name))
        for name in steps
    ]
    if not asked:
        return {}
    cursor.execute(sql.SQL(" UNION ALL ").join(asked))
    return {name: last + (steps[name] if called else 0) for name, last, called in cursor.fetchall()}


def set_sequence(cursor: Any, name: str, following: int) -> None:
    """Sets what a sequence gives out next; taken back with the transaction, as `setval` would not be."""
    cursor.execute(sql.SQL("ALTER SEQUENCE {} RESTART WITH {}").format(sql.Identifier(name), sql.Literal(following)))


def set_triggers(cursor: Any, found: Iterable[Table], on: bool) -> None:
    """Turns our triggers on or off: history and revisions are in the file and must not be made a second time."""
    word = sql.SQL("ENABLE" if on else "DISABLE")
    for table in found:
        cursor.execute(sql.SQL("ALTER TABLE {} {} TRIGGER USER").format(sql.Identifier(table.name), word))


def empty_tables(cursor: Any, found: Iterable[Table]) -> None:
    """Deletes all rows."""
    cursor.execute(sql.SQL("TRUNCATE {}").format(_names(table.name for table in found)))


def things(cursor: Any, schema: str) -> list[tuple[str, str]]:
    """Returns everything of ours in a schema as (kind, name as SQL writes it), in the order to drop or move it."""
    cursor.execute(THINGS, {"schema": schema})
    return [(kind, said) for kind, name, said in cursor.fetchall() if ours(name)]


def drop(cursor: Any, schema: str) -> None:
    """Drops all of ours in a schema; refused by the database when somebody else's thing hangs on it."""
    by_kind: dict[str, list[str]] = {}
    for kind, said in things(cursor, schema):
        by_kind.setdefault(kind, []).append(said)
    for kind, names in by_kind.items():
        for together in names if kind == "TRIGGER" else [", ".join(names)]:
            cursor.execute(f"DROP {kind} {together}")


def move(cursor: Any, source: str, target: str) -> None:
    """Moves all of ours from one schema to another, which must leave nothing behind, and removes the empty one.

    Indexes, triggers and own sequences go with their table.
    """
    for kind, said in things(cursor, source):
        if kind != "TRIGGER":
            cursor.execute(f"ALTER {kind} {said} SET SCHEMA {sql.Identifier(target).as_string()}")
    cursor.execute(sql.SQL("DROP SCHEMA {} RESTRICT").format(sql.Identifier(source)))


def home(cursor: Any) -> str:
    """Returns the schema that the program works in."""
    cursor.execute("SELECT current_schema()")
    return str(cursor.fetchone()[0])


def work_in(cursor: Any, schema: str) -> None:
    """Makes a schema the one that this connection works in."""
    cursor.execute(sql.SQL("SET search_path = {}").format(sql.Identifier(schema)))


def make_schema(cursor: Any, schema: str) -> None:
    """Makes an empty schema, in the place of one that a killed run left behind."""
    remove_schema(cursor, schema)
    cursor.execute(sql.SQL("CREATE SCHEMA {}").format(sql.Identifier(schema)))


def remove_schema(cursor: Any, schema: str) -> None:
    """Removes a schema of our own making with all that is in it."""
    cursor.execute(sql.SQL("DROP SCHEMA IF EXISTS {} CASCADE").format(sql.Identifier(schema)))


def only_one(cursor: Any) -> bool:
    """Returns whether no other connection has asked this and still lives."""
    cursor.execute("SELECT pg_try_advisory_lock(hashtext('laneproof restore'))")
    return bool(cursor.fetchone()[0])


def other_connections(cursor: Any) -> list[str]:
    """Returns a few words on everybody else who is connected to this database."""
    cursor.execute(
        "SELECT concat_ws(' ', usename, nullif(application_name, ''), host(client_addr)) FROM pg_stat_activity"
        " WHERE datname = current_database() AND pid <> pg_backend_pid() AND backend_type = 'client backend'"
    )
    return sorted(row[0] for row in cursor.fetchall())


def _names(names: Iterable[str]) -> sql.Composed:
    return sql.SQL(", ").join(map(sql.Identifier, names))
