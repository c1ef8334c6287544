"""The file of a backup: written as a stream, sealed at the end, and believed only when the seal fits."""

from __future__ import annotations

import hashlib
import json
import os
import zipfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass, field
from typing import IO, Any, cast

FORMAT = 1
SEAL = 64  # hex digits of a SHA-256
COMMENT = b"Laneproof backup, sha256 of all before: "
TITLE, MANIFEST = "laneproof-backup.txt", "manifest.json"
ABOUT = (
    "A backup of Laneproof. `manage.py check FILE` says whether it is whole, `manage.py restore FILE` brings it back.\n"
)
BLOCK = 1 << 20


class Unreadable(Exception):
    """The file is no backup, not whole, or from a newer version; the text says which, and what to do."""


@dataclass(frozen=True, slots=True)
class TablePart:
    """One table in the file: its columns in the order of the file, how many rows, and the SHA-256 of its member."""

    name: str
    columns: tuple[str, ...]
    rows: int
    sha256: str


@dataclass(frozen=True, slots=True)
class Manifest:
    """What is in the file. `sequences` has what each gives out next, `migrations` are (app, name)."""

    format: int
    version: str
    made_at: str
    postgresql: str
    migrations: tuple[tuple[str, str], ...]
    tables: tuple[TablePart, ...]
    sequences: dict[str, int]

    @property
    def rows(self) -> int:
        """How many rows there are in all tables."""
        return sum(table.rows for table in self.tables)

    def as_json(self) -> bytes:
        """Returns the manifest as it stands in the file."""
        return json.dumps(asdict(self), indent=1).encode()


class _Sealed:
    """A stream that holds back the last bytes, and in the end writes the digest of all others in their place."""

    def __init__(self, raw: IO[bytes]) -> None:
        self._raw, self._held, self._digest = raw, b"", hashlib.sha256()

    def write(self, data: bytes, /) -> int:
        held = self._held + bytes(data)
        ready, self._held = held[:-SEAL], held[-SEAL:]
        self._digest.update(ready)
        self._raw.write(ready)
        return len(data)

    def flush(self) -> None:
        self._raw.flush()

    def seal(self) -> None:
        self._raw.write(self._digest.hexdigest().encode())
        self._raw.flush()


@dataclass(slots=True)
class Writer:
    """A backup being written."""

    _zip: zipfile.ZipFile
    tables: list[TablePart] = field(default_factory=list)

    def add_table(self, name: str, columns: Iterable[str], blocks: Iterable[bytes]) -> TablePart:
        """Writes a table's rows as they come; returns what was written."""
        digest, rows = hashlib.sha256(), 0
        with self._zip.open(_member(name), "w", force_zip64=True) as out:
            for block in blocks:
                digest.update(block)
                rows += block.count(b"\n")
                out.write(block)
        part = TablePart(name, tuple(columns), rows, digest.hexdigest())
        self.tables.append(part)
        return part

    def finish(self, manifest: Manifest) -> None:
        """Writes the manifest, the last member."""
        self._zip.writestr(MANIFEST, manifest.as_json())


@contextmanager
def writing(raw: IO[bytes]) -> Iterator[Writer]:
    """Opens a backup on a stream, which need not be able to seek; without an error it is sealed at the end."""
    sealed = _Sealed(raw)
    with zipfile.ZipFile(cast(IO[bytes], sealed), "w", zipfile.ZIP_DEFLATED) as zipped:
        zipped.writestr(TITLE, ABOUT)
        zipped.comment = COMMENT + b"0" * SEAL
        yield Writer(zipped)
    sealed.seal()


@dataclass(frozen=True, slots=True)
class Archive:
    """A whole backup, ready to be read."""

    manifest: Manifest
    _zip: zipfile.ZipFile

    def blocks(self, table: TablePart) -> Iterator[bytes]:
        """Yields a table's rows in PostgreSQL's text COPY format."""
        with self._zip.open(_member(table.name)) as member:
            while block := member.read(BLOCK):
                yield block


@contextmanager
def reading(raw: IO[bytes]) -> Iterator[Archive]:
    """Opens a backup after going through all of it. Raises Unreadable."""
    _check_seal(raw)
    try:
        with zipfile.ZipFile(raw) as zipped:
            manifest = _manifest(zipped.read(MANIFEST))
            archive = Archive(manifest, zipped)
            for table in manifest.tables:
                _check_table(archive, table)
            yield archive
    except (zipfile.BadZipFile, KeyError, EOFError) as error:
        raise Unreadable(f"its seal fits, but it is not a backup as this program writes them ({error}).") from error


def _check_seal(raw: IO[bytes]) -> None:
    size = raw.seek(0, os.SEEK_END)
    raw.seek(0)
    head = raw.read(30 + len(TITLE))
    if not head.startswith(b"PK") or not head.endswith(TITLE.encode()):
        raise Unreadable("this is no backup made by `manage.py backup`.")
    digest, left = hashlib.sha256(), size - SEAL
    raw.seek(0)
    while left > 0 and (block := raw.read(min(BLOCK, left))):
        digest.update(block)
        left -= len(block)
    if raw.read(SEAL) != digest.hexdigest().encode():
        raise Unreadable("it is damaged or cut short: its seal does not fit what is in it. Take another backup.")


def _check_table(archive: Archive, table: TablePart) -> None:
    digest, rows = hashlib.sha256(), 0
    for block in archive.blocks(table):
        digest.update(block)
        rows += block.count(b"\n")
    if (digest.hexdigest(), rows) != (table.sha256, table.rows):
        raise Unreadable(f"what it holds of the table {table.name} is not what its own list says.")


def _manifest(text: bytes) -> Manifest:
    try:
        data: dict[str, Any] = json.loads(text)
        if data["format"] > FORMAT:
            raise Unreadable(f"it was made by a newer version of this program ({data['version']}): update the program.")
        tables = tuple(TablePart(t["name"], tuple(t["columns"]), t["rows"], t["sha256"]) for t in data["tables"])
        migrations = tuple((app, name) for app, name in data["migrations"])
        return Manifest(**data | {"tables": tables, "migrations": migrations})
    except (ValueError, KeyError, TypeError) as error:
        raise Unreadable(f"its list of contents cannot be read ({error!r}).") from error


def _member(table: str) -> str:
    return f"tables/{table}.copy"
