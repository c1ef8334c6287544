"""How fast the engine is, as ratios measured in one run: `pytest tests/benchmarks -s` prints them.

These are measurements, not timed tests: what is asserted is that the work was really done.
"""

import gc
import itertools
import os
import statistics
import subprocess
import sys
import time

import numpy
import pytest
from scipy.optimize import linear_sum_assignment

import fits
from fits.blocking.settle import settle
from fits.cli.matrix import json_row
from fits.derive import pipeline
from fits.field import Hash
from fits.matrix import Span
from fits.processes import map_matrix

LIB = fits.load_library()
COST = numpy.random.default_rng(11).random((11, 11))


def say(text):
    print(f"\n  {text}", flush=True)


def assignment_s(calls=2000):
    """Seconds of processor time for one 11 x 11 float assignment."""
    start = time.process_time()
    for _ in range(calls):
        linear_sum_assignment(COST)
    return (time.process_time() - start) / calls


def verdicts_s(formation):
    """Seconds of processor time for one verdict, over every call, concept, direction and flip; and how many it were."""
    deriver, made = fits.Deriver(), 0
    start = time.process_time()
    for flip, concept, to, call in itertools.product(
        (False, True), LIB.concepts.values(), (fits.LEFT, fits.RIGHT), LIB.calls.values()
    ):
        try:
            verdict = deriver.verdict(fits.LookSpec(call=call, formation=formation, concept=concept, to=to, flip=flip))
        except fits.FitsError:
            continue
        made += verdict.band in fits.Band
    return (time.process_time() - start) / made, made


def matrix_s(formation):
    """The same for looks as `derive_matrix` streams them: their verdict, with records that are made when read."""
    start = time.process_time()
    made = sum(
        isinstance(m, fits.Look) for m in fits.derive_matrix(LIB.calls.values(), [formation], LIB.concepts.values())
    )
    return (time.process_time() - start) / made, made


@pytest.mark.parametrize(("name", "cost_s"), [("verdict", verdicts_s), ("look of a matrix", matrix_s)])
def test_one_in_bulk_against_an_assignment(name, cost_s):
    """All calls x formations x concepts x both directions x both flips, on one core, with nothing known before."""
    ratios, costs, looks = [], [], 0
    settle.cache_clear()
    for formation in LIB.formations.values():
        unit = assignment_s()
        cost, made = cost_s(formation)
        ratios.append(cost / min(unit, assignment_s()))
        costs.append(cost)
        looks += made
    assert looks > 9000
    mean, usual = statistics.mean(costs) * 1e6, statistics.median(costs) * 1e6
    say(f"{looks} times one {name}, {mean:.0f} us each, median {usual:.0f}")
    middle, low, high = statistics.median(ratios), min(ratios), max(ratios)
    say(f"one {name}: {middle:.0f} assignments (target at most 100), best {low:.0f}, worst {high:.0f}")


def test_all_three_bands_against_the_nominal_verdict(monkeypatch):
    """A verdict has all three bands at once; what it costs is held against one that judges the usual pace only."""
    formations = list(LIB.formations.values())[::4]
    took, seen = {"bands": 0.0, "nominal": 0.0}, 0
    for formation in formations:
        for which in ("bands", "nominal", "nominal", "bands"):
            with monkeypatch.context() as patched:
                if which == "nominal":
                    patched.setattr(pipeline, "judge", lambda evidence, findings: fits.Band.SOUND)
                cost, made = verdicts_s(formation)
                took[which] += cost
                seen += made
    ratio = took["bands"] / took["nominal"]
    say(f"all three bands cost {ratio:.2f} times the nominal verdict (target at most 1.6)")
    assert seen > 9000


def test_one_look_cold():
    """The first look of a process: nothing compiled yet."""
    code = (
        "import time, fits; start = time.perf_counter(); lib = fits.load_library(); read = time.perf_counter();"
        "look = fits.derive_look(lib.call('odd-three-safety'), lib.formation('11-doubles'), lib.concept('power'));"
        "print(read - start, time.perf_counter() - read, look.sound)"
    )
    runs = [
        subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()
        for _ in range(7)
    ]
    reading, first = (min(float(r[i]) for r in runs) * 1000 for i in (0, 1))
    assert {r[2] for r in runs} <= {"True", "False"}
    say(f"first look {first:.2f} ms once the library is read (target under 5 ms); reading it {reading:.0f} ms")


def test_importing(tmp_path):
    """`import fits` in a new process, less the bare interpreter; its bytecode is there, as in an installed program."""
    code = "import time; start = time.process_time(); import fits; print(time.process_time() - start)"
    kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    kept["PYTHONPYCACHEPREFIX"] = str(tmp_path)

    def run(code):
        new = [sys.executable, "-c", code]
        return subprocess.run(new, capture_output=True, text=True, check=True, env=kept).stdout

    first, *times = [float(run(code)) * 1000 for _ in range(9)]
    heavy = (
        "import sys, fits; print([m for m in ('numpy', 'scipy', 'networkx', 'svgwrite', 'django') if m in sys.modules])"
    )
    assert run(heavy).strip() == "[]"
    say(
        f"import fits {min(times):.0f} ms of processor time (target under 100), median {statistics.median(times):.0f}; "
    )
    say(f"{first:.0f} ms when it must be compiled; none of numpy, scipy, svgwrite loaded")


def test_memory_stays_flat():
    """Resident memory while a hundred thousand looks go by."""

    def resident_mb():
        with open("/proc/self/statm") as file:
            return int(file.read().split()[1]) * os.sysconf("SC_PAGE_SIZE") / 1e6

    def endless():
        for hashes in itertools.cycle(Hash):
            yield from fits.derive_matrix(
                LIB.calls.values(), LIB.formations.values(), LIB.concepts.values(), hashes=(hashes,)
            )

    seen, marks = 0, []
    for made in endless():
        seen += isinstance(made, fits.Look)
        if isinstance(made, fits.Look) and seen % 20_000 == 0:
            gc.collect()
            marks.append(resident_mb())
        if seen == 100_000:
            break
    assert len(marks) == 5
    say("resident MB at each 20,000 looks: " + ", ".join(f"{m:.0f}" for m in marks))
    say(f"grown by {marks[-1] - marks[0]:.1f} MB over the last 80,000")


@pytest.mark.skipif((os.cpu_count() or 1) < 2, reason="needs two cores")
def test_two_processes_against_one():
    """The same JSON lines from one process and from two."""
    forms = list(LIB.formations.values())
    study = Span(tuple(LIB.calls.values()), tuple(forms), tuple(LIB.concepts.values()))
    took, size = {}, {}
    for jobs in (1, 2, 1, 2):
        start = time.perf_counter()
        size[jobs] = sum(len(b.text) for b in map_matrix(study, json_row, jobs))
        took[jobs] = min(took.get(jobs, 1e9), time.perf_counter() - start)
    assert size[1] == size[2]
    say(f"one process {took[1]:.1f} s, two {took[2]:.1f} s: {took[1] / took[2]:.2f} times (target at least 1.8)")
