"""Pass: what each man saw that his fit used, in the order he sees it; formation and call aside."""

from __future__ import annotations

from fits.defense.align import LiveRule
from fits.defense.roles import Group
from fits.offense.formation import ATTACH_Y
from fits.rules.conditions import cracks_called, flow_of, way_of
from fits.rules.snap import AfterSnap, Aligned
from fits.rules.targets import Alternative
from fits.sights import AT_THE_LINE_Y, Felt, Shown, felt_from, felt_text, turn_text
from fits.terms import Sight, Step

FLOW = "flow"  # among the texts by role


def see_sights(
    d: Aligned, s: AfterSnap, rules: tuple[LiveRule, ...], fired: LiveRule, target: Alternative, lane: int | None
) -> tuple[str, ...]:
    """His keys' steps, then what else the rules up to the one that fired ask for and he can see: flow, a crack called,
    where the man goes whom he follows, who blocks him, and at last what only shows late (`late: pitch on my side`).

    What a rule asks that nothing shows him is not among them.
    """
    steps = s.steps
    texts = s.texts
    out = [texts.get(key) or _step_text(key, steps[key], s) for key in d.keys]
    asked: set[Sight] = set()
    late: list[str] = []
    for live in rules:
        if live.sights:
            asked |= live.sights
            for text, test in live.late:
                if test(s, d):
                    late.append("late: " + text)
        if live is fired:
            break
    line = d.group is Group.LINE
    if Sight.FLOW in asked and not line:
        out.append(texts.get(FLOW) or texts.setdefault(FLOW, flow_of(s).text))
    if Sight.TOLD in asked and not line and cracks_called(s, d):
        out.append("crack!")
    if lane is not None:
        edge = lane == 0 or lane == len(s.lanes.spaces) - 1
        if edge or target.beside:
            out += _followed(d, s, lane, edge)
    if Sight.FELT in asked and (line or d.y <= AT_THE_LINE_Y):
        out.append(felt_text(feel_blocks(d, s)))
    return tuple(dict.fromkeys(out + late))


def _step_text(role: str, step: Step, s: AfterSnap) -> str:
    text = s.texts[role] = Shown(role, step, way_of(s, role)).text
    return text


def feel_blocks(d: Aligned, s: AfterSnap) -> tuple[Felt, ...]:
    """Who blocks him, in the order of their places from inside out."""
    jobs = s.blocks.jobs
    on = sorted(s.blocks.on.get(d.name, ()), key=lambda r: (abs(jobs[r].man.x), r))
    return tuple([Felt(r, felt_from(jobs[r].man.x, d.x)) for r in on])


def _followed(d: Aligned, s: AfterSnap, lane: int, edge: bool) -> list[str]:
    """Where the movers beside that lane turn up, if he reads them, saw them in the backfield, is met by them
    or has the edge they come to."""
    space, out = s.lanes.spaces[lane], []
    for role in (space.left, space.right):
        if role is None:
            continue
        job = s.blocks.jobs[role]
        met = role in d.keys or role in s.blocks.on.get(d.name, ())
        seen = edge or met or (d.group is not Group.LINE and job.man.y < ATTACH_Y)
        if job.verb.moves and seen:
            out.append(turn_text(role, _spot(s, job.end_x)))
    return out


def _spot(s: AfterSnap, x: float) -> str:
    """The last man of the line as it stood inside that place: `outside RT`."""
    offense = s.offense
    surface = (offense.left if x < 0 else offense.right).surface
    inside = [p.role for p in surface if abs(p.x) < abs(x)]
    return f"outside {inside[-1]}" if inside else "over C"
