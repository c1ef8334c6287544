"""Many looks at once, shared by all workers: calls x formations x concepts x directions of one system, or a big week.

A study is cut into parts, one a formation; a week's into one a call, as the looks of a call are judged together. A
worker takes a part by locking its row and lets go only when its results are stored and the part is marked done, all in
one transaction. So no part is done twice; and when a worker dies, the database lets its part go and another worker
takes it.
"""

from __future__ import annotations

import os
import socket
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.db import transaction
from django.db.models import Count, Q, QuerySet, Sum
from django.db.models.functions import Now
from procrastinate.contrib.django import app

import fits
from fits.field import SIDES
from playbook import convert
from playbook.looks.asking import Ask, Setting
from playbook.looks.specs import asks_of, expected_looks, spec_of, specs_of, surroundings
from playbook.models import Concept, ExpectedLook, Formation, Study, StudyPart, System, Week
from playbook.models.offense import CONCEPT_ROWS
from playbook.proof.results import Desk, NotStored, look_results, set_results

FEW = 150  # looks that a page derives while somebody waits; more are for the workers
JOBS = 4  # as many workers may share a study; a job that finds nothing left ends at once


@transaction.atomic
def start_study(
    system: System,
    formations: Sequence[Formation],
    concepts: Sequence[Concept],
    calls: Iterable[str] = (),
    who: str = "",
    jobs: int = JOBS,
    week: Week | None = None,
) -> Study:
    """Returns a study of these looks, in both directions, by a week's rule book; and asks the workers to do it."""
    names = list(calls) or list(system.calls.values_list("name", flat=True))
    each = len(names) * len(concepts) * len(SIDES)
    study = Study.objects.create(
        system=system,
        asked_by_name=who[:150],
        request={
            "calls": names,
            "formations": [formation.pk for formation in formations],
            "concepts": [concept.pk for concept in concepts],
            "revision": system.revision,
            "week": week.pk if week else None,
            "newest": max((entry.revision for entry in (*formations, *concepts)), default=0),
        },
        looks=each * len(formations),
    )
    StudyPart.objects.bulk_create(
        StudyPart(study=study, number=number, request={"formation": formation.pk}, looks=each)
        for number, formation in enumerate(formations)
    )
    for _ in range(min(jobs, max(1, len(formations)))):
        app.configure_task("work_on_study").defer(pk=study.pk)
    return study


def waiting(week: Week, calls: Sequence[str], short: NotStored | None = None) -> Progress | None:
    """Returns how far the workers are with a week's looks against these calls, whom this asks to begin.

    `short` is what is missing, if that is known already. None where all is stored, or where what is not is few enough
    to be derived by whoever asks; also when the workers are done and something is missing still: then it has to be.
    """
    by_name = convert.calls_of(week.system)
    names = [name for name in calls if name in by_name]
    looks = expected_looks(week)
    if len(looks) * len(names) <= FEW:
        return None
    short = short or _short(week, looks, [by_name[name] for name in names])
    if short is None or short.missing <= FEW:
        return None
    progress = progress_of(_week_study(week, names, len(looks), short.asked))
    return None if progress.finished else progress


def _short(week: Week, looks: Sequence[ExpectedLook], calls: Sequence[fits.Call]) -> NotStored | None:
    asks, around = asks_of(week, looks), surroundings(week.system_id, week)
    try:
        set_results([one for call in calls for one in specs_of(asks, around, call)], derive=False)
    except NotStored as short:
        return short
    return None


@transaction.atomic
def _week_study(week: Week, names: Sequence[str], looks: int, asked: str) -> Study:
    """Returns the study of just these looks: the one there is, else a new one, which the workers are asked to do."""
    Week.objects.select_for_update().get(pk=week.pk)
    found = Study.objects.filter(system=week.system_id, request__asked=asked).first()
    if found:
        return found
    request = {"week": week.pk, "calls": list(names), "asked": asked, "formations": [], "concepts": []}
    study = Study.objects.create(system=week.system, request=request, looks=looks * len(names))
    StudyPart.objects.bulk_create(
        StudyPart(study=study, number=number, request={"call": name}, looks=looks) for number, name in enumerate(names)
    )
    for _ in range(min(JOBS, len(names))):
        app.configure_task("work_on_study").defer(pk=study.pk)
    return study


