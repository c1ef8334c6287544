"""The parts of `manage.py serve`: names, ports, certificates, the key, the unit, and what is refused."""

import shutil
import socket
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from playbook import demo
from playbook.management.commands import serve as command
from playbook.serving import house, network, running, unit


@pytest.mark.parametrize(
    ("text", "host", "origin"),
    [
        ("playbook.example.org", "playbook.example.org", "https://playbook.example.org"),
        ("Playbook.example.org:8443", "playbook.example.org", "https://playbook.example.org:8443"),
        ("http://field-house.local:8000/", "field-house.local", "http://field-house.local:8000"),
        ("[::1]:8443", "[::1]", "https://[::1]:8443"),
    ],
)
def test_a_site_is_read(text, host, origin):
    assert network.read_site(text) == network.Site(host, origin)


@pytest.mark.parametrize(
    ("site", "port", "proxies", "cert", "shown"),
    [
        ("playbook.example.org", 8443, 0, Path("x"), "https://playbook.example.org:8443/"),
        ("playbook.example.org", 443, 0, Path("x"), "https://playbook.example.org/"),
        ("playbook.example.org:9443", 8443, 0, Path("x"), "https://playbook.example.org:9443/"),
        ("playbook.example.org", 8000, 1, None, "https://playbook.example.org/"),
        ("playbook.example.org", 8000, 0, None, "http://playbook.example.org:8000/"),
    ],
)
def test_the_address_that_is_printed_is_the_one_to_open(site, port, proxies, cert, shown):
    plan = running.Plan("0.0.0.0", port, (network.read_site(site),), proxies, cert, cert)
    assert plan.shown == shown


@pytest.mark.parametrize("text", ["", "*", "*.example.org", "a b", "ftp://x", "x/way", "me@x", "x:port", "a,b"])
def test_what_is_no_site_is_refused(text):
    with pytest.raises(network.NetworkError, match="expected a name such as"):
        network.read_site(text)


def test_it_answers_to_its_sites_or_else_to_its_addresses_and_never_to_every_name():
    site = network.read_site("playbook.example.org")
    assert network.hosts("0.0.0.0", [site]) == ["playbook.example.org", *network.LOOPBACK]
    assert network.hosts("192.0.2.7", []) == ["192.0.2.7", *network.LOOPBACK]
    assert socket.gethostname().lower() in network.hosts("0.0.0.0", []) and "*" not in network.hosts("0.0.0.0", [])


def test_an_address_of_another_machine_is_refused():
    with pytest.raises(network.NetworkError, match="is no address of this machine"):
        network.listen("192.0.2.7", [8000])


def test_the_first_free_port_is_taken():
    with network.listen("127.0.0.1", [0]) as taken:
        port = taken.getsockname()[1]
        with pytest.raises(network.NetworkError, match=f"Port {port} is in use"):
            network.listen("127.0.0.1", [port])


def test_children_never_get_debug_settings(monkeypatch):
    monkeypatch.setenv("LANEPROOF_DEBUG", "1")
    plain = running.environment(running.Plan("127.0.0.1", 8000), "postgresql://x/y")
    behind = running.environment(running.Plan("127.0.0.1", 8000, proxies=1), "postgresql://x/y")
    assert "LANEPROOF_DEBUG" not in plain
    assert (plain["LANEPROOF_PLAIN"], behind["LANEPROOF_PLAIN"], behind["LANEPROOF_PROXIES"]) == ("1", "0", "1")


def test_the_key_is_made_once_and_refused_when_others_may_read_it(tmp_path):
    made = house.make_key(tmp_path)
    assert len(made) > 50 and house.make_key(tmp_path) == made
    house.key_file(tmp_path).chmod(0o644)
    with pytest.raises(house.FolderError, match="chmod 600"):
        house.read_key(tmp_path)


def test_a_damaged_key_is_refused(tmp_path):
    house.make_key(tmp_path)
    house.key_file(tmp_path).write_text("short")
    with pytest.raises(house.FolderError, match="damaged"):
        house.read_key(tmp_path)


def test_one_program_a_folder(tmp_path):
    with (
        house.alone(tmp_path, "http://x/"),
        pytest.raises(house.FolderError, match=r"process \d+, http://x/"),
        house.alone(tmp_path, "http://y/"),
    ):
        pass
    with house.alone(tmp_path, "http://z/"):
        pass


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--cert", "a.pem"], "HTTPS needs both"),
        (["--cert", "nowhere.pem", "--key", "nowhere.key"], "cannot be read"),
        (["--proxies", "-1"], "expected 0 to 9"),
        (["--workers", "0"], "expected 1 to 64"),
        (["--site", "*"], "expected a name"),
    ],
)
def test_options_that_cannot_work_are_refused_in_words(options, said):
    with pytest.raises(CommandError, match=said):
        call_command("serve", *options)


def test_files_that_are_no_certificate_are_refused(tmp_path):
    for name in ("cert", "key"):
        (tmp_path / name).write_text("nothing")
    with pytest.raises(network.NetworkError, match="not a certificate and its key"):
        network.check_certificate(tmp_path / "cert", tmp_path / "key")


@pytest.mark.django_db
def test_the_demo_is_never_served_to_a_staff(tmp_path):
    demo.load()
    with pytest.raises(house.FolderError, match="whose passwords everybody knows"):
        command._refuse_demo(tmp_path)


def test_the_unit_is_one_that_systemd_takes(tmp_path):
    text = unit.unit(tmp_path, [sys.executable, "manage.py", "serve", "--site", "a b%"], {"LANEPROOF_DATA": "/srv/a b"})
    assert 'Environment="LANEPROOF_DATA=/srv/a b"' in text and '"a b%%"' in text
    path = tmp_path / "laneproof.service"
    path.write_text(text)
    if shutil.which("systemd-analyze"):
        checked = subprocess.run(["systemd-analyze", "verify", "--man=no", path], capture_output=True, text=True)
        assert "laneproof.service" not in checked.stderr, checked.stderr
