"""What all tests share: leftovers of killed runs go away, and the embedded server stops when nobody needs it."""

import hashlib
import os
import re
import sys
from pathlib import Path

import psycopg
import pytest
from pytest_django.plugin import blocking_manager_key

ROOT = Path(__file__).resolve().parent.parent
CHROMIUM = Path("/usr/bin/chromium")
EMPTIED = pytest.StashKey[bool]()


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


LONG = tuple(f"tests/playbook/{name}" for name in ("backups/", "serving/", "test_"))


def pytest_collection_modifyitems(items):
    """The files that take minutes come first: whoever is done with one takes a short one while another still runs.

    Those in a browser come last: its driver leaves a running event loop, beside which no worker can be started.
    """
    items.sort(key=lambda item: 2 if item.nodeid.startswith("tests/browser/") else not item.nodeid.startswith(LONG))


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup(item):
    """Brings the library back when an earlier test has emptied the database, whatever the order of the tests."""
    asks = item.get_closest_marker("django_db") or {"db", "django_db_setup"} & set(item.fixturenames)
    if asks and item.config.stash.get(EMPTIED, False):
        from playbook import convert

        with item.config.stash[blocking_manager_key].unblock():
            convert.load_library()
        item.config.stash[EMPTIED] = False


@pytest.hookimpl(trylast=True)
def pytest_runtest_teardown(item):
    """A transactional test leaves an empty database behind."""
    mark = item.get_closest_marker("django_db")
    if (mark and mark.kwargs.get("transaction")) or {"transactional_db", "live_server"} & set(item.fixturenames):
        item.config.stash[EMPTIED] = True


@pytest.fixture(scope="session")
def chromium():
    """The browser of the whole run: its driver cannot be started twice in one thread."""
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    sync_api = pytest.importorskip("playwright.sync_api")
    with sync_api.sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path=str(CHROMIUM), args=["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
        )
        yield browser
        browser.close()


def _lives(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True


@pytest.fixture(scope="session")
def django_db_setup(django_test_environment, django_db_blocker):
    """A database of this run's own, copied from one that was migrated once and holds the shipped library.

    A transactional test leaves an empty database; the library comes back before the next one that is not.
    """
    from django.db import connection

    with django_db_blocker.unblock():
        own = connection.settings_dict["TEST"]["NAME"]
        with connection._nodb_cursor() as cursor:
            cursor.execute("select pg_advisory_lock(540054)")
            template = _template(cursor)
            cursor.execute(f'create database "{own}" template "{template}"')
            cursor.execute("select pg_advisory_unlock(540054)")
        connection.close()
        connection.settings_dict["NAME"] = own
        yield
        connection.close()
        with connection._nodb_cursor() as cursor:
            cursor.execute(f'drop database if exists "{own}" with (force)')


def _template(cursor):
    """Returns the database to copy, made anew when anything it is made from has changed."""
    from django.db import connection

    from playbook import convert

    digest = hashlib.sha256()
    for path in sorted([*ROOT.glob("playbook/migrations/*.py"), *ROOT.glob("fits/library/**/*.toml")]):
        digest.update(path.read_bytes())
    digest.update((ROOT / "playbook/convert.py").read_bytes() + (ROOT / "requirements.txt").read_bytes())
    template = f"laneproof_template_{digest.hexdigest()[:16]}"
    cursor.execute("select datname from pg_database where datname like 'laneproof_template_%'")
    there = {name for (name,) in cursor.fetchall()}
    if template not in there:
        for old in there:
            cursor.execute(f'drop database if exists "{old}" with (force)')
        connection.settings_dict["TEST"]["NAME"] = fresh = f"{template}_new"
        connection.creation.create_test_db(verbosity=0, autoclobber=True, serialize=False)
        convert.load_library()
        connection.close()
        cursor.execute(f'alter database "{fresh}" rename to "{template}"')
    return template


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
    """A coach who may change all of the staff's work."""
    return _person("staff", "coordinator")


@pytest.fixture
def position(db):
    """A position coach of the linebackers."""
    return _person("position", coaches=["linebacker"])


@pytest.fixture
def assistant(db):
    """An assistant."""
    return _person("assistant")


@pytest.fixture
def player(db):
    """A player with a roster entry."""
    from playbook.models import Player

    user = _person("player")
    Player.objects.create(user=user, first_name="Pell", last_name="Ardmoor", number=44)
    return user


def _person(name, role="", **more):
    from playbook.models import User

    return User.objects.create_user(f"the-{name}", password=f"password of {name}", role=role or name, **more)


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