class _Bench:
    """What a worker reads once for all parts of a study: rules, formations and concepts as they are when it begins."""

    def __init__(self, study: Study) -> None:
        self.study = study
        week = Week.objects.select_related("season").filter(pk=study.request.get("week")).first()
        self.desk, self.around = Desk(), surroundings(study.system_id, week)
        self.asks = asks_of(week, expected_looks(week)) if week and "asked" in study.request else []
        calls = convert.calls_of(study.system)
        self.calls = {name: calls[name] for name in study.request["calls"] if name in calls}
        rows = Concept.objects.filter(pk__in=study.request["concepts"])
        self.concepts = list(rows.prefetch_related(*CONCEPT_ROWS))
        self.formations = {row.pk: row for row in Formation.objects.filter(pk__in=study.request["formations"])}

    def answers(self, part: StudyPart) -> Iterable[tuple[str, str]]:
        """Derives and stores one part; returns the call and the state of each look, and counts what was derived."""
        if "call" in part.request:
            call = self.calls.get(part.request["call"])
            asked = specs_of(self.asks, self.around, call) if call else []
            found = set_results(asked)
            part.derived = found.derived
            return [(part.request["call"], result.state) for result in found.results]
        specs = self.specs(part)
        found = look_results(specs, self.desk)
        self.desk.clear()
        part.derived = found.derived
        return [(spec.call.name, result.state) for spec, result in zip(specs, found.results, strict=True)]

    def specs(self, part: StudyPart) -> list[fits.LookSpec]:
        """The looks of one part of a menu; none when its formation was deleted meanwhile."""
        row = self.formations.get(part.request["formation"])
        if row is None:
            return []
        return [
            spec_of(Ask(None, row, concept, Setting(to)), self.around, call)  # type: ignore[arg-type]
            for concept in self.concepts
            for to in SIDES
            for call in self.calls.values()
        ]


def work_on_study(pk: int) -> None:
    """Does parts of a study until all are done, by this worker or another one."""
    study = Study.objects.select_related("system").filter(pk=pk).first()
    if study is None:
        return
    bench = _Bench(study)
    while _do_part(bench, wait=False):
        pass
    # What is left is in somebody else's hands. If he dies, his part is free, and is done here.
    while StudyPart.objects.filter(study=pk, done_at=None).exists():
        _do_part(bench, wait=True)
    Study.objects.filter(pk=pk, finished_at=None).update(finished_at=Now())


@transaction.atomic
def _do_part(bench: _Bench, wait: bool) -> bool:
    """Returns whether a part was there to do; waits for one that another worker holds, or passes it by."""
    free = StudyPart.objects.select_for_update(skip_locked=not wait)
    part = free.filter(study=bench.study, done_at=None).order_by("number").first()
    if part is None:
        return False
    counts: dict[str, Counter[str]] = {}
    for call, state in bench.answers(part):
        counts.setdefault(call, Counter())[state] += 1
    StudyPart.objects.filter(pk=part.pk).update(
        done_at=Now(), done_by=f"{socket.gethostname()} {os.getpid()}"[:80], derived=part.derived, counts=counts
    )
    return True


# --- reading ------------------------------------------


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a study is, in looks."""

    done: int
    looks: int
    derived: int
    parts_left: int

    @property
    def finished(self) -> bool:
        """Whether all its parts are done."""
        return self.parts_left == 0


def progress_of(study: Study) -> Progress:
    """Returns how far a study is."""
    done = Q(done_at__isnull=False)
    found = study.parts.aggregate(
        done=Sum("looks", filter=done), derived=Sum("derived"), left=Count("pk", filter=~done)
    )
    return Progress(found["done"] or 0, study.looks, found["derived"] or 0, found["left"])


@dataclass(frozen=True, slots=True)
class FormationLine:
    """One formation of a study, and how each call fares against it: (sound, answered) looks."""

    formation: str
    cells: tuple[tuple[int, int], ...]


def lines_of(study: Study) -> list[FormationLine]:
    """Returns how each call fares against each formation, for the parts that are done."""
    parts = list(study.parts.filter(done_at__isnull=False))
    names = dict(Formation.objects.filter(pk__in=[p.request["formation"] for p in parts]).values_list("pk", "label"))
    lines = []
    for part in parts:
        cells = []
        for call in study.request["calls"]:
            counts = part.counts.get(call, {})
            sound = counts.get("sound", 0) + counts.get("warning", 0)
            cells.append((sound, sound + counts.get("on-time", 0) + counts.get("unsound", 0)))
        lines.append(FormationLine(names.get(part.request["formation"], "deleted"), tuple(cells)))
    return lines


def is_current(study: Study, formations: Sequence[Formation], concepts: Sequence[Concept]) -> bool:
    """Whether a study is of these formations and concepts and of the rules as they are now."""
    asked = study.request
    same_menu = asked["formations"] == [f.pk for f in formations] and asked["concepts"] == [c.pk for c in concepts]
    changed = [entry.pk for entry in (*formations, *concepts) if entry.revision > asked.get("newest", 0)]
    return same_menu and asked["revision"] == study.system.revision and not changed


def studies_of(system: System) -> QuerySet[Study]:
    """Returns a system's studies of a whole menu, the newest first."""
    return Study.objects.filter(system=system).exclude(request__has_key="asked")
