"""The data folder of an installation: its secret key, and the lock that says it is in use."""

from __future__ import annotations

import contextlib
import fcntl
import os
import secrets
from collections.abc import Iterator
from pathlib import Path

from playbook import postgres


class FolderError(RuntimeError):
    """The data folder cannot be used; the text says why and what to do."""


def key_file(folder: Path | None = None) -> Path:
    """Returns where the secret key is kept, which only its owner may read."""
    return (folder or postgres.default_folder()) / "secret-key"


def read_key(folder: Path | None = None) -> str:
    """Returns the kept secret key, or nothing where none was made yet. Raises FolderError when others may read it."""
    path = key_file(folder)
    try:
        if path.stat().st_mode & 0o077:
            raise FolderError(f"Others may read the secret key. Take that away first: chmod 600 {path}")
        key = path.read_text().strip()
    except FileNotFoundError:
        return ""
    except OSError as error:
        raise FolderError(f"The secret key {path} cannot be read: {error.strerror}.") from error
    if len(key) < 50:
        raise FolderError(f"The secret key {path} is damaged: expected 50 letters or more, got {len(key)}.")
    return key


def make_key(folder: Path | None = None) -> str:
    """Returns the secret key, made at the first call and the same ever after; two at once agree on one."""
    path = key_file(folder)
    with _said(path.parent):
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        if not path.exists():
            part = path.with_name(f".secret-key.{os.getpid()}")
            with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as out:
                out.write(secrets.token_urlsafe(64) + "\n")
                out.flush()
                os.fsync(out.fileno())
            with contextlib.suppress(FileExistsError):
                os.link(part, path)
            part.unlink()
    return read_key(folder)


@contextlib.contextmanager
def alone(folder: Path, told: str) -> Iterator[None]:
    """Holds the data folder for one running program. `told` (its address) is what a second one says of the first.

    Raises FolderError when another has it.
    """
    path = folder / "serve.lock"
    with _said(folder):
        handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        who = os.read(handle, 400).decode(errors="replace").strip()
        os.close(handle)
        raise FolderError(
            f"The data folder {folder} is in use by another running program ({who or 'just starting'}). "
            "Stop that one, or name another folder: LANEPROOF_DATA=FOLDER."
        ) from None
    try:
        os.ftruncate(handle, 0)
        os.pwrite(handle, f"process {os.getpid()}, {told}\n".encode(), 0)
        yield
    finally:
        os.ftruncate(handle, 0)
        os.close(handle)


@contextlib.contextmanager
def _said(folder: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise FolderError(
            f"The data folder {folder} cannot be written: {error.strerror}. Name another: LANEPROOF_DATA=FOLDER."
        ) from error
