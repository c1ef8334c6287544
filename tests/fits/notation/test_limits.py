"""Files that nobody writes by hand are refused before they cost anything: size, depth, parts, time, memory."""

from __future__ import annotations

import time
import tracemalloc

import pytest

import fits
from fits.blocking.conditions import compile_block_when
from fits.defense.align import compile_at
from fits.notation.phrase import LONGEST, PhraseError
from fits.notation.toml import MOST_CHARACTERS, format_toml, measure_toml, read_toml
from fits.offense.personnel import parse_personnel
from fits.rules.conditions import compile_when
from fits.rules.targets import compile_fit

SECONDS, MEGABYTES = 6, 40  # of this process; about two seconds and 20 MB on an idle machine
KEYS = 39_000

REFUSED = {
    "endless dotted key": ".".join("a" * 10_000) + "=1",
    "dotted keys with spaces": " . ".join("a" * 5_000) + " = 1",
    "quoted dotted keys": ".".join(['"a"'] * 5_000) + "=1",
    "many dotted keys": "\n".join(f"{'.'.join('abc')}{n}=1" for n in range(2_000)),
    "many dotted tables": "\n".join(f"[a{n}.b.c]" for n in range(2_000)),
    "brackets": "a=" + "[" * 5_000 + "]" * 5_000,
    "braces": "a=" + "{b=" * 3_000,
    "too long": "#" * (MOST_CHARACTERS + 1),
    "a number without end": "a=" + "9" * 900_000,
    "a key without end": "a" * 900_000 + "=1",
    "too many keys": "\n".join(f"k{n}=1" for n in range(50_000)),
    "too many tables": "[[a]]\n" * 30_000,
    "quotation marks": '"' * MOST_CHARACTERS,
    "equals signs": "=" * MOST_CHARACTERS,
    "control characters": "a=" + "\x01" * 900_000,
    "an open string": 'a="""' + '""\\"' * 200_000,
}
READ = {
    "keys": "\n".join(f"k{n}=1" for n in range(KEYS)),
    "numbers as keys": "\n".join(f"{n}.{n}=1" for n in range(KEYS)),
    "an inline table": "a={" + ",".join(f"k{n}=1" for n in range(KEYS)) + "}",
    "numbers": "a=[" + "1," * 400_000 + "]",
    "strings": "a=[" + '"a",' * 200_000 + "]",
    "empty tables": "a=[" + "{}," * 9_000 + "]",
    "escapes": 'a="' + "\\n" * 400_000 + '"',
    "comments": "#\n" * 400_000,
    "line ends": "\r\n" * 400_000,
    "dots in strings and comments": 'a="' + "." * 400_000 + '" # ' + ".[{" * 100_000,
}


def cost(text):
    """Seconds of this process and megabytes at the most, of two readings."""
    started = time.process_time()
    _read(text)
    seconds = time.process_time() - started
    tracemalloc.start()
    _read(text)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    return seconds, peak / 1_000_000


def _read(text):
    try:
        read_toml(text, "x.toml")
    except fits.FileError:
        return


@pytest.mark.parametrize("name", REFUSED)
def test_what_nobody_writes_is_refused_in_words(name):
    with pytest.raises(fits.FileError) as caught:
        read_toml(REFUSED[name], "x.toml")
    assert len(str(caught.value)) < 600
    assert "expected" in str(caught.value)


@pytest.mark.parametrize("name", [*REFUSED, *READ])
def test_no_file_costs_more_than_its_length(name):
    seconds, megabytes = cost((REFUSED | READ)[name])
    assert seconds < SECONDS and megabytes < MEGABYTES, (seconds, megabytes)


@pytest.mark.parametrize("name", READ)
def test_big_files_of_ordinary_parts_are_read(name):
    read_toml(READ[name], "x.toml")


def test_the_line_is_named():
    with pytest.raises(fits.FileError, match=r"x\.toml, line 3: .*dots"):
        read_toml("a = 1\n\n" + ".".join("abcde") + " = 1", "x.toml")


def test_all_that_is_shipped_is_far_below_the_limits():
    for system in fits.load_library().systems.values():
        text = format_toml(system.as_dict())
        measure_toml(text, "x.toml")
        assert len(text) < MOST_CHARACTERS / 20


def _system(**changes):
    data = next(iter(fits.load_library().systems.values())).as_dict()
    return data | changes


@pytest.mark.parametrize(
    "data",
    [
        lambda: _system(call=_system()["call"][:1] * 5_000),
        lambda: _system(front=[*_system()["front"], *({**_system()["front"][0], "name": f"f{n}"} for n in range(400))]),
        lambda: _system(system=_system()["system"] | {"label": "x" * 5_000}),
        lambda: _system(front=[{**_system()["front"][0], "align": _system()["front"][0]["align"] * 200}]),
    ],
    ids=["calls", "fronts", "label", "rules"],
)
def test_a_system_of_too_much_is_refused_soon(data):
    made, started = data(), time.process_time()
    with pytest.raises(fits.FileError, match="at most"):
        fits.build_system(made, "x.toml", fits.load_library().schemes)
    assert time.process_time() - started < SECONDS


LONG = ("x" * 200_000, "and " * 50_000, "not " * 50_000, "else " * 40_000, "(" * 100_000, "5, " * 60_000, "1" * 100_000)


@pytest.mark.parametrize("read", [compile_when, compile_fit, compile_at, compile_block_when])
@pytest.mark.parametrize("text", LONG)
def test_a_phrase_without_end_is_refused_soon(read, text):
    started = time.process_time()
    with pytest.raises(PhraseError) as caught:
        read(text)
    assert time.process_time() - started < 1
    assert len(str(caught.value)) < 4 * LONGEST


@pytest.mark.parametrize("text", [*LONG, "1 rb " * 40_000, "rb:" * 60_000, " " * 200_000 + "1"])
def test_personnel_without_end_is_refused_soon(text):
    started = time.process_time()
    try:
        parse_personnel(text)
    except fits.BadRequest as refused:
        assert len(str(refused)) < 500
    assert time.process_time() - started < 1
