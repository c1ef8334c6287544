"""A look as it is run: how far everybody is from his place in the page's drawings, a tenth of a second apart."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import fits
from fits.draw.svg import Form, man_shifts
from fits.timeline.make import Timeline, derive_timeline
from playbook.looks.asking import Ask
from playbook.looks.specs import spec_of, surroundings

CLOSE = 0.08  # of the whole: moments nearer than that share a mark
FORMS = {"wide": Form.DESK, "narrow": Form.PHONE, "large": Form.PROJECTOR}


def frames(ask: Ask, up: str = "", call: fits.Call | None = None) -> dict[str, Any]:
    """Returns the frames of a look: seconds, stills, marks of the slider, and shifts by form and man.

    `call` stands in for the saved one when it is shown as it was.

    Shifts are in picture units from where `draw_parts` draws him. Raises fits.FitsError.
    """
    spec = spec_of(ask, surroundings(ask.call.system_id, ask.setting.week), call)
    told = derive_timeline(spec)
    shifts = {
        name: man_shifts(told.look, told.men, told.ball, told.snap, form, up, spec.book) for name, form in FORMS.items()
    }
    return {
        "step": told.step_s,
        "start": told.start_s,
        "snap": told.snap,
        "stills": told.stills,
        "marks": [{"frame": frame, "text": text} for frame, text in merged(list(moments(told)), len(told.ball))],
        "arrivals": {f"d:{role}": seconds for role, seconds in told.arrivals_s.items()},
        "forms": shifts,
    }


def moments(told: Timeline) -> Iterator[tuple[int, str]]:
    """Yields what happens when: the snap, who gets the ball, the ball at the line, the end."""
    if told.snap:
        yield 0, "motion"
    yield told.snap, "snap"
    yield told.stills["read"], "read"
    last = None
    for frame, role in enumerate(told.holder):
        if role and role != last:
            if last:
                yield frame, f"ball to {role}"
            last = role
    yield told.stills["fit"], "at the line"
    end = len(told.ball) - 1
    yield end, f"{told.start_s + end * told.step_s:.1f} s"


def merged(found: list[tuple[int, str]], count: int) -> list[tuple[int, str]]:
    """Returns the moments in order, those too near to the one before under its mark.

    >>> merged([(0, "snap"), (8, "read"), (9, "ball to T"), (30, "3.0 s")], 31)
    [(0, 'snap'), (8, 'read, ball to T'), (30, '3.0 s')]
    """
    marks: list[tuple[int, str]] = []
    for frame, text in sorted(found, key=lambda moment: moment[0]):
        if marks and frame - marks[-1][0] < CLOSE * count:
            marks[-1] = marks[-1][0], f"{marks[-1][1]}, {text}"
        else:
            marks.append((frame, text))
    return marks
