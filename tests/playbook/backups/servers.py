"""Databases beside the tests' own, the commands run on them, and all they hold read without any code of the program."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import psycopg

ROOT = Path(__file__).resolve().parents[3]


def environment(address):
    """Returns the variables of a process that works on that database."""
    return os.environ | {
        "DATABASE_URL": address,
        "LANEPROOF_DEBUG": "1",
        "DJANGO_SETTINGS_MODULE": "playbook.settings",
        "PYTHONPATH": str(ROOT),
    }


def manage(address, *arguments, stdin=None):
    """Runs a command of manage.py; its output is bytes."""
    command = [sys.executable, "manage.py", *map(str, arguments)]
    return subprocess.run(command, cwd=ROOT, env=environment(address), input=stdin, capture_output=True)


def run(address, code, *arguments):
    """Runs code with Django set up, and returns what it printed."""
    command = [sys.executable, "-c", f"import django; django.setup()\n{code}", *map(str, arguments)]
    done = subprocess.run(command, cwd=ROOT, env=environment(address), capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return done.stdout


def refused(done, *words):
    """Asserts that a command stopped with these words, and without the traceback of a fault."""
    said = done.stderr.decode()
    assert done.returncode == 1, said
    assert "Traceback" not in said and all(word in said for word in words), said


TABLES = "select relname from pg_class where relkind = 'r' and relnamespace = 'public'::regnamespace order by 1"


def rows(address, *but):
    """Returns every row of every table, as text, by table."""
    with psycopg.connect(address) as link:
        names = [name for (name,) in link.execute(TABLES) if name not in but]
        return {name: [row for (row,) in link.execute(f'select t::text from "{name}" t order by 1')] for name in names}


def next_numbers(address):
    """Returns what each sequence gives out next."""
    with psycopg.connect(address) as link:
        names = [name for (name,) in link.execute("select sequencename from pg_sequences where schemaname = 'public'")]
        found = {name: link.execute(f'select last_value, is_called from "{name}"').fetchone() for name in names}
    return {name: last + (1 if called else 0) for name, (last, called) in found.items()}


SCHEMA = """
    select 'column', format('%s.%s', attrelid::regclass, attname),
        concat_ws(' ', format_type(atttypid, atttypmod), attnotnull, attidentity, attgenerated,
            pg_get_expr(adbin, adrelid))
    from pg_attribute join pg_class c on c.oid = attrelid left join pg_attrdef on adrelid = attrelid and adnum = attnum
    where relkind = 'r' and relnamespace = 'public'::regnamespace and attnum > 0 and not attisdropped
    union all
    select 'constraint', format('%s.%s', conrelid::regclass, conname), pg_get_constraintdef(oid)
    from pg_constraint where connamespace = 'public'::regnamespace
    union all
    select 'index', indexrelid::regclass::text, pg_get_indexdef(indexrelid)
    from pg_index join pg_class c on c.oid = indrelid where relnamespace = 'public'::regnamespace
    union all
    select 'trigger', format('%s.%s', tgrelid::regclass, tgname), concat(pg_get_triggerdef(oid), ' ', tgenabled)
    from pg_trigger where not tgisinternal
    union all
    select 'function', oid::regprocedure::text, pg_get_functiondef(oid)
    from pg_proc where pronamespace = 'public'::regnamespace
    union all
    select 'type', t.oid::regtype::text,
        array(select enumlabel from pg_enum where enumtypid = t.oid order by enumsortorder)::text
    from pg_type t where typnamespace = 'public'::regnamespace and typtype = 'e'
    union all
    select 'schema', nspname, '' from pg_namespace where nspname !~ '^pg_'
"""


def schema(address):
    """Returns everything that is not rows: columns, constraints, indexes, triggers, functions, types."""
    with psycopg.connect(address) as link:
        return {(kind, name): said for kind, name, said in link.execute(SCHEMA)}


def everything(address):
    """Returns rows, numbers to come, and schema."""
    return rows(address), next_numbers(address), schema(address)


# Rows for the tables that the demo leaves empty, and text that has come to grief elsewhere.
FILL = r"""
from datetime import timedelta
from django.contrib.auth.models import Group as AuthGroup, Permission
from django.contrib.sessions.backends.db import SessionStore
from django.db import connection
from django.utils import timezone
import pghistory
from axes.models import AccessAttempt, AccessAttemptExpiration, AccessFailureLog, AccessLog
from django_otp.plugins.otp_static.models import StaticDevice, StaticToken
from django_otp.plugins.otp_totp.models import TOTPDevice
from playbook import demo
from playbook.api import tokens
from playbook.exports import services as exports
from playbook.models import *
from playbook.models.system import RuleAlias
from rest_framework.authtoken.models import Token

