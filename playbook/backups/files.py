"""Backup files as a command line names them: a path, or - for standard input."""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager

from playbook.backups import archive


@contextmanager
def opened(name: str) -> Iterator[archive.Archive]:
    """Opens a backup after going through all of it. Raises archive.Unreadable and OSError."""
    if name != "-":
        with open(name, "rb") as raw, archive.reading(raw) as found:
            yield found
        return
    with tempfile.TemporaryFile() as whole:  # all of it must be seen before anything is believed
        shutil.copyfileobj(sys.stdin.buffer, whole)
        with archive.reading(whole) as found:
            yield found


def named(name: str) -> str:
    """Returns what to call the file in a sentence."""
    return "standard input" if name == "-" else name
