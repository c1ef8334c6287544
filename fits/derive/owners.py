"""Pass: who has each threat. One man can have one ball carrier."""

from __future__ import annotations

from fits.defense.align import Alignment
from fits.derive.parts import Job, PassSide, Threat
from fits.derive.threats import Course

make_threat = Threat


def own_threats(
    courses: tuple[Course, ...],
    ranges: tuple[tuple[int, int], ...],
    owners: list[list[str]],
    defenders: tuple[Job, ...],
    alignment: Alignment,
    passes: tuple[PassSide, ...],
) -> tuple[Threat, ...]:
    """Threats with their owners.

    The quarterback and the pitch go to men with that duty, then to owners of the lane, then (pitch) to a free force
    player on that side; where both may have the ball, a man on one is not counted twice, nor a man told to take the
    other. A receiver belongs to the pass defenders of his side, a ball carrier to the owners of the lane he attacks.
    """
    if len(courses) == 1 and courses[0].kind not in ("keep", "pitch", "route"):
        c = courses[0]
        who = _in_lane(owners, c.lane)
        return (make_threat(c.kind, c.role, c.lane, c.side, c.time_s, who, ranges[0], c.inside),)
    used: set[str] = set()
    out: dict[int, Threat] = {}
    order = sorted(range(len(courses)), key=lambda i: {"keep": 0, "pitch": 1}.get(courses[i].kind, 2))
    option = sum([c.kind in ("keep", "pitch") for c in courses]) > 1
    force = alignment.force
    for i in order:
        c = courses[i]
        if c.kind == "route":
            who = next((p.defenders for p in passes if p.side is c.side), ())
        elif c.kind in ("keep", "pitch"):
            duty = "quarterback" if c.kind == "keep" else "pitch"
            ranked = [d.role for d in defenders if d.duty == duty]
            ranked += sorted(owners[c.lane]) if c.lane is not None else []
            if c.kind == "pitch":
                ranked += [
                    d.role
                    for d in defenders
                    if d.lane is None
                    and d.side is c.side
                    and (d.role in force or d.leverage in ("force", "overlap", "alley"))
                ]
            if option:
                told = {d.role for d in defenders if d.duty == ("pitch" if c.kind == "keep" else "quarterback")}
                ranked = [r for r in ranked if r not in told]
            free = [r for r in dict.fromkeys(ranked) if r not in used]
            who = tuple(free[:1]) if option else tuple(free)
            used.update(who[:1])
        else:
            who = _in_lane(owners, c.lane)
        out[i] = make_threat(c.kind, c.role, c.lane, c.side, c.time_s, who, ranges[i], c.inside)
    return tuple([out[i] for i in range(len(courses))])


def _in_lane(owners: list[list[str]], lane: int | None) -> tuple[str, ...]:
    return () if lane is None else tuple(sorted(owners[lane]))
