"""Studies: shared by workers, no part twice, a dead worker's part taken over, only what is new derived."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest
from django.db import connection, transaction
from django.urls import reverse

from playbook import convert
from playbook.models import Concept, Formation, LookResult, MenuCall, Season, Study, StudyPart, System, Week
from playbook.proof import studies
from playbook.week.queries import menu_call_names
from tests.playbook.week.made import make_week

ROOT = Path(__file__).resolve().parents[3]


def some(count=6, runs=5):
    system = System.objects.get(name="odd-three-safety")
    formations = list(Formation.objects.filter(opponent=None))[:count]
    return system, formations, list(Concept.objects.filter(opponent=None))[:runs]


@pytest.mark.django_db
def test_a_study_is_every_call_formation_concept_and_direction():
    system, formations, concepts = some()
    study = studies.start_study(system, formations, concepts)
    assert study.looks == system.calls.count() * 6 * 5 * 2
    studies.work_on_study(study.pk)
    progress = studies.progress_of(study)
    assert progress.finished
    assert progress.done == study.looks
    assert LookResult.objects.count() == progress.derived
    assert Study.objects.get().finished_at
    for line in studies.lines_of(study):
        assert all(0 <= sound <= everything <= 10 for sound, everything in line.cells)


@pytest.mark.django_db
def test_a_second_study_derives_nothing():
    system, formations, concepts = some()
    studies.work_on_study(studies.start_study(system, formations, concepts).pk)
    again = studies.start_study(system, formations, concepts)
    studies.work_on_study(again.pk)
    assert studies.progress_of(again).derived == 0


@pytest.mark.django_db
def test_after_one_changed_rule_only_what_it_touches_is_derived():
    system, formations, concepts = some()
    studies.work_on_study(studies.start_study(system, formations, concepts).pk)
    rule = (
        system.fronts.first().fitrules.filter(when__contains="wing on").first() or system.fronts.first().fitrules.last()
    )
    rule.save_version(rule.version, leverage="inside" if rule.leverage != "inside" else "outside")
    system = System.objects.get(pk=system.pk)
    again = studies.start_study(system, formations, concepts)
    studies.work_on_study(again.pk)
    progress = studies.progress_of(again)
    assert progress.finished
    assert progress.derived < progress.looks / 2


@pytest.mark.django_db(transaction=True)
def test_a_part_that_another_worker_holds_is_passed_by_and_done_when_it_is_let_go():
    convert.load_library()
    system, formations, concepts = some(3, 2)
    study = studies.start_study(system, formations, concepts)
    held, let_go = threading.Event(), threading.Event()

    def hold():
        try:
            with transaction.atomic():
                StudyPart.objects.select_for_update().get(study=study, number=0)
                held.set()
                let_go.wait(20)
        finally:
            connection.close()

    other = threading.Thread(target=hold)
    other.start()
    held.wait(20)
    worker = threading.Thread(target=_work, args=(study.pk,))
    worker.start()
    deadline = time.monotonic() + 20
    while StudyPart.objects.filter(study=study, done_at=None).count() > 1 and time.monotonic() < deadline:
        time.sleep(0.05)
    assert list(StudyPart.objects.filter(study=study, done_at=None).values_list("number", flat=True)) == [0]
    let_go.set()
    worker.join(20)
    other.join(20)
    assert studies.progress_of(study).finished


def _work(pk):
    try:
        studies.work_on_study(pk)
    finally:
        connection.close()


WORKER = """
import django; django.setup()
from procrastinate.contrib.django import app
with app.replace_connector(app.connector.get_worker_connector()) as worker:
    worker.run_worker(wait={wait}, listen_notify={wait}, install_signal_handlers=False)
