"""The embedded server: started once, shared, found again after its owner's death, whole after a kill."""

import os
import signal
import stat
import subprocess
import sys
import time
from pathlib import Path

import psycopg
import pytest

from playbook import postgres

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def folder(tmp_path):
    path = tmp_path / "data"
    yield path
    postgres.stop_if_unused(path)


def elsewhere(folder, code="print(postgres.start(Path(sys.argv[1])))"):
    """Starts another process that runs the code with the folder as its argument."""
    program = f"import os, sys, time\nfrom pathlib import Path\nfrom playbook import postgres\n{code}"
    return subprocess.Popen([sys.executable, "-c", program, str(folder)], cwd=ROOT, stdout=subprocess.PIPE, text=True)


def kill_server(folder):
    pid = postgres._server_pid(folder)
    assert pid is not None
    os.kill(pid, signal.SIGKILL)


def test_a_second_start_finds_the_same_server(folder):
    first = postgres.start(folder)
    pid = postgres._server_pid(folder)
    assert postgres.start(folder) == first
    assert postgres._server_pid(folder) == pid


def test_four_processes_at_once_share_one_server(folder):
    others = [elsewhere(folder) for _ in range(4)]
    addresses = {other.communicate(timeout=60)[0].strip() for other in others}
    assert addresses == {postgres.start(folder)}
    assert all(other.returncode == 0 for other in others)


def test_rows_survive_the_killing_of_the_server(folder):
    with psycopg.connect(postgres.start(folder)) as link:
        link.execute("create table kept (n int)")
        link.execute("insert into kept values (7)")
    kill_server(folder)
    with psycopg.connect(postgres.start(folder)) as link:
        assert link.execute("select n from kept").fetchone() == (7,)


def test_it_stops_only_when_nobody_else_uses_it(folder):
    other = elsewhere(folder, "print(postgres.start(Path(sys.argv[1])), flush=True); time.sleep(60)")
    other.stdout.readline()
    postgres.start(folder)
    assert postgres.stop_if_unused(folder) is False
    assert postgres._server_pid(folder) is not None
    other.kill()
    other.wait()
    assert postgres.stop_if_unused(folder) is True
    assert postgres._server_pid(folder) is None


def test_a_killed_owner_leaves_a_server_that_is_found_again(folder):
    other = elsewhere(folder, "print(postgres.start(Path(sys.argv[1])), flush=True); time.sleep(60)")
    address = other.stdout.readline().strip()
    pid = postgres._server_pid(folder)
    other.kill()
    other.wait()
    assert postgres.start(folder) == address
    assert postgres._server_pid(folder) == pid


def test_a_pid_file_that_names_another_program_is_not_believed(folder):
    postgres.start(folder)
    pid_file = postgres._data(folder) / "postmaster.pid"
    lines = pid_file.read_text().splitlines()
    postgres.stop_if_unused(folder)
    time.sleep(0.1)
    pid_file.write_text("\n".join([str(os.getpid()), *lines[1:]]) + "\n")
    with psycopg.connect(postgres.start(folder)) as link:
        assert link.execute("select 1").fetchone() == (1,)


def test_it_listens_on_no_network_port_and_touches_no_permissions_outside(folder, tmp_path):
    before = stat.S_IMODE(tmp_path.stat().st_mode)
    with psycopg.connect(postgres.start(folder)) as link:
        assert link.execute("show listen_addresses").fetchone() == ("",)
    assert stat.S_IMODE(tmp_path.stat().st_mode) == before
    assert stat.S_IMODE(postgres._data(folder).stat().st_mode) == 0o700
    assert stat.S_IMODE(postgres._socket_folder(folder).stat().st_mode) == 0o700


def test_a_very_long_path_still_gets_a_short_socket(tmp_path):
    folder = tmp_path / ("a" * 80) / ("b" * 80)
    try:
        assert postgres.start(folder).startswith("postgresql://")
        assert len(str(postgres._socket_folder(folder))) < 90
    finally:
        postgres.stop_if_unused(folder)


def test_where_it_cannot_run_the_error_names_the_way_out(folder, monkeypatch):
    monkeypatch.setattr(postgres.importlib.util, "find_spec", lambda name: None)
    with pytest.raises(postgres.PostgresError, match="Set DATABASE_URL"):
        postgres.start(folder)


def test_as_root_without_user_namespaces_the_error_names_the_way_out(folder, monkeypatch):
    monkeypatch.setattr(postgres.os, "geteuid", lambda: 0)
    monkeypatch.setattr(postgres.subprocess, "run", lambda *_, **__: subprocess.CompletedProcess([], 1))
    with pytest.raises(postgres.PostgresError, match=r"user namespaces are not allowed here. Set DATABASE_URL"):
        postgres._prefix()
