"""The order of the passes, nothing else: offense, alignment, blocks, lanes, threats, fits, numbers, margins, audit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fits.audit.evidence import Evidence
from fits.audit.registry import audit
from fits.blocking.cast import Plan, plan_concept
from fits.blocking.concepts import STEPS, Concept, Option, with_options
from fits.blocking.lanes import LaneMap, make_lanes
from fits.blocking.resolve import Blocks, resolve_blocks
from fits.defense.align import Alignment, align_call
from fits.defense.system import Call
from fits.derive.assign import Assigned, assign_fits
from fits.derive.look import Look
from fits.derive.margins import FIT_DEPTH, arrival_s, ball_times_s
from fits.derive.numbers import count_pass
from fits.derive.owners import own_threats
from fits.derive.parts import Block, Defender, Lane
from fits.derive.threats import Course, place_threats
from fits.errors import BadRequest
from fits.explain import what_he_saw, why
from fits.field import COLLEGE, Hash, RuleBook, Side
from fits.offense.formation import Formation, Offense, read_offense
from fits.offense.legality import refuse_illegal
from fits.offense.motion import Motion, apply_motion, find_mover
from fits.rules.situation import Aligned, Situation
from fits.timing import Pace, Speed, level_pace

DEFAULT_PACE = level_pace()


@dataclass(frozen=True, slots=True)
class Snap:
    """A formation at the snap, as called for: flipped, on its hash, after motion."""

    formation: str
    offense: Offense
    flip: bool
    motion: str | None


def snap_offense(
    formation: Formation, flip: bool = False, hash_: Hash = Hash.MIDDLE, motion: Motion | None = None, book: RuleBook = COLLEGE
) -> Snap:
    """The offense the defense sees at the snap. Raises IllegalFormation, NotRunnable."""
    placed = formation.mirrored() if flip else formation
    refuse_illegal(placed, book, hash_)
    mover = None
    if motion is not None:
        man = find_mover(placed, motion)
        placed = apply_motion(placed, motion)
        mover = man.role if man else None
        refuse_illegal(placed, book, hash_)
    return Snap(formation.name, read_offense(placed, hash_, book, mover), flip, motion.name if motion else None)


def derive_look(
    call: Call, formation: Formation, concept: Concept, *,
    to: Side | None = None, flip: bool = False, hash: Hash = Hash.MIDDLE, motion: Motion | None = None,
    options: tuple[Option, ...] = (), first_steps: Mapping[str, str] | None = None,
    pace: Pace = DEFAULT_PACE, roster: Mapping[str, Speed] | None = None, book: RuleBook = COLLEGE,
) -> Look:  # fmt: skip
    """One look, whole. `to` is absolute, after the flip; None lets the concept's own rule decide.

    Raises IllegalFormation, NotRunnable, NoRule, BadRequest.
    """
    snap = snap_offense(formation, flip, hash, motion, book)
    plan = plan_concept(with_options(concept, options), snap.offense, to)
    names = tuple(o.name for o in options)
    return derive_play(align_call(call, snap.offense), plan, snap, names, first_steps, pace, roster)


def derive_play(
    alignment: Alignment, plan: Plan, snap: Snap, options: tuple[str, ...] = (),
    first_steps: Mapping[str, str] | None = None, pace: Pace = DEFAULT_PACE, roster: Mapping[str, Speed] | None = None,
) -> Look:  # fmt: skip
    """The look of a plan against an alignment of the same offense. Raises NotRunnable, NoRule, BadRequest."""
    s, blocks, lanes, courses, steps = prepare_play(alignment, plan, first_steps)
    done = assign_fits(alignment, s)
    assert s.owners is not None
    passes = count_pass(alignment, plan.offense, blocks, done)
    ball = ball_times_s(courses, lanes)
    defenders = tuple([_defender(d, done[d.name], s, lanes, ball, pace, roster) for d in alignment.men])
    by_role = {d.role: d for d in defenders}
    threats = own_threats(courses, s.owners, defenders, alignment, passes)
    in_lane: list[list[str]] = [[] for _ in lanes.spaces]
    for t in threats:
        if t.lane is not None:
            in_lane[t.lane].append(t.kind)
    made = tuple([
        Lane(i, p.name, p.gaps, p.left, p.right, p.x, tuple(sorted(s.owners[i])), tuple(in_lane[i]))
        for i, p in enumerate(lanes.spaces)
    ])  # fmt: skip
    on = blocks.on
    evidence = Evidence(
        plan.play, plan.eyes, plan.concept.flags, made, threats, defenders, by_role, passes,
        tuple([d.name for d in alignment.men if d.force]), {d.name: d.takes for d in alignment.men},
        frozenset([name for name, who in on.items() if any(steps[r] == "crack" for r in who)]),
        {name: r for name, who in on.items() for r in who if blocks.jobs[r].verb.moves},
        tuple([i for i, who in enumerate(s.owners) if not who]),
    )  # fmt: skip
    return Look(
        alignment.call.name, snap.formation, plan.concept.name, plan.play, snap.flip, plan.offense.hash, snap.motion, options,
        tuple(sorted((first_steps or {}).items())), alignment.strength, plan.eyes, plan.offense.formation.players,
        tuple([_block(blocks, role, steps) for role in blocks.jobs]), made, threats, defenders, passes, audit(evidence),
    )  # fmt: skip


def prepare_play(
    alignment: Alignment, plan: Plan, first_steps: Mapping[str, str] | None
) -> tuple[Situation, Blocks, LaneMap, tuple[Course, ...], dict[str, str]]:
    """The play before any defender moves: blocks, lanes, threats and the steps the defense sees."""
    blocks = resolve_blocks(plan, alignment.front)
    steps = {role: job.step for role, job in blocks.jobs.items()}
    if first_steps:
        _what_if(steps, first_steps)
    lanes = make_lanes(plan, blocks)
    courses = place_threats(plan, blocks, lanes)
    return _situation(alignment, plan, blocks, lanes, courses, steps), blocks, lanes, courses, steps


def _what_if(steps: dict[str, str], first_steps: Mapping[str, str]) -> None:
    for role, step in first_steps.items():
        if role not in steps:
            raise BadRequest(f"first step: expected a role of the offense ({', '.join(sorted(steps))}), got {role!r}")
        if step not in STEPS:
            raise BadRequest(f"first step of {role}: expected one of {', '.join(STEPS)}, got {step!r}")
        steps[role] = step


def _situation(
    alignment: Alignment, plan: Plan, blocks: Blocks, lanes: LaneMap, courses: tuple[Course, ...], steps: Mapping[str, str]
) -> Situation:
    movers = sorted((j for j in blocks.jobs.values() if j.verb.moves and j.counts), key=lambda j: (abs(j.end_x), j.end_x * plan.play))
    threat_lanes: dict[str, int | None] = {}
    for c in courses:
        threat_lanes.setdefault(c.kind, c.lane)
    aim = next((c.lane for c in courses if c.lane is not None), None)
    return Situation(
        plan.offense, alignment.strength, plan, alignment.front, blocks, lanes, steps, tuple(movers), plan.play,
        plan.concept.flags, [[] for _ in lanes.spaces], {}, {}, threat_lanes, 0.0 if aim is None else lanes.spaces[aim].x,
    )  # fmt: skip


def _block(blocks: Blocks, role: str, steps: Mapping[str, str]) -> Block:
    job = blocks.jobs[role]
    man = job.man
    moves = job.verb.moves
    y = 0.6 if moves and job.counts else man.y
    return Block(
        role, steps[role], job.verb.text, job.on.name if job.on else None, job.end_x, y, man.x, man.y, moves and job.counts, job.counts
    )


def _defender(
    d: Aligned, done: Assigned, s: Situation, lanes: LaneMap, ball: list[float], pace: Pace, roster: Mapping[str, Speed] | None
) -> Defender:
    rule, target, lane = done.live.rule, done.target, done.lane
    steps = s.steps or {}
    saw = what_he_saw(d.keys, steps)
    duty = target.duty
    margin: float | None = None
    fit_x, fit_y = d.x, d.y
    if lane is None:
        fit = target.words
        if duty in ("scrape", "free"):
            duty = "free"
            fit_x, fit_y = s.aim_x * 0.6 + d.x * 0.4, 3.0
        elif duty == "man" and d.keys and target.receiver == 0:
            fit = f"man on {d.keys[0]}"
    else:
        space = lanes.spaces[lane]
        words = target.words
        fit = words + space.name if words.endswith(", ") else space.name
        margin = round(ball[lane] - arrival_s(d, space.x, pace, roster), 3)
        fit_x, fit_y = space.x, FIT_DEPTH
    return Defender(
        d.name, d.position, d.group.value, d.side, d.technique, d.x, d.y, ", ".join(d.keys), saw, fit, lane,
        rule.leverage or target.leverage, duty, rule.id, why(rule.id, rule.when, rule.fit, rule.say, saw), margin, fit_x, fit_y,
    )  # fmt: skip
