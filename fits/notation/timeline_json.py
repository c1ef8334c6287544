"""A timeline as plain data for other programs (schema in timeline.schema.json)."""

from __future__ import annotations

from typing import Any

from fits.notation.look_json import labels_json
from fits.timeline.make import Timeline


def timeline_json(timeline: Timeline) -> dict[str, Any]:
    """One object: columns of places, a frame each, in yards to the centimetre; seconds from the snap."""
    look = timeline.look
    return {
        "call": look.call,
        "formation": look.formation,
        "concept": look.concept,
        "labels": labels_json(look.labels),
        "to": look.to.word,
        "flip": look.flip,
        "hash": look.hash.value,
        "motion": look.motion,
        "options": list(look.options),
        "step_s": timeline.step_s,
        "start_s": timeline.start_s,
        "frames": len(timeline.ball),
        "snap": timeline.snap,
        "stills": dict(timeline.stills),
        "men": [
            {
                "role": man.role,
                "side": man.side,
                "x": [_round(p.x) for p in man.places],
                "y": [_round(p.y) for p in man.places],
            }
            for man in timeline.men
        ],
        "ball": {
            "x": [_round(p.x) for p in timeline.ball],
            "y": [_round(p.y) for p in timeline.ball],
            "holder": list(timeline.holder),
        },
        "arrivals": [{"role": role, "arrival_s": at} for role, at in sorted(timeline.arrivals_s.items())],
    }


def _round(value: float) -> float:
    return round(value, 2) + 0.0