"""


def _start_worker(wait=False):
    settings = connection.settings_dict
    host = settings["HOST"].replace("/", "%2F")
    address = (
        f"postgresql://{settings['USER']}:{settings['PASSWORD']}@{host}:{settings['PORT'] or ''}/{settings['NAME']}"
    )
    environment = {
        **os.environ,
        "DATABASE_URL": address,
        "DJANGO_SETTINGS_MODULE": "playbook.settings",
        "LANEPROOF_DEBUG": "1",
    }
    return subprocess.Popen([sys.executable, "-c", WORKER.format(wait=wait)], cwd=ROOT, env=environment)


def _wait_for(condition, seconds=60):
    deadline = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < deadline, "waited too long"
        time.sleep(0.02)


@pytest.mark.django_db(transaction=True)
def test_a_killed_workers_part_is_done_by_the_other_and_none_twice():
    convert.load_library()
    system, formations, concepts = some(16, 25)
    study = studies.start_study(system, formations, concepts)
    parts = StudyPart.objects.filter(study=study)
    first, second = _start_worker(), _start_worker()
    try:
        _wait_for(lambda: parts.exclude(done_by="").values("done_by").distinct().count() == 2)
        os.kill(first.pid, signal.SIGKILL)
        first.wait(10)
        assert parts.filter(done_at=None).exists(), "the worker was killed too late to leave anything"
        second.wait(120)
    finally:
        for worker in (first, second):
            if worker.poll() is None:
                worker.kill()
    assert second.returncode == 0
    progress = studies.progress_of(study)
    assert progress.finished
    assert progress.done == study.looks
    # Each derived look was stored once and counted once: nothing was done twice.
    assert progress.derived == LookResult.objects.count()
    assert parts.exclude(done_by="").count() == 16


@pytest.mark.django_db
def test_the_page_starts_it_and_shows_how_far_it_is(as_staff):
    system, _, _ = some()
    season = Season.objects.create(year=2031)
    week = Week.objects.create(season=season, number=1, system=system)
    address = reverse("proof:study", args=[week.pk])
    assert "Prove it" in as_staff.get(address).content.decode()
    assert as_staff.post(reverse("proof:study-start", args=[week.pk])).status_code == 303
    page = as_staff.get(address, headers={"HX-Request": "true"}).content.decode()
    assert page.lstrip().startswith('<div id="study"')
    assert "<progress" in page
    study = Study.objects.get()
    StudyPart.objects.filter(study=study, number__gt=1).delete()
    studies.work_on_study(study.pk)
    page = as_staff.get(address).content.decode()
    assert "looks proven" in page
    assert "<progress" not in page


@pytest.mark.django_db
def test_a_big_week_is_proven_by_the_workers_while_its_pages_answer(as_staff, monkeypatch):
    week = make_week()
    names = list(week.system.calls.values_list("name", flat=True)[:2])
    for order, call in enumerate(week.system.calls.filter(name__in=names)):
        MenuCall.objects.create(week=week, call=call, order=10 + order)
    names = menu_call_names(week)
    LookResult.objects.all().delete()
    monkeypatch.setattr(studies, "FEW", 3)
    page = as_staff.get(reverse("week:detail", args=[week.pk]))
    text = page.content.decode()
    looks = week.expected_looks.count()
    assert page.status_code == 200 and page.context["proving"].done == 0
    assert f"proving 0 of {looks * len(names)} looks" in text and 'hx-trigger="every 2s"' in text
    assert "Inside zone" in text, "the looks stand there"
    board = as_staff.get(reverse("board:show"), {"of": f"w{week.pk}"})
    assert board.status_code == 200 and b"Proving 0 of" in board.content
    of_week = Study.objects.filter(request__has_key="asked")
    assert LookResult.objects.count() == 0
    assert sorted(of_week.get(request__calls=names).parts.values_list("request__call", flat=True)) == sorted(names)
    assert as_staff.get(reverse("week:detail", args=[week.pk])).context["proving"], "asked again it is the same study"
    assert of_week.filter(request__calls=names).count() == 1
    for study in of_week:
        studies.work_on_study(study.pk)
    address = reverse("week:state", args=[week.pk])
    state = as_staff.get(address, {"tab": "looks"}, headers={"HX-Request": "true"})
    assert state.headers["HX-Refresh"] == "true" and not state.context["pending"]
    derived = LookResult.objects.count()
    done = as_staff.get(reverse("week:detail", args=[week.pk]))
    assert not done.context["pending"] and len(done.context["calls"]) == len(names)
    assert LookResult.objects.count() == derived, "what the workers stored is what the page looks up"
    assert as_staff.get(reverse("board:show"), {"of": f"w{week.pk}"}).context["board"].rows
    assert not studies.studies_of(week.system).exists(), "a whole menu's study is another thing"
