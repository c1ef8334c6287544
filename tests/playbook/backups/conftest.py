"""One database with something in every table, its backup, and empty ones to restore into."""

import itertools
import os

import psycopg
import pytest

from tests.playbook.backups.servers import FILL, everything, manage, run


@pytest.fixture(scope="session")
def new_database(django_db_setup, django_db_blocker):
    """Returns a function that makes a database, empty or a copy of another one, and returns its address."""
    from django.db import connection

    from playbook import postgres

    base = (os.environ.get("DATABASE_URL") or postgres.start()).rsplit("/", 1)[0]
    with django_db_blocker.unblock():
        own = connection.settings_dict["NAME"]
    numbers, made = itertools.count(), []

    def make(copy_of=None):
        name = f"{own}_backup{next(numbers)}"
        source = copy_of.rsplit("/", 1)[1] if copy_of else None
        template = f'template "{source}"' if source else ""
        with psycopg.connect(f"{base}/postgres", autocommit=True) as link:
            # nobody may be connected to what is copied, not even a server thread of an earlier test
            link.execute("select pg_terminate_backend(pid, 5000) from pg_stat_activity where datname = %s", [source])
            link.execute(f'create database "{name}" {template}')
            link.execute(f'alter database "{name}" set synchronous_commit = off')
        made.append(name)
        return f"{base}/{name}"

    yield make
    with psycopg.connect(f"{base}/postgres", autocommit=True) as link:
        for name in made:
            link.execute(f'drop database if exists "{name}" with (force)')


@pytest.fixture(scope="session")
def full(new_database, django_db_blocker):
    """A database with the demo and with rows in every table."""
    from django.db import connection

    with django_db_blocker.unblock():
        own = connection.settings_dict["NAME"]
        connection.close()
    address = new_database(f"/{own}")
    run(address, FILL)
    return address


@pytest.fixture(scope="session")
def saved(full, tmp_path_factory):
    """A backup of the full database."""
    path = tmp_path_factory.mktemp("backups") / "full.zip"
    done = manage(full, "backup", path)
    assert done.returncode == 0, done.stderr.decode()
    return path


@pytest.fixture(scope="session")
def untouched(full, new_database):
    """A database for tests that must not change it, and everything in it."""
    address = new_database(full)
    return address, everything(address)
