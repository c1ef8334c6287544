"""A look as plain data: the contract that other programs read (schema in look.schema.json)."""

from __future__ import annotations

from typing import Any

from fits.derive.look import Look
from fits.terms import Labels


def labels_json(labels: Labels) -> dict[str, Any]:
    """What people call the parts of a look: texts, and a list for the options."""
    return {**labels._asdict(), "options": list(labels.options)}


def look_json(look: Look) -> dict[str, Any]:
    """One object of strings, numbers, lists and nulls. Yards and seconds, rounded to the centimetre and millisecond."""
    r = _round
    return {
        "call": look.call,
        "formation": look.formation,
        "concept": look.concept,
        "labels": labels_json(look.labels),
        "to": look.to.word,
        "flip": look.flip,
        "hash": look.hash.value,
        "motion": look.motion,
        "yard_line": look.yard_line,
        "pressure": look.pressure,
        "replaced": list(look.replaced),
        "options": list(look.options),
        "first_steps": dict(look.first_steps),
        "strength": look.strength.word,
        "eyes": look.eyes.word if look.eyes else None,
        "offense": [{"role": p.role, "kind": p.kind.value, "x": r(p.x), "y": r(p.y)} for p in look.offense],
        "blocks": [
            {
                "role": b.role,
                "step": b.step,
                "does": b.does,
                "on": b.on,
                "climbs_to": b.climbs_to,
                "x": r(b.x),
                "y": r(b.y),
                "mover": b.mover,
                "counts": b.counts,
            }
            for b in look.blocks
        ],
        "left_alone": [{"role": m.name, "why": m.why} for m in look.left_alone],
        "lanes": [
            {
                "index": lane.index,
                "name": lane.name,
                "gaps": list(lane.gaps),
                "left": lane.left,
                "right": lane.right,
                "x": r(lane.x),
                "owners": list(lane.owners),
                "threats": list(lane.threats),
                "ball_s": lane.ball_s,
            }
            for lane in look.lanes
        ],
        "threats": [
            {
                "kind": t.kind,
                "role": t.role,
                "lane": t.lane,
                "side": t.side.word if t.side else None,
                "time_s": t.time_s,
                "owners": list(t.owners),
            }
            for t in look.threats
        ],
        "defenders": [
            {
                "role": d.role,
                "position": d.position,
                "group": d.group,
                "technique": d.technique,
                "x": r(d.x),
                "y": r(d.y),
                "key": d.key,
                "saw": d.saw,
                "sights": list(d.sights),
                "fit": d.fit,
                "lane": d.lane,
                "leverage": d.leverage,
                "duty": d.duty,
                "rule": d.rule.id,
                "why": d.why,
                "margin_s": d.margin_s,
                "arrival_s": d.arrival_s,
                "fit_x": r(d.fit_x),
                "fit_y": r(d.fit_y),
                "path": [[r(x), r(y)] for x, y in d.path],
                "sent": d.sent,
                "check": d.check,
                "start": [r(d.start[0]), r(d.start[1])] if d.start else None,
            }
            for d in look.defenders
        ],
        "passes": [
            {
                "side": p.side.word,
                "defenders": list(p.defenders),
                "receivers": list(p.receivers),
                "conflict": list(p.conflict),
                "text": p.text,
            }
            for p in look.passes
        ],
        "findings": [
            {"code": f.code, "severity": f.severity, "lane": f.lane, "roles": list(f.roles), "text": f.text}
            for f in look.findings
        ],
        "sound": look.sound,
        "band": look.band,
    }


def _round(value: float) -> float:
    return round(value, 2) + 0.0
