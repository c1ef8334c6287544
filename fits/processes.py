"""A matrix as text, made by one process or several; memory stays flat however long it is."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from dataclasses import dataclass

from fits.derive.look import Look
from fits.matrix import NotRun, Setting, Span, derive_setting

AHEAD = 2  # batches that each process may be ahead of the reader


@dataclass(frozen=True, slots=True)
class Batch:
    """The rows of one setting as text, and how many they are."""

    text: str
    rows: int


def map_matrix(study: Span, row: Callable[[Look | NotRun], str], jobs: int = 1) -> Iterator[Batch]:
    """The matrix as text, a batch per setting in order, `row` making the text of each; in that many processes.

    `row` must be a module's own function when jobs is more than 1.
    """
    if jobs <= 1:
        for setting in study.settings:
            yield _batch(study, row, setting)
        return
    with ProcessPoolExecutor(jobs, initializer=_begin, initargs=(study, row)) as pool:
        waiting: deque[Future[Batch]] = deque()
        try:
            for number in range(len(study.settings)):
                waiting.append(pool.submit(_numbered, number))
                if len(waiting) >= jobs * AHEAD:
                    yield waiting.popleft().result()
            while waiting:
                yield waiting.popleft().result()
        finally:
            for future in waiting:
                future.cancel()


def _batch(study: Span, row: Callable[[Look | NotRun], str], setting: Setting) -> Batch:
    rows = [row(made) for made in derive_setting(study, setting)]
    return Batch("".join(rows), len(rows))


_here: list[tuple[Span, Callable[[Look | NotRun], str], list[Setting]]] = []  # what this process works on


def _begin(study: Span, row: Callable[[Look | NotRun], str]) -> None:
    _here[:] = [(study, row, study.settings)]


def _numbered(number: int) -> Batch:
    study, row, settings = _here[0]
    return _batch(study, row, settings[number])