demo.load()
coach, player = User.objects.get(username="coach"), User.objects.get(username="player")
hostile = 'tab\there, line\nthere, \\N \\. \r\n "quoted", \x7f é \U0001f3c8 \u202e עברית ' + "long " * 5000
with pghistory.context(user=coach.pk):
    week = Week.objects.first()
    week.note = hostile
    week.save()
group = AuthGroup.objects.create(name="Group \\N")
group.permissions.add(Permission.objects.first())
coach.groups.add(group)
coach.user_permissions.add(Permission.objects.last())
tokens.make_token(coach)
Token.objects.create(user=coach, key="0" * 40)  # of before there were tokens of our own
SentForm.objects.create(digest="0" * 64, led_to=hostile[:100])
AccessEntry.objects.create(what="plan", user=coach, name="coach", about=hostile[:300], address="10.0.0.1")
ErasedPerson.objects.create(user_number=999, made_at=timezone.now())
Session.objects.create(session_key="x", session_data=hostile, expire_date=timezone.now(), user=coach)
TOTPDevice.objects.create(user=coach, name="phone")
StaticToken.objects.create(device=StaticDevice.objects.create(user=coach, name="spare"), token="abcdefg")
session = SessionStore()
session["_auth_user_id"] = str(coach.pk)
session.create()
attempt = AccessAttempt.objects.create(
    username="x", user_agent=hostile[:200], ip_address="10.0.0.1", failures_since_start=2
)
AccessAttemptExpiration.objects.create(access_attempt=attempt, expires_at=timezone.now() + timedelta(hours=1))
AccessLog.objects.create(username="x", user_agent="y", ip_address="2001:db8::1")
AccessFailureLog.objects.create(username="x", user_agent="y", ip_address=None)
look = week.expected_looks.first()
DroppedLook.objects.create(week=week, formation=look.formation, concept=look.concept)
chart, other = Chart.objects.order_by("pk")[:2]
MendedRow.objects.create(chart=chart, line=2, cells=["1", "10"], by_name="x")
SameGame.objects.create(chart=other, other=chart, shared=9, lines=[[2, 10]])
note = Note.objects.create(week=week, author=coach, author_name="c", text=hostile[:400])
NoteSeen.objects.create(note=note, user=coach)
AskedLink.objects.create(player=player.player)
SheetOpening.objects.create(player=player.player, week=week, at=timezone.now())
given = Publication.objects.create(week=week, title="Given", by=coach)
PublishedSheet.objects.create(publication=given, role="M", position="M", order=0, content={"says": hostile[:200]})
PublishedPicture.objects.create(publication=given, state="s", role="M", position="M", call="c", look=1, words="w")
QuizAnswer.objects.create(player=player.player, week=week, look=look, call=week.system.calls.first(), role="M",
                          ask="fit", given="left A", expected="left B", right=False)
LookResult.objects.create(key="0" * 31 + "1", reason="none", findings=[{"a": [1, None]}])
RuleAlias.objects.create(rule=FitRule.objects.first(), old_id="before")
study = Study.objects.create(system=week.system, request={"deep": {"er": [1.5e-9, True]}}, looks=3)
StudyPart.objects.create(study=study, number=1, request={}, looks=3)
document = exports.ask_for("install", week, {}, "A document", coach)  # with its job in the queue
content = bytes(range(256)) * 400
Export.objects.create(document="wall", title="Made", made_by_name="c", state="done", content=content, size=len(content))
with connection.cursor() as cursor:
    cursor.execute("insert into procrastinate_workers default values returning id")
    (worker,) = cursor.fetchone()
    cursor.execute("update procrastinate_jobs set status = 'doing', worker_id = %s", [worker])
    cursor.execute("insert into procrastinate_periodic_defers (task_name, defer_timestamp, job_id, periodic_id)"
                   " select 't', 7, min(id), 'p' from procrastinate_jobs")
"""
