"""The settings outside a local copy: nothing works half."""

import os
import subprocess
import sys
from pathlib import Path

from django.db import connection

ROOT = Path(__file__).resolve().parents[2]
SERVER = {
    "SECRET_KEY": "9r-a-long-secret-of-more-than-fifty-letters-and-digits-0123456789",
    "DATABASE_URL": "postgresql://nobody@localhost/nothing",
    "LANEPROOF_HOSTS": "playbook.example.org,web",
    "LANEPROOF_PROXIES": "1",
}


def run(code, **variables):
    """Runs code with Django set up and only these variables of ours."""
    ours = ("SECRET_KEY", "DATABASE_URL", "DJANGO_ALLOW_ASYNC_UNSAFE")
    clean = {k: v for k, v in os.environ.items() if k not in ours and not k.startswith("LANEPROOF")}
    program = f"import django; django.setup()\n{code}"
    environment = clean | {"DJANGO_SETTINGS_MODULE": "playbook.settings"} | variables
    return subprocess.run([sys.executable, "-c", program], cwd=ROOT, env=environment, capture_output=True, text=True)


def test_without_a_secret_key_it_does_not_start_and_says_what_to_set():
    refused = run("", DATABASE_URL=SERVER["DATABASE_URL"])
    assert refused.returncode != 0
    assert "SECRET_KEY" in refused.stderr.splitlines()[-1]


def test_without_a_database_it_does_not_start_and_says_what_to_set():
    refused = run("", SECRET_KEY=SERVER["SECRET_KEY"])
    assert refused.returncode != 0
    assert "DATABASE_URL" in refused.stderr.splitlines()[-1]


def test_the_deployment_check_finds_nothing_but_what_is_for_the_owner_of_the_name_to_decide():
    code = "from django.core.management import call_command; call_command('check', deploy=True)"
    checked = run(code, **SERVER)
    assert checked.returncode == 0, checked.stderr
    warned = {
        word
        for word in checked.stderr.replace("(", " ").replace(")", " ").split()
        if "." in word and word[-1:].isdigit()
    }
    assert warned <= {"security.W005", "security.W021"}, checked.stderr  # subdomains and preload lists


def test_connections_are_kept_and_checked_and_cookies_need_tls():
    code = (
        "from django.conf import settings as s; d = s.DATABASES['default'];"
        "print(d['CONN_MAX_AGE'], d['CONN_HEALTH_CHECKS'], s.SESSION_COOKIE_SECURE, s.CSRF_COOKIE_SECURE, s.DEBUG)"
    )
    assert run(code, **SERVER).stdout.split() == ["60", "True", "True", "True", "False"]


def test_the_health_check_answers_inside_without_tls_and_pages_go_to_tls(db):
    settings = connection.settings_dict
    address = f"postgresql://{settings['USER']}@{settings['HOST'].replace('/', '%2F')}/{settings['NAME']}"
    if settings.get("PASSWORD"):
        address = address.replace("@", f":{settings['PASSWORD']}@", 1)
    code = (
        "from django.test import Client; c = Client(headers={'host': 'web'});"
        "print(c.get('/alive').status_code, c.get('/').status_code,"
        "c.get('/', headers={'x-forwarded-proto': 'https'}).headers['Location'])"
    )
    assert run(code, **SERVER | {"DATABASE_URL": address}).stdout.split() == ["200", "301", "/people/log-in?next=/"]
