"""Measured, not asserted tightly: 24,000 looks through two workers, and the board after one changed rule.

Run alone on an idle machine: `python -m pytest tests/benchmarks/test_scouting_scale.py -s`.
"""

from __future__ import annotations

import statistics
import time

import pytest

from playbook import convert
from playbook.charts import services as charts
from playbook.models import Call, Concept, FitRule, Formation, Front, LookResult, StudyPart, System
from playbook.proof import studies
from tests.playbook.charts.conftest import as_bytes
from tests.playbook.charts.made import season
from tests.playbook.proof.test_studies import _start_worker, _wait_for

pytestmark = pytest.mark.django_db(transaction=True)

CALLS, FORMATIONS, CONCEPTS = 12, 40, 25


def twelve_calls() -> System:
    """A shipped system with copies of its fronts and coverages until it has twelve different calls."""
    convert.load_library()
    data = convert.system_dict(System.objects.get(name="odd-three-safety"))
    data["system"]["name"] = "twelve-calls"
    fronts, coverages, calls = data["front"], data["coverage"], data["call"]
    number = 0
    while len(calls) < CALLS:
        number += 1
        front = next(f for f in fronts if f["name"] == calls[0]["front"])
        copied = {**front, "name": f"{front['name']}-{number}"}
        copied["fits"] = [{**rule, "id": f"{rule['id']}-{number}"} for rule in front["fits"]]
        fronts.append(copied)
        for coverage in coverages[:2]:
            if len(calls) < CALLS:
                calls.append(
                    {"name": f"call-{len(calls)}", "front": copied["name"], "coverage": coverage["name"], "note": ""}
                )
    return convert.write_system(data)


def forty_formations() -> list[Formation]:
    """The shipped formations, and copies with wider receivers until there are forty."""
    shipped = list(Formation.objects.filter(opponent=None))
    for formation in shipped[: FORMATIONS - len(shipped)]:
        data = convert.formation_dict(formation)
        data["name"] += "-wide"
        for player in data["players"]:
            if player["kind"] == "receiver":
                player["x"] *= 1.04
        convert.write_formation(data)
    return list(Formation.objects.filter(opponent=None))[:FORMATIONS]


def test_scale():
    system = twelve_calls()
    formations, concepts = forty_formations(), list(Concept.objects.filter(opponent=None))[:CONCEPTS]
    study = studies.start_study(system, formations, concepts)
    assert study.looks == CALLS * FORMATIONS * CONCEPTS * 2
    parts = StudyPart.objects.filter(study=study)
    start = time.monotonic()
    workers = [_start_worker(), _start_worker()]
    _wait_for(lambda: parts.exclude(done_by="").exists())
    first = time.monotonic()
    _wait_for(lambda: not parts.filter(done_at=None).exists(), 300)
    done = time.monotonic()
    for worker in workers:
        worker.wait(60)
    shared = parts.values_list("done_by", flat=True)
    print(f"\n{study.looks} looks, {LookResult.objects.count()} derived, {len(set(shared))} workers")
    print(f"  {done - start:.1f} s with the workers' start, {done - first:.1f} s from the first part done")

    workers = [_start_worker(wait=True), _start_worker(wait=True)]
    try:
        _change_rules(system, formations, concepts)
    finally:
        for worker in workers:
            worker.kill()
            worker.wait(10)


def _change_rules(system: System, formations: list[Formation], concepts: list[Concept]) -> None:
    rules = list(FitRule.objects.filter(front__in=Front.objects.filter(system=system)))
    seconds = []
    for rule in rules[:: max(1, len(rules) // 15)]:
        rule.save_version(rule.version, leverage="inside" if rule.leverage != "inside" else "outside")
        before = time.monotonic()
        again = studies.start_study(System.objects.get(pk=system.pk), formations, concepts)
        parts = StudyPart.objects.filter(study=again, done_at=None)
        _wait_for(lambda: not parts.exists())  # noqa: B023
        seconds.append(time.monotonic() - before)
        progress = studies.progress_of(again)
        print(f"  {rule.rule_id}: {progress.derived} of {progress.looks} derived, {seconds[-1]:.2f} s")
    print(f"  median {statistics.median(seconds[1:]):.2f} s from the changed rule to the right board, two workers")
    assert Call.objects.filter(system=system).count() == CALLS


def test_import(opponent, staff):
    data = as_bytes(season(20_000))
    chart = charts.add_chart(opponent, "season.csv", len(data), [data], staff)
    charts.map_chart(chart, chart.version, chart.mapping, chart.yard_style)
    start = time.monotonic()
    charts.read_chart(chart.pk)
    print(f"\n20,000 rows of CSV in {time.monotonic() - start:.1f} s")


@pytest.fixture
def opponent(db):
    """An invented opponent."""
    from playbook.models import Opponent

    return Opponent.objects.create(name="Quarry Vale")
