"""What all tests share: leftovers of killed runs go away, and the embedded server stops when nobody needs it."""

import os
import re
import sys

import psycopg
import pytest


def pytest_sessionstart(session):
    """Drops the databases of test runs whose process is gone."""
    if hasattr(session.config, "workerinput") or os.environ.get("DATABASE_URL"):
        return
    from playbook import postgres

    with psycopg.connect(postgres.start(), autocommit=True) as link:
        for (name,) in link.execute("select datname from pg_database").fetchall():
            owner = re.fullmatch(r"test_laneproof_(\d+)(_\w+)?", name)
            if owner and not _lives(int(owner[1])):
                link.execute(f'drop database if exists "{name}"')


def pytest_sessionfinish(session):
    """Stops the embedded server unless another process uses it."""
    if hasattr(session.config, "workerinput") or os.environ.get("DATABASE_URL"):
        return
    from playbook import postgres

    session.config.add_cleanup(postgres.stop_if_unused)


def _lives(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup, django_db_blocker):
    """Every database test starts with the shipped library; after a transactional test call `convert.load_library()`."""
    from playbook import convert

    with django_db_blocker.unblock():
        convert.load_library()


@pytest.fixture(autouse=True)
def _nothing_kept():
    """Each test starts with nothing kept of what the last one built from rows."""
    yield
    convert = sys.modules.get("playbook.convert")
    if convert:
        convert.forget()


@pytest.fixture
def run_jobs(transactional_db):
    """Returns a function that works the queue until it is empty."""

    def run():
        from procrastinate.contrib.django import app

        with app.replace_connector(app.connector.get_worker_connector()) as worker:
            worker.run_worker(wait=False, install_signal_handlers=False, listen_notify=False)

    return run


@pytest.fixture
def admin(db):
    """An admin."""
    return _person("admin")


@pytest.fixture
def staff(db):
    """A coach."""
    return _person("staff")


@pytest.fixture
def player(db):
    """A player with a roster entry."""
    from playbook.models import Player

    user = _person("player")
    Player.objects.create(user=user, first_name="Pell", last_name="Ardmoor", number=44)
    return user


def _person(role):
    from playbook.models import User

    return User.objects.create_user(f"the-{role}", password=f"password of {role}", role=role)


@pytest.fixture
def as_admin(client, admin):
    """A browser signed in as an admin."""
    client.force_login(admin)
    return client


@pytest.fixture
def as_staff(client, staff):
    """A browser signed in as a coach."""
    client.force_login(staff)
    return client


@pytest.fixture
def as_player(client, player):
    """A browser signed in as a player."""
    client.force_login(player)
    return client
